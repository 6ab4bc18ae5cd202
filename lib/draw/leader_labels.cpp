// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/leader_labels.hpp"

#include "draw/board_lines.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double out_of_circle = 5.0; ///< from the circle to the elbows
constexpr double shelf = 2.0;         ///< level part of a line before its name

/// Exchanges the places of two names whose lines cross: the lines get shorter each time, so it
/// comes to an end.
void uncross(std::vector<PlacedLabel>& column) {
    bool is_done = false;
    while (!is_done) {
        is_done = true;
        for (std::size_t i = 0; i < column.size(); ++i) {
            for (std::size_t k = i + 1; k < column.size(); ++k) {
                if (lines_cross(column[i].label.from, column[i].elbow, column[k].label.from,
                                column[k].elbow)) {
                    std::swap(column[i].label, column[k].label);
                    is_done = false;
                }
            }
        }
    }
}

std::vector<PlacedLabel> place_column(std::vector<LeaderLabel> labels, const LeaderFrame& frame,
                                      bool is_left) {
    std::ranges::stable_sort(labels, {}, [](const LeaderLabel& label) { return label.from.y; });
    const double side = is_left ? -1.0 : 1.0;
    const double elbow_x = frame.centre.x + side * (frame.radius + out_of_circle);
    double y = frame.centre.y - 0.5 * frame.pitch * (static_cast<double>(labels.size()) - 1.0);
    std::vector<PlacedLabel> out;
    for (LeaderLabel& label : labels) {
        out.push_back({std::move(label), {elbow_x, y}, {elbow_x + side * shelf, y}, is_left});
        y += frame.pitch;
    }
    uncross(out);
    return out;
}

} // namespace

std::vector<PlacedLabel> place_leader_labels(std::vector<LeaderLabel> labels,
                                             const LeaderFrame& frame) {
    std::ranges::stable_sort(labels, {}, [](const LeaderLabel& label) { return label.from.x; });
    const auto middle = labels.begin() + static_cast<std::ptrdiff_t>(labels.size() / 2);
    std::vector<PlacedLabel> out = place_column({labels.begin(), middle}, frame, true);
    for (PlacedLabel& label : place_column({middle, labels.end()}, frame, false)) {
        out.push_back(std::move(label));
    }
    return out;
}

double half_height_of_labels(const std::vector<PlacedLabel>& labels, const LeaderFrame& frame) {
    double out = 0.0;
    for (const PlacedLabel& label : labels) {
        out = std::max(out, std::abs(label.end.y - frame.centre.y) + frame.pitch);
    }
    return out;
}

} // namespace loomwright::draw
