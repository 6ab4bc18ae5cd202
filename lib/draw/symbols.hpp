// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/band.hpp"
#include "draw/drawing.hpp"

namespace loomwright::draw {

/// Half the length of an axis that a symbol takes, at scale 1.
inline constexpr double symbol_half = 5.0;
/// Width of its lines.
inline constexpr double symbol_line = 0.25;

/// Draws a symbol (after IEC 60617, current from left to right) with its middle at `centre`; lines
/// to its ends included. Turned: mirrored, what stands at its left is at its right.
void draw_symbol(Drawing& out, Symbol symbol, Spot centre, double scale = 1.0,
                 bool is_turned = false);

/// The sign of a connection to the car's metal, hung on `at`.
void draw_ground(Drawing& out, Spot at, double scale = 1.0);

} // namespace loomwright::draw
