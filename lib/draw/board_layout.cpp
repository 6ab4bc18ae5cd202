// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/board_layout.hpp"

#include "draw/board_fan.hpp"
#include "draw/board_placer.hpp"

#include <algorithm>
#include <array>
#include <limits>

namespace loomwright::draw {
namespace {

constexpr double between_pieces = 150.0; ///< mm

/// How hard it is tried: by how much the board grows, and how near runs may lie, mm.
struct Attempt {
    double width = 1.0;
    double height = 1.0;
    double clearance = 50.0;
};
constexpr std::array attempts = {Attempt{1.0, 1.0, 50.0}, Attempt{1.0, 1.0, 35.0},
                                 Attempt{1.0, 1.5, 50.0}, Attempt{1.0, 2.0, 40.0},
                                 Attempt{1.5, 3.0, 50.0}, Attempt{2.5, 6.0, 60.0}};

using Lines = std::vector<std::vector<Spot>>;

Extent extent_of(const Lines& lines) {
    constexpr double far = std::numeric_limits<double>::max();
    Extent out{far, far, -far, -far};
    for (const std::vector<Spot>& line : lines) {
        for (const Spot spot : line) {
            out = {std::min(out.left, spot.x), std::min(out.top, spot.y),
                   std::max(out.right, spot.x), std::max(out.bottom, spot.y)};
        }
    }
    return out;
}

class Layer {
public:
    Layer(std::size_t points, const std::vector<BoardRun>& runs, const BoardSize& board)
        : runs_(runs), board_(board), tree_(board_tree(points, runs)),
          at_(static_cast<std::size_t>(tree_.nodes)) {
        out_.lines.resize(runs.size());
    }

    BoardLayout make() {
        for (const BoardPiece& piece : tree_.pieces) {
            add(piece, lay(piece));
        }
        for (const int node : tree_.node_of) {
            out_.spots.push_back(at_[static_cast<std::size_t>(node)]);
        }
        for (const std::size_t run : tree_.cuts) {
            out_.cuts.push_back({run, out_.lines[run].back()});
        }
        out_.pieces = tree_.pieces.size();
        out_.fits = out_.width <= board_.width + 1e-6 && out_.height <= board_.height + 1e-6;
        return std::move(out_);
    }

private:
    Lines lay(const BoardPiece& piece) {
        for (const Attempt& attempt : attempts) {
            const BoardSize board{board_.width * attempt.width, board_.height * attempt.height};
            if (auto lines = BoardPlacer(runs_, board, attempt.clearance).lay(piece)) {
                return std::move(*lines);
            }
        }
        out_.is_fanned = true;
        return fan_out(piece, runs_);
    }

    /// Beside the pieces of its row, or under them all.
    void add(const BoardPiece& piece, const Lines& lines) {
        const Extent extent = lines.empty() ? Extent() : extent_of(lines);
        if (corner_.x > 0.0 && corner_.x + extent.width() > board_.width) {
            corner_ = {0.0, out_.height + between_pieces};
        }
        const Spot by{corner_.x - extent.left, corner_.y - extent.top};
        at_[static_cast<std::size_t>(piece.root)] =
            lines.empty() ? by : lines.front().front() + by;
        for (std::size_t i = 0; i < piece.steps.size(); ++i) {
            std::vector<Spot>& line = out_.lines[piece.steps[i].run];
            for (const Spot spot : lines[i]) {
                line.push_back(spot + by);
            }
            at_[static_cast<std::size_t>(piece.steps[i].far)] = line.back();
        }
        out_.width = std::max(out_.width, corner_.x + extent.width());
        out_.height = std::max(out_.height, corner_.y + extent.height());
        corner_.x += extent.width() + between_pieces;
    }

    const std::vector<BoardRun>& runs_;
    BoardSize board_;
    BoardTree tree_;
    std::vector<Spot> at_; ///< by node
    Spot corner_;          ///< where the next piece would go
    BoardLayout out_;
};

} // namespace

BoardLayout lay_on_board(std::size_t points, const std::vector<BoardRun>& runs,
                         const BoardSize& board) {
    return Layer(points, runs, board).make();
}

} // namespace loomwright::draw
