// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <span>
#include <string>

namespace loomwright::draw {

/// All sheets one under the other as one SVG 1.1 document; text stays text.
[[nodiscard]] std::string write_svg(std::span<const Drawing> sheets, const std::string& title);

} // namespace loomwright::draw
