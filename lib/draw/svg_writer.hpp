// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <functional>
#include <set>
#include <span>
#include <string>
#include <string_view>

namespace loomwright::draw {

/// All sheets one under the other as one SVG 1.1 document; text stays text.
[[nodiscard]] std::string write_svg(std::span<const Drawing> sheets, const std::string& title);

/// Names that links can point to, each given away once.
using MarksTaken = std::set<std::string, std::less<>>;

/// One sheet as an `svg` element inside a page, as wide as its place: `label` is what it is to
/// those who cannot see it. A text that names something gets `prefix` and its mark as its id, the
/// first of each mark alone.
[[nodiscard]] std::string svg_figure(const Drawing& sheet, const std::string& label,
                                     std::string_view prefix, MarksTaken& taken);

} // namespace loomwright::draw
