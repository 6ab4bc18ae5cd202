// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <string>
#include <vector>

namespace loomwright::draw {

/// Something in a round figure whose name has no room in it.
struct LeaderLabel {
    Spot from; ///< where its line begins
    std::string text;
};

/// Where the names stand: beside a circle, in a column left and one right of it.
struct LeaderFrame {
    Spot centre;
    double radius = 0.0; ///< of what the lines must come out of
    double text_size = 2.4;
    double pitch = 3.2; ///< from one name to the next below it
};

/// A name in its place, with the line from `from` over `elbow` to `end`.
struct PlacedLabel {
    LeaderLabel label;
    Spot elbow;
    Spot end;
    bool is_left = false;
};

/// Names in two columns, their lines crossing none of the same side. The columns are as high as
/// they must be: `height_of_labels`.
[[nodiscard]] std::vector<PlacedLabel> place_leader_labels(std::vector<LeaderLabel> labels,
                                                           const LeaderFrame& frame);

/// Half the height of the taller of the two columns.
[[nodiscard]] double half_height_of_labels(const std::vector<PlacedLabel>& labels,
                                           const LeaderFrame& frame);

} // namespace loomwright::draw
