// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Clipping after Liang and Barsky ("A new concept and method for line clipping", 1984): a line
// a + t (b - a) is inside a rectangle for t between the greatest entry and the least exit of the
// four sides.
#include "draw/board_lines.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

namespace loomwright::draw {
namespace {

double cross(Spot a, Spot b, Spot c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

/// The parts of the way from a to b at which it comes in and goes out; nothing: it is outside.
std::optional<std::pair<double, double>> inside(Spot a, Spot b, const Extent& extent) {
    const std::array<std::pair<double, double>, 4> sides = {{{a.x - b.x, a.x - extent.left},
                                                             {b.x - a.x, extent.right - a.x},
                                                             {a.y - b.y, a.y - extent.top},
                                                             {b.y - a.y, extent.bottom - a.y}}};
    double in = 0.0;
    double out = 1.0;
    for (const auto& [slope, room] : sides) {
        if (slope == 0.0 && room < 0.0) {
            return std::nullopt;
        }
        if (slope < 0.0) {
            in = std::max(in, room / slope);
        } else if (slope > 0.0) {
            out = std::min(out, room / slope);
        }
    }
    return in < out ? std::optional(std::pair{in, out}) : std::nullopt;
}

} // namespace

double distance(Spot a, Spot b) {
    return std::hypot(b.x - a.x, b.y - a.y);
}

Spot spot_between(Spot a, Spot b, double part) {
    return {a.x + part * (b.x - a.x), a.y + part * (b.y - a.y)};
}

bool lines_cross(Spot a, Spot b, Spot c, Spot d) {
    return cross(a, b, c) * cross(a, b, d) < 0.0 && cross(c, d, a) * cross(c, d, b) < 0.0;
}

double distance_to_line(Spot spot, Spot a, Spot b) {
    const double dx = b.x - a.x;
    const double dy = b.y - a.y;
    const double squared = dx * dx + dy * dy;
    const double part =
        squared > 0.0 ? std::clamp(((spot.x - a.x) * dx + (spot.y - a.y) * dy) / squared, 0.0, 1.0)
                      : 0.0;
    return distance(spot, spot_between(a, b, part));
}

double distance_of_lines(Spot a, Spot b, Spot c, Spot d) {
    if (lines_cross(a, b, c, d)) {
        return 0.0;
    }
    return std::min({distance_to_line(a, c, d), distance_to_line(b, c, d),
                     distance_to_line(c, a, b), distance_to_line(d, a, b)});
}

double line_length(const std::vector<Spot>& line) {
    double out = 0.0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        out += distance(line[i - 1], line[i]);
    }
    return out;
}

Spot spot_along(const std::vector<Spot>& line, double from_start) {
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double length = distance(line[i - 1], line[i]);
        if (from_start <= length && length > 0.0) {
            return spot_between(line[i - 1], line[i], from_start / length);
        }
        from_start -= length;
    }
    return line.back();
}

std::vector<std::vector<Spot>> clip_line(const std::vector<Spot>& line, const Extent& extent) {
    std::vector<std::vector<Spot>> out;
    bool goes_on = false;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const auto part = inside(line[i - 1], line[i], extent);
        if (!part) {
            goes_on = false;
            continue;
        }
        if (!goes_on || part->first > 0.0) {
            out.push_back({spot_between(line[i - 1], line[i], part->first)});
        }
        out.back().push_back(part->second < 1.0 ? spot_between(line[i - 1], line[i], part->second)
                                                : line[i]);
        goes_on = part->second >= 1.0;
    }
    return out;
}

} // namespace loomwright::draw
