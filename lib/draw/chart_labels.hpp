// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <utility>
#include <vector>

namespace loomwright::draw {

/// A label beside a curve: where it would stand and how high it is, in millimetres downward.
struct SideLabel {
    double wanted = 0.0; ///< of its middle
    double height = 0.0;
};

/// The middles of the labels, in the same order: as near to where each would stand as they can be
/// without overlapping, between `top` and `bottom` if they have room there.
[[nodiscard]] std::vector<double> place_labels(const std::vector<SideLabel>& labels, double top,
                                               double bottom);

/// Rows, counted from 0, in which stretches from..to do not touch; -1 where all `most` rows are
/// taken. In the order of the stretches, which go from left to right.
[[nodiscard]] std::vector<int>
place_in_rows(const std::vector<std::pair<double, double>>& stretches, int most);

} // namespace loomwright::draw
