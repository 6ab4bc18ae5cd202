// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <vector>

namespace loomwright::draw {

/// A run of a loom as it is laid on a board: two points, and what is between them.
struct BoardRun {
    int from = 0;
    int to = 0;
    double length = 0.0;    ///< mm, 0 or more
    double thickness = 0.0; ///< mm, diameter with its cover
};

/// A run shorter than this (mm) has no length on a board: its two points are one.
inline constexpr double least_run = 0.5;

/// One step of laying a piece of the loom: a run that begins where something lies already.
struct BoardStep {
    std::size_t run = 0;
    int near = 0;            ///< node at which it begins
    int far = 0;             ///< node at which it ends; of a run that is cut open, one of its own
    bool is_onward = false;  ///< goes on along the path of the step before it
    std::size_t leaving = 0; ///< runs that will begin at `far`
    double longest_leaving = 0.0; ///< mm, of these
};

/// A part of the loom that hangs together.
struct BoardPiece {
    int root = 0; ///< node, an end of the longest way through the piece
    std::vector<BoardStep> steps;
};

/// The loom as trees: every loop is cut open at the end of its thinnest run.
struct BoardTree {
    std::vector<int> node_of; ///< by point; points with no length between them share a node
    int nodes = 0;            ///< those of points, then those of cut ends
    std::vector<BoardPiece> pieces;
    std::vector<std::size_t> cuts; ///< runs that are cut open: joined at `from`, free at `to`
};

/// Cuts the graph of points and runs into trees: the thickest runs stay whole, among equals those
/// that come first. Steps go along the longest way of a piece first, then along the longest ways of
/// what is left, the branch with most loom behind it first.
[[nodiscard]] BoardTree board_tree(std::size_t points, const std::vector<BoardRun>& runs);

} // namespace loomwright::draw
