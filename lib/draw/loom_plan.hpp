// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_layout.hpp"
#include "loom/bundle.hpp"
#include "sizing/sizing.hpp"

#include <string>
#include <vector>

namespace loomwright::draw {

/// A run of the loom as it lies on the board.
struct PlannedRun {
    RunId run;
    double length = 0.0;   ///< mm
    double diameter = 0.0; ///< mm, with its cover
    std::string cover;     ///< as bought; "" without one
    std::size_t wires = 0;
    std::vector<Spot> line; ///< mm on the board; empty: it has no length
    std::string twin;       ///< letter of the cut at its free end; "" where it is whole
};

/// A point of the loom as it lies on the board.
struct PlannedPoint {
    PointId point;
    Spot at;
    std::vector<std::string> things; ///< devices there, in the order of the file
    std::vector<std::string> twins;  ///< letters of the cuts whose free ends join it
    std::size_t runs = 0;            ///< drawn ones that end there; 1: the end of a branch
};

/// The loom of a car flattened on a board.
struct LoomPlan {
    std::vector<PlannedRun> runs;     ///< those that new wires lie in, in the order of the file
    std::vector<PlannedPoint> points; ///< their ends, in the order of the file
    BoardSize board;                  ///< that was asked for
    BoardLayout layout;
    std::size_t left_out = 0; ///< runs of the car without a new wire
};

/// The runs of a car that are laced: those with a wire that is not old wiring kept.
[[nodiscard]] std::vector<RunId> laced_runs(const StudyInput& study);

[[nodiscard]] LoomPlan loom_plan(const StudyInput& study, const Sizing& sizing,
                                 const BoardSize& board);
/// The same with the bundles of all runs, by RunId, at hand.
[[nodiscard]] LoomPlan loom_plan(const StudyInput& study, const std::vector<RunBundle>& bundles,
                                 const BoardSize& board);

/// What is said under a drawing of the plan: how it lies, where it is cut open, what has no length.
[[nodiscard]] std::vector<std::string> plan_notes(const StudyInput& study, const LoomPlan& plan);

} // namespace loomwright::draw
