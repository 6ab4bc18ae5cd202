// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/board_layout.hpp"

#include "draw/board_fan.hpp"
#include "draw/board_placer.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <map>
#include <optional>
#include <utility>

namespace loomwright::draw {
namespace {

constexpr double between_pieces = 150.0; ///< mm

/// Boards that are tried one after the other, as many times the one asked for, until one takes it.
struct Growth {
    double width = 1.0;
    double height = 1.0;
};
constexpr std::array growths = {Growth{1.0, 1.0}, Growth{1.0, 1.5}, Growth{1.5, 2.0},
                                Growth{2.5, 4.0}, Growth{4.0, 8.0}, Growth{8.0, 16.0}};

/// How it is tried on each.
constexpr std::array habits = {
    PlacerHabits{50.0, 0.3, {0.0, 0.5}},  PlacerHabits{50.0, 0.3, {0.0, 0.25}},
    PlacerHabits{50.0, 1.0, {0.0, 0.5}},  PlacerHabits{50.0, 1.0, {0.0, 0.25}},
    PlacerHabits{50.0, 1.0, {0.0, 0.75}}, PlacerHabits{50.0, 1.0, {0.0, 0.03}},
    PlacerHabits{35.0, 1.0, {0.0, 0.5}},  PlacerHabits{40.0, 0.3, {0.3, 0.5}},
    PlacerHabits{35.0, 0.3, {0.0, 0.5}},  PlacerHabits{60.0, 0.0, {0.0, 0.5}}};
/// And how often with more room kept round the points where it went wrong before ("squeaky wheel":
/// D. Joslin and D. Clements, Journal of Artificial Intelligence Research 10, 1999).
constexpr int rounds = 3;
constexpr double more_guard = 2.0;
constexpr double most_guard = 1500.0;
constexpr std::size_t many_runs = 60; ///< the first attempt that comes out is taken
/// Width, mm, that a run takes with what it must be clear of: a board that holds less is not tried.
constexpr double least_lane = 60.0;

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
    /// Of the attempts on the smallest board that takes the piece the one that costs least.
    Lines lay(const BoardPiece& piece) {
        double loom = 0.0;
        for (const BoardStep& step : piece.steps) {
            loom += runs_[step.run].length;
        }
        std::vector<Growth> sizes(growths.begin(), growths.end());
        if (tree_.pieces.size() > 1) { // first its share of the board
            sizes.insert(sizes.begin(), {1.0, share_of(loom)});
        }
        for (const Growth& growth : sizes) {
            const BoardSize board{board_.width * growth.width, board_.height * growth.height};
            if (loom * least_lane > board.width * board.height) {
                continue;
            }
            if (auto lines = lay_on(board, piece)) {
                return std::move(*lines);
            }
        }
        out_.is_fanned = true;
        return fan_out(piece, runs_);
    }

    /// Of all the loom, what so much of it is.
    [[nodiscard]] double share_of(double loom) const {
        double all = 0.0;
        for (const BoardRun& run : runs_) {
            all += run.length;
        }
        return all > 0.0 ? loom / all : 1.0;
    }

    [[nodiscard]] std::optional<Lines> lay_on(const BoardSize& board,
                                              const BoardPiece& piece) const {
        std::optional<Lines> best;
        double least = 0.0;
        for (const PlacerHabits& habit : habits) {
            std::map<int, double> guards;
            for (int round = 0; round < rounds; ++round) {
                BoardPlacer placer(runs_, board, habit, guards);
                auto lines = placer.lay(piece);
                if (lines) {
                    if (!best || placer.cost() < least) {
                        best = std::move(lines);
                        least = placer.cost();
                    }
                    break;
                }
                double& guard = guards.try_emplace(placer.stuck_at(), usual_guard).first->second;
                guard = std::min(most_guard, more_guard * guard);
            }
            if (best && piece.steps.size() > many_runs) {
                break;
            }
        }
        return best;
    }

    /// Beside the pieces of its row, or under them all.
    void add(const BoardPiece& piece, const Lines& lines) {
        const Extent extent = lines.empty() ? Extent() : extent_of(lines);
        if (corner_.x > 0.0 && corner_.x + extent.width() > board_.width) {
            corner_ = {0.0, out_.height + between_pieces};
        }
        const Spot by{corner_.x - extent.left, corner_.y - extent.top};
        at_[static_cast<std::size_t>(piece.root)] = lines.empty() ? by : lines.front().front() + by;
        for (std::size_t i = 0; i < piece.steps.size(); ++i) {
            std::vector<Spot>& line = out_.lines[piece.steps[i].run];
            for (const Spot spot : lines[i]) {
                line.push_back(spot + by);
            }
            at_[static_cast<std::size_t>(piece.steps[i].far)] = line.back();
            const int from =
                tree_.node_of[static_cast<std::size_t>(runs_[piece.steps[i].run].from)];
            if (piece.steps[i].near != from) {
                std::ranges::reverse(line);
            }
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
