// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/tile_grid.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright::draw {
namespace {

constexpr double round_to = 10.0; ///< mm: so that coordinates of marks are whole numbers
constexpr int moves = 6;          ///< of the grid, each way
constexpr double look_step = 5.0; ///< mm between the spots of a line that are looked at

/// Spots of all lines, near enough to each other that no tile is missed.
std::vector<Spot> spots_of(const BoardLayout& layout) {
    std::vector<Spot> out = layout.spots;
    for (const std::vector<Spot>& line : layout.lines) {
        for (std::size_t i = 1; i < line.size(); ++i) {
            const int parts = static_cast<int>(distance(line[i - 1], line[i]) / look_step) + 1;
            for (int k = 0; k <= parts; ++k) {
                const double part = static_cast<double>(k) / parts;
                out.push_back(spot_between(line[i - 1], line[i], part));
            }
        }
    }
    return out;
}

/// The tiles on whose own part of the board, half of each strip, a spot is.
std::vector<Tile> tiles_under(const std::vector<Spot>& spots, const TileGrid& grid) {
    constexpr double half = 0.5 * tile_overlap;
    std::vector<Tile> out;
    for (const Spot& spot : spots) {
        const Tile tile{
            static_cast<int>(std::floor((spot.y - grid.origin.y - half) / grid.pitch.y)),
            static_cast<int>(std::floor((spot.x - grid.origin.x - half) / grid.pitch.x))};
        if (out.empty() || out.back() != tile) {
            out.push_back(tile);
        }
    }
    std::ranges::sort(out);
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

double pitch_in(double room) {
    return round_to * std::floor((room - 2.0 * page_margin - tile_overlap) / round_to);
}

/// Where the grid begins: before the board, moved by a part of the pitch.
double origin_of(double pitch, int move) {
    return -tile_overlap - round_to * std::floor(pitch * move / moves / round_to);
}

TileGrid best_grid(const std::vector<Spot>& spots, double width, double height) {
    TileGrid best;
    for (int down = 0; down < moves; ++down) {
        for (int across = 0; across < moves; ++across) {
            TileGrid grid;
            grid.page_width = width;
            grid.page_height = height;
            grid.pitch = {pitch_in(width), pitch_in(height - page_head)};
            grid.origin = {origin_of(grid.pitch.x, across), origin_of(grid.pitch.y, down)};
            grid.tiles = tiles_under(spots, grid);
            if (best.tiles.empty() || grid.tiles.size() < best.tiles.size()) {
                best = std::move(grid);
            }
        }
    }
    return best;
}

} // namespace

Extent TileGrid::window(Tile tile) const {
    const double left = origin.x + tile.column * pitch.x;
    const double top = origin.y + tile.row * pitch.y;
    return {left, top, left + pitch.x + tile_overlap, top + pitch.y + tile_overlap};
}

Spot TileGrid::mark(int row, int column) const {
    constexpr double half = 0.5 * tile_overlap;
    return {origin.x + column * pitch.x + half, origin.y + row * pitch.y + half};
}

bool TileGrid::has(Tile tile) const {
    return std::ranges::binary_search(tiles, tile);
}

std::string tile_name(Tile tile) {
    std::string out;
    for (int left = tile.row + 1; left > 0; left = (left - 1) / 26) {
        out.insert(out.begin(), static_cast<char>('A' + (left - 1) % 26));
    }
    return fmt::format("{}{}", out, tile.column + 1);
}

TileGrid tile_grid(const BoardLayout& layout, const PaperSheet& paper) {
    const std::vector<Spot> spots = spots_of(layout);
    TileGrid upright = best_grid(spots, paper.width, paper.height);
    TileGrid lying = best_grid(spots, paper.height, paper.width);
    return lying.tiles.size() < upright.tiles.size() ? lying : upright;
}

} // namespace loomwright::draw
