// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/board_layout.hpp"

#include <cstdint>
#include <map>
#include <optional>

namespace loomwright::draw {

/// How a piece is laid.
struct PlacerHabits {
    double clearance = 50.0; ///< mm between runs, where there is room
    double of_sheet = 1.0;   ///< cost of a sheet of paper that no run lies on yet
    Spot start;              ///< of its first run, as a share of the board
};
/// How far round a node runs are kept off as usual, mm.
inline constexpr double usual_guard = 150.0;

/// Lays one piece into a board, each run where it costs least among what lies there already: bends
/// cost, nearness to other runs, paper that no run lies on yet, and ways out that it shuts.
class BoardPlacer {
public:
    /// `guards` by node: how far round it, mm, other runs are kept off while runs will still leave
    /// it; nodes that it does not have are guarded as usual.
    BoardPlacer(const std::vector<BoardRun>& runs, const BoardSize& board,
                const PlacerHabits& habits, const std::map<int, double>& guards);

    /// The line of each step; nothing when a run has no place left.
    [[nodiscard]] std::optional<std::vector<std::vector<Spot>>> lay(const BoardPiece& piece);
    /// (nothing was laid) The node that the run without a place would begin at.
    [[nodiscard]] int stuck_at() const { return stuck_at_; }
    /// What the runs that were laid cost, sheets of paper counted alike whatever the habits.
    [[nodiscard]] double cost() const { return cost_; }

private:
    struct Segment {
        Spot a;
        Spot b;
        double reach = 0.0; ///< half its run's thickness
        int begins_at = -1; ///< node where `a` is, -1: a bend
        int ends_at = -1;
    };
    struct Node {
        Spot at;
        double heading = 0.0; ///< direction of the run that came here
        std::size_t open = 0; ///< runs that will still begin here
        double guard = usual_guard;
        std::vector<double> directions; ///< in which runs leave it
    };

    [[nodiscard]] std::vector<std::vector<Spot>> ways_of(const Node& near, double length) const;
    void add_folds(const Node& near, double length, int direction,
                   std::vector<std::vector<Spot>>& out) const;
    [[nodiscard]] bool is_on_board(const std::vector<Spot>& way) const;
    [[nodiscard]] double cost_of_shape(const std::vector<Spot>& way, const BoardStep& step) const;
    [[nodiscard]] std::optional<double> cost_of_room(const std::vector<Spot>& way,
                                                     const BoardStep& step, double most) const;
    [[nodiscard]] std::optional<double> cost_beside(const std::vector<Spot>& way, std::size_t leg,
                                                    const BoardStep& step,
                                                    const Segment& other) const;
    [[nodiscard]] double cost_of_shut(const std::vector<Spot>& way, const BoardStep& step) const;
    [[nodiscard]] int free_directions(const std::vector<Spot>& way, double length) const;
    [[nodiscard]] std::vector<std::size_t> sheets_under(const std::vector<Spot>& way) const;
    bool place(const BoardStep& step, std::vector<Spot>& out);
    void keep(const BoardStep& step, const std::vector<Spot>& way);

    const std::vector<BoardRun>& runs_;
    BoardSize board_;
    PlacerHabits habits_;
    const std::map<int, double>& guards_;
    double cost_ = 0.0;
    int stuck_at_ = -1;
    std::vector<Segment> segments_;
    std::vector<Node> nodes_;
    std::vector<std::uint8_t> is_used_; ///< by sheet of paper
    std::size_t sheets_across_ = 1;
};

} // namespace loomwright::draw
