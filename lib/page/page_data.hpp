// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "page/pack.hpp"

#include <kainjow/mustache.hpp>

#include <string>
#include <string_view>

// Inside the room only: what the pages share. Users of the room see pack.hpp.

namespace loomwright::page {

using Data = kainjow::mustache::data;

/// The embedded template of this name filled in with `data`; every value is escaped for HTML unless
/// its tag has three braces.
[[nodiscard]] std::string render(std::string_view template_name, Data& data);

/// What every page has: title, revision, style for the paper, cautions, verdict and waivers.
[[nodiscard]] Data page_data(const Vehicle& vehicle, const Findings& findings, Paper paper);

/// "1 wire", "3 wires".
[[nodiscard]] std::string counted(std::size_t count, std::string_view one, std::string_view many);

} // namespace loomwright::page
