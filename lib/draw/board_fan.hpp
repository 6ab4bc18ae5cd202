// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_lines.hpp"
#include "draw/board_tree.hpp"

namespace loomwright::draw {

/// A piece of a loom as straight lines of true length that never cross, on a board without end: the
/// line of each step by its place in the piece. Each branch has an angle of its own that all behind
/// it stays in, as wide as it has ends (the equal-angle drawing of trees: J. Felsenstein, Inferring
/// Phylogenies, 2004, chapter 34).
[[nodiscard]] std::vector<std::vector<Spot>> fan_out(const BoardPiece& piece,
                                                     const std::vector<BoardRun>& runs);

} // namespace loomwright::draw
