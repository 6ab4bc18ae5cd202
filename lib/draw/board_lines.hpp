// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <vector>

namespace loomwright::draw {

/// A rectangle, mm.
struct Extent {
    double left = 0.0;
    double top = 0.0;
    double right = 0.0;
    double bottom = 0.0;
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return bottom - top; }
    [[nodiscard]] bool holds(Spot spot) const {
        return spot.x >= left && spot.x <= right && spot.y >= top && spot.y <= bottom;
    }
};

[[nodiscard]] double distance(Spot a, Spot b);
/// On the line through both: 0 is `a`, 1 is `b`.
[[nodiscard]] Spot spot_between(Spot a, Spot b, double part);
/// Each line has the ends of the other on both sides of it: to touch is not to cross.
[[nodiscard]] bool lines_cross(Spot a, Spot b, Spot c, Spot d);
/// From a point to the nearest point of the line from `a` to `b`.
[[nodiscard]] double distance_to_line(Spot spot, Spot a, Spot b);
/// Between the nearest points of two lines; 0 where they cross or touch.
[[nodiscard]] double distance_of_lines(Spot a, Spot b, Spot c, Spot d);
[[nodiscard]] double line_length(const std::vector<Spot>& line);
/// The spot so far along a line; its end where it is shorter.
[[nodiscard]] Spot spot_along(const std::vector<Spot>& line, double from_start);
/// What of a line is inside an extent, in pieces.
[[nodiscard]] std::vector<std::vector<Spot>> clip_line(const std::vector<Spot>& line,
                                                       const Extent& extent);

} // namespace loomwright::draw
