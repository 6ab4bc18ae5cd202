// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_layout.hpp"
#include "draw/paper_sheet.hpp"

#include <string>
#include <vector>

namespace loomwright::draw {

/// Strip that two pages beside each other both show, mm.
inline constexpr double tile_overlap = 10.0;

/// A page of a board printed at full size.
struct Tile {
    int row = 0;
    int column = 0;
    friend auto operator<=>(const Tile&, const Tile&) = default;
};

/// Pages over a board, upright or lying, mm.
struct TileGrid {
    double page_width = 0.0;
    double page_height = 0.0;
    Spot pitch;              ///< from one tile to the next
    Spot origin;             ///< on the board: the corner of tile 0, 0
    std::vector<Tile> tiles; ///< that something lies on, row by row

    /// What of the board a tile shows, the strips that it shares with others counted.
    [[nodiscard]] Extent window(Tile tile) const;
    /// The register mark at a tile's upper left corner: in the middle of the strips.
    [[nodiscard]] Spot mark(int row, int column) const;
    [[nodiscard]] bool has(Tile tile) const;
};

/// "B3": row and column.
[[nodiscard]] std::string tile_name(Tile tile);

/// Room on a page over the window, mm.
inline constexpr double page_head = 16.0;

/// The grid that covers the lines with fewest pages: of paper upright and lying, moved to and fro.
[[nodiscard]] TileGrid tile_grid(const BoardLayout& layout, const PaperSheet& paper);

} // namespace loomwright::draw
