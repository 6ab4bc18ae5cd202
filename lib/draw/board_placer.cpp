// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Each run tries straight lines in all directions, lines with one bend, and lines folded to and
// fro. Of those that cross nothing the one that costs least is kept. The costs are our own choice.
#include "draw/board_placer.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace loomwright::draw {
namespace {

constexpr int directions = 24;
constexpr double turn = 2.0 * std::numbers::pi;
constexpr double least_angle = 14.0 / 360.0 * turn; ///< between two runs at a point
constexpr double touching = 0.2;                    ///< mm: nearer, runs lie upon another
constexpr double too_near = 6.0;                    ///< mm between the edges of two runs
constexpr double round_point = 60.0; ///< mm: so far from their point runs are near another
constexpr double before_bend = 60.0;
constexpr double print_width = 180.0; ///< of a page of a print at full size, about
constexpr double print_height = 240.0;
constexpr double most_out_of_point = 400.0; ///< free line that a run needs to leave a point

// Costs, in sheets of paper.
constexpr double sheet_weight = 2.0; ///< of a sheet, where whole layings are compared
constexpr double of_bend = 1.6;
constexpr double of_turn = 1.0; ///< of the way along a path, for 45 degrees
constexpr double of_odd_direction = 0.4;
constexpr double of_narrow = 3.0; ///< beside another run
constexpr double of_too_near = 20.0;
constexpr double of_shut = 3.0;       ///< before a point that runs will still leave
constexpr double of_no_way_out = 4.0; ///< for each run that will have none

Spot towards(double angle, double length) {
    const auto exact = [](double value) { return std::abs(value) < 1e-12 ? 0.0 : value; };
    return {length * exact(std::cos(angle)), length * exact(std::sin(angle))};
}

double direction_angle(int direction) {
    return turn * direction / directions;
}

double direction_of(Spot a, Spot b) {
    return std::atan2(b.y - a.y, b.x - a.x);
}

/// Between two directions, 0 to half a turn.
double angle_between(double a, double b) {
    return std::abs(std::remainder(a - b, turn));
}

bool is_far(Spot a, Spot b, Spot c, Spot d, double gap) {
    return std::min(a.x, b.x) > std::max(c.x, d.x) + gap ||
           std::min(c.x, d.x) > std::max(a.x, b.x) + gap ||
           std::min(a.y, b.y) > std::max(c.y, d.y) + gap ||
           std::min(c.y, d.y) > std::max(a.y, b.y) + gap;
}

} // namespace

BoardPlacer::BoardPlacer(const std::vector<BoardRun>& runs, const BoardSize& board,
                         const PlacerHabits& habits, const std::map<int, double>& guards)
    : runs_(runs), board_(board), habits_(habits), guards_(guards),
      sheets_across_(static_cast<std::size_t>(board.width / print_width) + 1) {
    is_used_.assign(sheets_across_ * (static_cast<std::size_t>(board.height / print_height) + 1),
                    0);
}

std::optional<std::vector<std::vector<Spot>>> BoardPlacer::lay(const BoardPiece& piece) {
    int last = piece.root;
    std::size_t at_root = 0;
    for (const BoardStep& step : piece.steps) {
        last = std::max(last, step.far);
        at_root += step.near == piece.root ? 1 : 0;
    }
    nodes_.assign(static_cast<std::size_t>(last) + 1, Node());
    for (const auto& [node, guard] : guards_) {
        nodes_[static_cast<std::size_t>(node)].guard = guard;
    }
    Node& root = nodes_[static_cast<std::size_t>(piece.root)];
    root.at = {habits_.start.x * board_.width, habits_.start.y * board_.height};
    root.open = at_root;
    std::vector<std::vector<Spot>> out;
    for (const BoardStep& step : piece.steps) {
        out.emplace_back();
        if (!place(step, out.back())) {
            stuck_at_ = step.near;
            return std::nullopt;
        }
    }
    return out;
}

bool BoardPlacer::place(const BoardStep& step, std::vector<Spot>& out) {
    const Node& near = nodes_[static_cast<std::size_t>(step.near)];
    double least = 0.0;
    for (std::vector<Spot>& way : ways_of(near, runs_[step.run].length)) {
        if (!is_on_board(way)) {
            continue;
        }
        const double shape = cost_of_shape(way, step);
        if (!out.empty() && shape >= least) {
            continue;
        }
        const auto room = cost_of_room(way, step, out.empty() ? 1e9 : least - shape);
        if (room && (out.empty() || shape + *room < least)) {
            least = shape + *room;
            out = std::move(way);
        }
    }
    if (out.empty()) {
        return false;
    }
    cost_ += least;
    keep(step, out);
    return true;
}

std::vector<std::vector<Spot>> BoardPlacer::ways_of(const Node& near, double length) const {
    constexpr std::array stubs = {60.0, 90.0, 120.0, 180.0, 240.0, 360.0, 480.0, 720.0};
    std::vector<std::vector<Spot>> out;
    for (int direction = 0; direction < directions; ++direction) {
        const double angle = direction_angle(direction);
        if (std::ranges::any_of(near.directions, [&](double other) {
                return angle_between(other, angle) < least_angle;
            })) {
            continue;
        }
        out.push_back({near.at, near.at + towards(angle, length)});
        if (direction % 3 != 0) {
            continue; // bends begin in the eight main directions
        }
        for (const double stub : stubs) {
            if (stub > length - before_bend) {
                break;
            }
            const Spot bend = near.at + towards(angle, stub);
            for (const int by : {3, -3, 6, -6}) {
                out.push_back({near.at, bend,
                               bend + towards(direction_angle(direction + by), length - stub)});
            }
        }
        if (direction % 6 == 0) {
            add_folds(near, length, direction, out);
        }
    }
    return out;
}

/// To and fro between the edges of the board, or in shorter legs.
void BoardPlacer::add_folds(const Node& near, double length, int direction,
                            std::vector<std::vector<Spot>>& out) const {
    const Spot ahead = towards(direction_angle(direction), 1.0);
    const double room = ahead.x > 0.5    ? board_.width - near.at.x
                        : ahead.x < -0.5 ? near.at.x
                        : ahead.y > 0.5  ? board_.height - near.at.y
                                         : near.at.y;
    const double across = ahead.x * ahead.x > 0.5 ? board_.width : board_.height;
    for (const double leg : {room, 240.0, 480.0, 960.0, 0.5 * across}) {
        if (leg < before_bend || leg >= length || leg > room) {
            continue;
        }
        for (const double lane : {2.0 * habits_.clearance, 4.0 * habits_.clearance}) {
            for (const int side : {6, -6}) {
                std::vector<Spot> way = {near.at};
                double left = length;
                bool is_ahead = true;
                double next = leg;
                while (left > 0.0) {
                    const double part = std::min(left, next);
                    way.push_back(way.back() + Spot{(is_ahead ? part : -part) * ahead.x,
                                                    (is_ahead ? part : -part) * ahead.y});
                    left -= part;
                    if (left > 0.0) {
                        const double over = std::min(left, lane);
                        way.push_back(way.back() +
                                      towards(direction_angle(direction + side), over));
                        left -= over;
                    }
                    is_ahead = !is_ahead;
                    next = leg == room ? across : leg;
                }
                out.push_back(std::move(way));
            }
        }
    }
}

bool BoardPlacer::is_on_board(const std::vector<Spot>& way) const {
    return std::ranges::all_of(way, [this](Spot spot) {
        return spot.x >= -1e-6 && spot.x <= board_.width + 1e-6 && spot.y >= -1e-6 &&
               spot.y <= board_.height + 1e-6;
    });
}

std::vector<std::size_t> BoardPlacer::sheets_under(const std::vector<Spot>& way) const {
    constexpr double step = 30.0;
    std::vector<std::size_t> out;
    for (std::size_t i = 1; i < way.size(); ++i) {
        const int parts = static_cast<int>(distance(way[i - 1], way[i]) / step) + 1;
        for (int k = 0; k <= parts; ++k) {
            const double part = static_cast<double>(k) / parts;
            const double x = way[i - 1].x + part * (way[i].x - way[i - 1].x);
            const double y = way[i - 1].y + part * (way[i].y - way[i - 1].y);
            const std::size_t sheet =
                static_cast<std::size_t>(std::max(y, 0.0) / print_height) * sheets_across_ +
                static_cast<std::size_t>(std::max(x, 0.0) / print_width);
            if (sheet < is_used_.size() && std::ranges::find(out, sheet) == out.end()) {
                out.push_back(sheet);
            }
        }
    }
    return out;
}

double BoardPlacer::cost_of_shape(const std::vector<Spot>& way, const BoardStep& step) const {
    const Node& near = nodes_[static_cast<std::size_t>(step.near)];
    const double angle = direction_of(way[0], way[1]);
    const double turned = angle_between(angle, near.heading);
    double cost = of_bend * static_cast<double>(way.size() - 2);
    cost += step.is_onward ? of_turn * turned / (turn / 8.0) : 0.0;
    const double in_eighths = angle / (turn / 8.0);
    cost += std::abs(in_eighths - std::round(in_eighths)) > 0.01 ? of_odd_direction : 0.0;
    for (const std::size_t sheet : sheets_under(way)) {
        cost += is_used_[sheet] == 0 ? habits_.of_sheet : 0.0;
    }
    return cost;
}

/// What the way costs beside one line that lies there; nothing: it would lie upon it.
std::optional<double> BoardPlacer::cost_beside(const std::vector<Spot>& way, std::size_t leg,
                                               const BoardStep& step, const Segment& other) const {
    Spot a = way[leg - 1];
    const Spot b = way[leg];
    const double both_halves = 0.5 * runs_[step.run].thickness + other.reach;
    const double clear = habits_.clearance + both_halves;
    if (is_far(a, b, other.a, other.b, clear)) {
        return 0.0;
    }
    const bool begins_here =
        leg == 1 && (other.begins_at == step.near || other.ends_at == step.near);
    if (begins_here) { // their angle keeps them apart
        const double length = distance(a, b);
        const double part = std::min(0.5, round_point / length);
        a = a + Spot{part * (b.x - a.x), part * (b.y - a.y)};
    }
    const double apart = distance_of_lines(a, b, other.a, other.b);
    if (apart < touching && !(begins_here && apart > 0.0)) {
        return std::nullopt;
    }
    return (apart < too_near + both_halves ? of_too_near : 0.0) +
           (apart < clear ? of_narrow * (1.0 - apart / clear) : 0.0);
}

std::optional<double> BoardPlacer::cost_of_room(const std::vector<Spot>& way, const BoardStep& step,
                                                double most) const {
    double cost = 0.0;
    for (std::size_t leg = 1; leg < way.size(); ++leg) {
        for (const Segment& other : segments_) {
            const auto beside = cost_beside(way, leg, step, other);
            if (!beside) {
                return std::nullopt;
            }
            cost += *beside;
            if (cost >= most) {
                return std::nullopt;
            }
        }
    }
    cost += cost_of_shut(way, step);
    if (cost < most && step.leaving > 0) {
        const int ways_out =
            free_directions(way, std::min(step.longest_leaving, most_out_of_point));
        cost += of_no_way_out * std::max(0, static_cast<int>(step.leaving) - ways_out);
    }
    return cost;
}

/// Before other points that runs will still leave.
double BoardPlacer::cost_of_shut(const std::vector<Spot>& way, const BoardStep& step) const {
    double cost = 0.0;
    for (std::size_t i = 0; i < nodes_.size(); ++i) {
        const Node& node = nodes_[i];
        if (node.open == 0 || i == static_cast<std::size_t>(step.near)) {
            continue;
        }
        for (std::size_t leg = 1; leg < way.size(); ++leg) {
            const double apart = distance_to_line(node.at, way[leg - 1], way[leg]);
            const double weight = of_shut * node.guard / usual_guard;
            cost += apart < node.guard ? weight * (1.0 - apart / node.guard) : 0.0;
        }
    }
    return cost;
}

/// Of the eight main directions, those in which a run could leave the end of a way.
int BoardPlacer::free_directions(const std::vector<Spot>& way, double length) const {
    const Spot at = way.back();
    const double back = direction_of(at, way[way.size() - 2]);
    int out = 0;
    for (int direction = 0; direction < directions; direction += 3) {
        const double angle = direction_angle(direction);
        const Spot end = at + towards(angle, length);
        const bool is_free = angle_between(angle, back) > least_angle && is_on_board({at, end}) &&
                             std::ranges::none_of(segments_, [&](const Segment& other) {
                                 return !is_far(at, end, other.a, other.b, touching) &&
                                        distance_of_lines(at, end, other.a, other.b) < touching;
                             });
        out += is_free ? 1 : 0;
    }
    return out;
}

void BoardPlacer::keep(const BoardStep& step, const std::vector<Spot>& way) {
    for (std::size_t leg = 1; leg < way.size(); ++leg) {
        segments_.push_back({way[leg - 1], way[leg], 0.5 * runs_[step.run].thickness,
                             leg == 1 ? step.near : -1, leg + 1 == way.size() ? step.far : -1});
    }
    for (const std::size_t sheet : sheets_under(way)) {
        cost_ += is_used_[sheet] == 0 ? sheet_weight - habits_.of_sheet : 0.0;
        is_used_[sheet] = 1;
    }
    Node& near = nodes_[static_cast<std::size_t>(step.near)];
    near.directions.push_back(direction_of(way[0], way[1]));
    near.open -= 1;
    Node& far = nodes_[static_cast<std::size_t>(step.far)];
    far.at = way.back();
    far.heading = direction_of(way[way.size() - 2], way.back());
    far.open = step.leaving;
    far.directions = {direction_of(way.back(), way[way.size() - 2])};
}

} // namespace loomwright::draw
