// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The loom on its board, held against geometry: lengths are sums of straight parts, crossings are
// counted on another way, and loops by the cyclomatic number of the graph.
#include "board_checks.hpp"
#include "draw/board_fan.hpp"
#include "draw/board_layout.hpp"
#include "draw/tile_grid.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <random>

using namespace loomwright;
using draw::BoardRun;

namespace {

/// A tree of so many points with some runs more, each of which closes a loop.
std::vector<BoardRun> random_loom(unsigned seed, int points, int loops, unsigned shortest,
                                  unsigned longest) {
    std::mt19937 random(seed);
    const auto below = [&](unsigned count) { return static_cast<int>(random() % count); };
    const auto length = [&]() {
        return static_cast<double>(shortest) + static_cast<double>(below(longest - shortest + 1));
    };
    std::vector<BoardRun> out;
    for (int i = 1; i < points; ++i) {
        const int first = std::max(0, i - 12);
        const int from = first + below(static_cast<unsigned>(i - first));
        out.push_back({from, i, length(), 3.0 + below(20)});
    }
    for (int i = 0; i < loops; ++i) {
        const int from = below(static_cast<unsigned>(points));
        const int to = (from + 1 + below(static_cast<unsigned>(points - 1))) % points;
        out.push_back({from, to, length(), 3.0 + below(20)});
    }
    return out;
}

void check_lengths(const std::vector<BoardRun>& runs, const draw::BoardLayout& board) {
    REQUIRE(board.lines.size() == runs.size());
    for (std::size_t i = 0; i < runs.size(); ++i) {
        if (runs[i].length >= draw::least_run) {
            CHECK(length_of(board.lines[i]) == doctest::Approx(runs[i].length).epsilon(1e-9));
        } else {
            CHECK(board.lines[i].empty());
        }
    }
}

bool is_at(draw::Spot a, draw::Spot b) {
    return std::hypot(a.x - b.x, a.y - b.y) < 1e-6;
}

/// Every run begins at its first point and ends at its second, or at a cut.
void check_joints(const std::vector<BoardRun>& runs, const draw::BoardLayout& board) {
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const std::vector<draw::Spot>& line = board.lines[i];
        if (line.empty()) {
            continue;
        }
        CHECK(is_at(line.front(), board.spots[static_cast<std::size_t>(runs[i].from)]));
        const auto cut = std::ranges::find(board.cuts, i, &draw::BoardCut::run);
        CHECK(is_at(line.back(), cut != board.cuts.end()
                                     ? cut->end
                                     : board.spots[static_cast<std::size_t>(runs[i].to)]));
    }
}

void check_inside(const draw::BoardLayout& board) {
    for (const std::vector<draw::Spot>& line : board.lines) {
        for (const draw::Spot spot : line) {
            CHECK((spot.x >= -1e-6 && spot.x <= board.width + 1e-6));
            CHECK((spot.y >= -1e-6 && spot.y <= board.height + 1e-6));
        }
    }
}

} // namespace

TEST_CASE("looms of many shapes: true lengths, joined at their points, nothing crosses") {
    struct Shape {
        int points;
        int loops;
        unsigned shortest;
        unsigned longest;
    };
    constexpr std::array shapes = {Shape{2, 0, 100, 900},  Shape{6, 0, 2000, 9000},
                                   Shape{20, 3, 50, 1200}, Shape{40, 0, 50, 1500},
                                   Shape{60, 6, 1, 60},    Shape{120, 10, 20, 900},
                                   Shape{300, 0, 50, 1200}};
    for (const Shape& shape : shapes) {
        if (shape.points > 20 && !with_large_looms()) {
            continue;
        }
        for (unsigned seed = 1; seed <= (with_large_looms() && shape.points < 100 ? 6U : 2U);
             ++seed) {
            CAPTURE(shape.points);
            CAPTURE(seed);
            const auto runs =
                random_loom(seed, shape.points, shape.loops, shape.shortest, shape.longest);
            const auto board = draw::lay_on_board(static_cast<std::size_t>(shape.points), runs, {});
            check_lengths(runs, board);
            check_joints(runs, board);
            check_inside(board);
            CHECK(crossings(board.lines) == 0);
            // Edges - nodes + pieces, the cyclomatic number: so many must be cut.
            CHECK(board.cuts.size() == static_cast<std::size_t>(shape.loops));
            CHECK(board.pieces == 1);
        }
    }
}

TEST_CASE("the same runs give the same board") {
    const auto runs = random_loom(7, 30, 3, 50, 1200);
    const auto once = draw::lay_on_board(30, runs, {});
    const auto again = draw::lay_on_board(30, runs, {});
    REQUIRE(once.lines.size() == again.lines.size());
    for (std::size_t i = 0; i < once.lines.size(); ++i) {
        REQUIRE(once.lines[i].size() == again.lines[i].size());
        for (std::size_t k = 0; k < once.lines[i].size(); ++k) {
            CHECK(once.lines[i][k].x == again.lines[i][k].x);
            CHECK(once.lines[i][k].y == again.lines[i][k].y);
        }
    }
}

TEST_CASE("a star of many branches from one point") {
    std::vector<BoardRun> runs;
    const int branches = with_large_looms() ? 40 : 16;
    for (int i = 1; i <= branches; ++i) {
        runs.push_back({0, i, 100.0 + 20.0 * i, 6.0});
    }
    const auto board = draw::lay_on_board(static_cast<std::size_t>(branches) + 1, runs, {});
    check_lengths(runs, board);
    check_joints(runs, board);
    CHECK(crossings(board.lines) == 0);
}

TEST_CASE("a way longer than the board is folded, and stays on it") {
    const std::vector<BoardRun> runs = {{0, 1, 9000.0, 12.0}};
    const auto board = draw::lay_on_board(2, runs, {2400.0, 1200.0});
    CHECK(board.fits);
    CHECK(board.width <= 2400.0);
    CHECK(board.height <= 1200.0);
    check_lengths(runs, board);
    CHECK(crossings(board.lines) == 0);
}

TEST_CASE("runs without length: their points are one") {
    const std::vector<BoardRun> runs = {
        {0, 1, 0.0, 5.0}, {1, 2, 300.0, 5.0}, {0, 3, 200.0, 5.0}, {2, 4, 0.2, 5.0}};
    const auto board = draw::lay_on_board(5, runs, {});
    check_lengths(runs, board);
    CHECK(is_at(board.spots[0], board.spots[1]));
    CHECK(is_at(board.spots[2], board.spots[4]));
    CHECK_FALSE(is_at(board.spots[0], board.spots[2]));
    const auto nothing = draw::lay_on_board(2, {{0, 1, 0.0, 5.0}}, {});
    CHECK(is_at(nothing.spots[0], nothing.spots[1]));
    CHECK(nothing.width == 0.0);
}

TEST_CASE("pieces that do not hang together lie apart") {
    const std::vector<BoardRun> runs = {
        {0, 1, 700.0, 5.0}, {2, 3, 900.0, 5.0}, {3, 4, 300.0, 5.0}, {5, 5, 250.0, 5.0}};
    const auto board = draw::lay_on_board(6, runs, {});
    CHECK(board.pieces == 3);
    CHECK(board.cuts.size() == 1); // a run from a point to itself
    check_lengths(runs, board);
    check_joints(runs, board);
    CHECK(crossings(board.lines) == 0);
    // No point of one piece where another is.
    for (std::size_t i = 0; i < board.spots.size(); ++i) {
        for (std::size_t k = i + 1; k < board.spots.size(); ++k) {
            CHECK_FALSE(is_at(board.spots[i], board.spots[k]));
        }
    }
}

TEST_CASE("the thinnest run of a loop is the one that is cut") {
    const std::vector<BoardRun> runs = {
        {0, 1, 300.0, 20.0}, {1, 2, 300.0, 4.0}, {2, 0, 300.0, 12.0}};
    const auto board = draw::lay_on_board(3, runs, {});
    REQUIRE(board.cuts.size() == 1);
    CHECK(board.cuts.front().run == 1);
    CHECK(is_at(board.lines[1].front(), board.spots[1]));
    CHECK_FALSE(is_at(board.lines[1].back(), board.spots[2]));
}

TEST_CASE("rays never cross, whatever the lengths") {
    for (unsigned seed = 1; seed <= 8; ++seed) {
        const auto runs = random_loom(seed, 80, 0, 10, 2000);
        const draw::BoardTree tree = draw::board_tree(80, runs);
        REQUIRE(tree.pieces.size() == 1);
        const auto lines = draw::fan_out(tree.pieces.front(), runs);
        REQUIRE(lines.size() == runs.size());
        CHECK(crossings(lines) == 0);
        for (std::size_t i = 0; i < lines.size(); ++i) {
            const std::size_t run = tree.pieces.front().steps[i].run;
            CHECK(length_of(lines[i]) == doctest::Approx(runs[run].length).epsilon(1e-9));
        }
    }
}

TEST_CASE("clipping leaves what is inside, and as much of it") {
    const draw::Extent extent{0.0, 0.0, 100.0, 50.0};
    // In at the left, out at the right, and 30 mm back in: 100 + 30 mm of it are inside.
    const auto parts = draw::clip_line({{-20, 10}, {130, 10}, {130, 40}, {70, 40}}, extent);
    REQUIRE(parts.size() == 2);
    CHECK(length_of(parts[0]) == doctest::Approx(100.0));
    CHECK(length_of(parts[1]) == doctest::Approx(30.0));
    CHECK(draw::clip_line({{-20, 60}, {130, 60}}, extent).empty());
    // From corner to corner: 100, 50 by Pythagoras.
    const auto across = draw::clip_line({{-100, -50}, {200, 100}}, extent);
    REQUIRE(across.size() == 1);
    CHECK(length_of(across[0]) == doctest::Approx(std::sqrt(12500.0)));
}

TEST_CASE("tiles: all of the loom is on a page, and neighbours share their marks") {
    for (const draw::PaperSheet& paper : {draw::a4_sheet, draw::letter_sheet}) {
        const auto runs = random_loom(3, 16, 2, 50, 1500);
        const auto board = draw::lay_on_board(16, runs, {});
        const draw::TileGrid grid = draw::tile_grid(board, paper);
        const double on_page_width = grid.window({0, 0}).width() + 2.0 * draw::page_margin;
        CHECK(on_page_width <= grid.page_width);
        CHECK(grid.window({0, 0}).height() + 2.0 * draw::page_margin + draw::page_head <=
              grid.page_height);
        for (const std::vector<draw::Spot>& line : board.lines) {
            const double whole = length_of(line);
            for (double at = 0.0; at <= whole; at += 7.0) {
                const draw::Spot spot = draw::spot_along(line, at);
                CHECK(std::ranges::any_of(grid.tiles, [&](const draw::Tile& tile) {
                    return grid.window(tile).holds(spot);
                }));
            }
        }
        for (const draw::Tile tile : grid.tiles) {
            const draw::Spot mark = grid.mark(tile.row, tile.column + 1);
            CHECK(grid.window(tile).holds(mark));
            CHECK(grid.window({tile.row, tile.column + 1}).holds(mark));
        }
    }
    CHECK(draw::tile_name({0, 0}) == "A1");
    CHECK(draw::tile_name({25, 9}) == "Z10");
    CHECK(draw::tile_name({26, 0}) == "AA1");
}
