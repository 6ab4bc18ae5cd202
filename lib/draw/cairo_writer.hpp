// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <optional>
#include <span>
#include <string>

namespace loomwright::draw {

/// A PDF document with a page for each sheet, at full size, without dates.
[[nodiscard]] std::optional<std::string> write_pdf(std::span<const Drawing> sheets,
                                                   const std::string& title, std::string& why_not);

/// All sheets one under the other as one picture, 150 dots to the inch or as many as it can hold.
[[nodiscard]] std::optional<std::string> write_png(std::span<const Drawing> sheets,
                                                   std::string& why_not);

} // namespace loomwright::draw
