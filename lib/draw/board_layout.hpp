// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_lines.hpp"
#include "draw/board_tree.hpp"

namespace loomwright::draw {

/// The board that a loom is laid on, mm.
struct BoardSize {
    double width = 2400.0; // a common sheet of plywood
    double height = 1200.0;
};

/// A run that was cut open: its end lies beside the point that it joins in the car.
struct BoardCut {
    std::size_t run = 0;
    Spot end;
};

/// A loom flattened: every run as a line that is as long as the run.
struct BoardLayout {
    /// By run, mm, from its `from` on; empty: it has no length.
    std::vector<std::vector<Spot>> lines;
    std::vector<Spot> spots;    ///< by point, mm
    std::vector<BoardCut> cuts; ///< in the order of the runs
    std::size_t pieces = 0;     ///< that do not hang together
    double width = 0.0;         ///< of what it takes, mm; it begins at 0, 0
    double height = 0.0;
    bool fits = true;       ///< on the board that was asked for
    bool is_fanned = false; ///< as rays: no way was found to fold a piece of it
};

/// Lays the loom so that no two runs cross: each piece step by step into what of the board is free,
/// as straight as there is room for; a board that is too small grows. A piece for which that finds
/// no way is laid as rays (board_fan.hpp), which never cross. The same runs give the same board.
[[nodiscard]] BoardLayout lay_on_board(std::size_t points, const std::vector<BoardRun>& runs,
                                       const BoardSize& board);

} // namespace loomwright::draw
