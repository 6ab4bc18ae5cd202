// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/loom_plan.hpp"

namespace loomwright::draw {

/// Where a part of the board stands on paper.
struct BoardView {
    Extent window; ///< of the board, mm: what is shown
    Spot at;       ///< on paper, of the window's upper left corner
    double scale = 1.0;
    [[nodiscard]] Spot on_paper(Spot board) const {
        return {at.x + scale * (board.x - window.left), at.y + scale * (board.y - window.top)};
    }
    [[nodiscard]] Extent on_paper() const {
        return {at.x, at.y, at.x + scale * window.width(), at.y + scale * window.height()};
    }
};

/// How much stands beside runs and points.
struct FigureTexts {
    double size = 2.6;
    bool has_points = true; ///< names of points and cut ends, and what is there
    bool has_runs = true;
    std::size_t most_lines = 4; ///< of what is at a point
    /// Room round the window on paper that texts may use.
    double room = 0.0;
};

/// Draws what of the loom is in the view: each run as thick as it is, its middle line as long as
/// the run; points, cut ends, and texts beside them. The edges of runs and their round ends reach
/// over the window; a text that has no place is left out.
void draw_loom_figure(Drawing& out, const StudyInput& study, const LoomPlan& plan,
                      const BoardView& view, const FigureTexts& texts);

} // namespace loomwright::draw
