// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart_curves.hpp"

#include <span>
#include <vector>

namespace loomwright::draw {

inline constexpr double tick_length = 1.2; ///< mm

/// Which lines an axis draws through its field: at its numbers, and between the decades of a
/// logarithmic one.
enum class Grid : std::uint8_t { none, at_numbers, and_between };

/// Place of a value on paper; values beyond the ends stand at the ends.
[[nodiscard]] double across(const Scale& x, double value, const Field& field);
[[nodiscard]] double up(const Scale& y, double value, const Field& field);

/// As many round numbers as have room beside one another in a field's width.
[[nodiscard]] std::vector<Tick> ticks_with_room(const Scale& x, const Field& field);

/// Numbers to the left of the field, ticks, and its grid.
void draw_upright_axis(Drawing& out, const Scale& y, std::span<const Tick> ticks,
                       const Field& field, Grid grid);
/// Ticks under the field, its grid, and the numbers where `is_numbered`.
void draw_level_axis(Drawing& out, const Scale& x, std::span<const Tick> ticks, const Field& field,
                     Grid grid, bool is_numbered);

} // namespace loomwright::draw
