// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/chart_curves.hpp"

#include <optional>
#include <vector>

namespace loomwright::draw {

/// A label that wants to stand beside a line of a drawing, in millimetres.
struct LineLabel {
    std::vector<Spot> line; ///< what of it is seen
    double width = 0.0;     ///< of the label
    double height = 0.0;
    double wanted = 0.5; ///< where along the line it would best stand, 0 to 1
};

/// Where a label stands, and the place on its line that it belongs to.
struct LabelPlace {
    Spot corner; ///< its upper left one
    Spot anchor; ///< on the line
    Spot end;    ///< on its edge: where a leader from the anchor comes in
};

/// Places for labels inside a field, in their order: none upon another, and as few as can be upon
/// lines. Nothing for a label without a line, or where no place is left.
[[nodiscard]] std::vector<std::optional<LabelPlace>>
place_at_lines(const std::vector<LineLabel>& labels, const Field& field);

/// Flags over a field: texts that begin at their uprights, so wide, given from left to right. The
/// row of each, counted upward from 0, so that no text lies upon another or upon an upright that
/// goes up to its own text.
[[nodiscard]] std::vector<int> flag_rows(const std::vector<double>& places,
                                         const std::vector<double>& widths);

} // namespace loomwright::draw
