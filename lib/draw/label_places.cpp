// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Labels beside lines: of many places round many spots of its line each label takes the one that
// costs least. A place costs by the spots of lines it would cover, by those its leader would cross,
// by its distance, and by how far its spot is from where it would best stand. Common practice of
// map making, no source.
#include "draw/label_places.hpp"

#include "draw/board_lines.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>

namespace loomwright::draw {
namespace {

constexpr double spot_step = 1.0; // mm between the spots that stand for a line
constexpr double anchor_step = 3.0;
constexpr double leader_step = 0.7;
constexpr double near = 0.6;            // mm: a leader so near to a line crosses it
constexpr double label_clearance = 0.9; // round a label
constexpr double covering = 2.0;        // costs, for each spot
constexpr double crossing = 1.5;
constexpr double distance_cost = 0.4; // for each mm
constexpr double astray = 0.08;       // for each mm along the line
constexpr std::array distances = {2.5, 5.0, 9.0, 14.0, 20.0, 28.0};
constexpr int leader_directions = 16;

struct Box {
    double left = 0.0;
    double top = 0.0;
    double right = 0.0;
    double bottom = 0.0;
    [[nodiscard]] bool holds(Spot spot) const {
        return spot.x > left && spot.x < right && spot.y > top && spot.y < bottom;
    }
    [[nodiscard]] bool meets(const Box& other) const {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
};

/// Spots along a line, so far apart.
std::vector<Spot> spots_along(const std::vector<Spot>& line, double apart) {
    std::vector<Spot> out;
    double left = 0.0; // to the next spot
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double length = distance(line[i - 1], line[i]);
        double at = left;
        while (at <= length && length > 0.0) {
            out.push_back(spot_between(line[i - 1], line[i], at / length));
            at += apart;
        }
        left = at - length;
    }
    if (out.empty() && !line.empty()) {
        out.push_back(line.front());
    }
    return out;
}

/// The spots of all lines by the square of the field that they are in.
class Squares {
public:
    struct Entry {
        std::size_t line = 0;
        Spot spot;
    };

    explicit Squares(const Field& field)
        : left_(field.left), top_(field.top), across_(count(field.width)),
          down_(count(field.height)), squares_(across_ * down_) {}

    void add(std::size_t line, Spot spot) {
        squares_[row(spot.y) * across_ + column(spot.x)].push_back({line, spot});
    }
    /// After the last `add`.
    void sum_up() {
        up_to_.assign((across_ + 1) * (down_ + 1), 0);
        for (std::size_t y = 0; y < down_; ++y) {
            for (std::size_t x = 0; x < across_; ++x) {
                sum(x + 1, y + 1) =
                    squares_[y * across_ + x].size() + sum(x, y + 1) + sum(x + 1, y) - sum(x, y);
            }
        }
    }
    /// How many spots a box holds that lies in the field; counting ends when there are `most`.
    [[nodiscard]] std::size_t held_by(const Box& box, double most) const {
        const std::size_t left = column(box.left);
        const std::size_t right = column(box.right);
        const std::size_t top = row(box.top);
        const std::size_t bottom = row(box.bottom);
        // Whatever is in the squares that the edge of the box does not touch is in the box.
        std::size_t out = 0;
        if (right > left + 1 && bottom > top + 1) {
            out = sum(right, bottom) + sum(left + 1, top + 1) - sum(left + 1, bottom) -
                  sum(right, top + 1);
        }
        for (std::size_t y = top; y <= bottom && static_cast<double>(out) < most; ++y) {
            const bool is_all = y == top || y == bottom;
            for (std::size_t x = left; x <= right;
                 x += is_all ? 1 : std::max<std::size_t>(right - left, 1)) {
                for (const Entry& entry : squares_[y * across_ + x]) {
                    out += box.holds(entry.spot) ? 1 : 0;
                }
            }
        }
        return out;
    }
    /// Calls with every spot in the box, and with some more, until it answers false.
    template <typename Call> void each_in(const Box& box, const Call& call) const {
        for (std::size_t y = row(box.top); y <= row(box.bottom); ++y) {
            for (std::size_t x = column(box.left); x <= column(box.right); ++x) {
                for (const Entry& entry : squares_[y * across_ + x]) {
                    if (!call(entry)) {
                        return;
                    }
                }
            }
        }
    }

private:
    static constexpr double side = 2.0; // mm
    static constexpr double most_squares = 2000.0;
    static std::size_t count(double length) {
        return static_cast<std::size_t>(std::clamp(length / side, 0.0, most_squares)) + 1;
    }
    // What is outside the field is in the squares at its edge.
    static std::size_t place(double at, std::size_t count) {
        return static_cast<std::size_t>(std::clamp(at / side, 0.0, static_cast<double>(count - 1)));
    }
    [[nodiscard]] std::size_t& sum(std::size_t x, std::size_t y) {
        return up_to_[y * (across_ + 1) + x];
    }
    [[nodiscard]] std::size_t sum(std::size_t x, std::size_t y) const {
        return up_to_[y * (across_ + 1) + x];
    }
    [[nodiscard]] std::size_t column(double x) const { return place(x - left_, across_); }
    [[nodiscard]] std::size_t row(double y) const { return place(y - top_, down_); }

    double left_;
    double top_;
    std::size_t across_;
    std::size_t down_;
    std::vector<std::vector<Entry>> squares_;
    std::vector<std::size_t> up_to_; ///< spots left of and above each corner
};

/// A leader from a spot, for each direction and distance the same.
struct Leader {
    Spot end;                ///< from the spot
    std::vector<Spot> spots; ///< along it
    Spot corner_share;       ///< how much of the label lies left of and above its end
};

Leader leader_to(double away, int direction) {
    constexpr double full = 6.283185307179586;
    const double angle = full * direction / leader_directions;
    const double right = std::cos(angle);
    const double down = std::sin(angle);
    Leader out;
    out.end = {away * right, away * down};
    out.spots = spots_along({{0.0, 0.0}, out.end}, leader_step);
    // It comes in at the side or corner that faces the spot.
    const auto share = [](double way) { return way > 0.35 ? 0.0 : way < -0.35 ? 1.0 : 0.5; };
    out.corner_share = {share(right), share(down)};
    return out;
}

class LabelPlacer {
public:
    LabelPlacer(const std::vector<LineLabel>& labels, const Field& field)
        : field_(field), squares_(field) {
        for (std::size_t i = 0; i < distances.size(); ++i) {
            for (int k = 0; k < leader_directions; ++k) {
                leaders_[i].push_back(leader_to(distances[i], k));
            }
        }
        for (std::size_t i = 0; i < labels.size(); ++i) {
            for (const Spot spot : spots_along(labels[i].line, spot_step)) {
                squares_.add(i, spot);
            }
        }
        squares_.sum_up();
    }

    std::optional<LabelPlace> place(const LineLabel& label, std::size_t own) {
        const std::vector<Spot> anchors = spots_along(label.line, anchor_step);
        std::optional<LabelPlace> best;
        double least = std::numeric_limits<double>::infinity();
        // From the best spot outward: what is further astray than a place that was found costs is
        // not looked at.
        const auto astray_of = [&](std::size_t i) {
            return std::abs(static_cast<double>(i) -
                            label.wanted * static_cast<double>(anchors.size() - 1));
        };
        std::vector<std::size_t> order(anchors.size());
        std::iota(order.begin(), order.end(), std::size_t{0});
        std::ranges::stable_sort(order, {}, astray_of);
        for (const std::size_t i : order) {
            const double along = astray_of(i);
            if (distance_cost * distances.front() + astray * along * anchor_step >= least) {
                break;
            }
            for (std::size_t k = 0; k < distances.size(); ++k) {
                const double at_least = distance_cost * distances[k] + astray * along * anchor_step;
                if (at_least >= least) {
                    break;
                }
                for (const Leader& leader : leaders_[k]) {
                    const LabelPlace here = place_by(label, anchors[i], leader);
                    if (const auto sum = cost_of(label, here, leader, own, at_least, least)) {
                        best = here;
                        least = *sum;
                    }
                }
            }
        }
        if (best) {
            taken_.push_back(box_of(label, *best));
        }
        return best;
    }

private:
    static LabelPlace place_by(const LineLabel& label, Spot anchor, const Leader& leader) {
        LabelPlace out;
        out.anchor = anchor;
        out.end = anchor + leader.end;
        out.corner = out.end + Spot{-leader.corner_share.x * label.width,
                                    -leader.corner_share.y * label.height};
        return out;
    }

    static Box box_of(const LineLabel& label, const LabelPlace& place) {
        return {place.corner.x, place.corner.y, place.corner.x + label.width,
                place.corner.y + label.height};
    }

    /// `at_least` and what the place costs; nothing where the label cannot stand at all, or where
    /// that comes to `most` or more.
    [[nodiscard]] std::optional<double> cost_of(const LineLabel& label, const LabelPlace& place,
                                                const Leader& leader, std::size_t own,
                                                double at_least, double most) const {
        const Box box = box_of(label, place);
        const Box wide{box.left - label_clearance, box.top - label_clearance,
                       box.right + label_clearance, box.bottom + label_clearance};
        if (wide.left < field_.left || wide.right > field_.right() || wide.top < field_.top ||
            wide.bottom > field_.bottom() ||
            std::ranges::any_of(taken_, [&](const Box& other) { return wide.meets(other); })) {
            return std::nullopt;
        }
        double cost =
            covering * static_cast<double>(squares_.held_by(wide, (most - at_least) / covering));
        if (cost + at_least >= most) {
            return std::nullopt;
        }
        const auto is_taken = [&](Spot spot) {
            const Spot here = place.anchor + spot;
            return std::ranges::any_of(taken_, [&](const Box& other) { return other.holds(here); });
        };
        if (std::ranges::any_of(leader.spots, is_taken)) {
            return std::nullopt;
        }
        const Box way{std::min(place.anchor.x, place.end.x) - near,
                      std::min(place.anchor.y, place.end.y) - near,
                      std::max(place.anchor.x, place.end.x) + near,
                      std::max(place.anchor.y, place.end.y) + near};
        squares_.each_in(way, [&](const Squares::Entry& entry) {
            const bool is_crossed =
                entry.line != own && way.holds(entry.spot) &&
                is_near(leader, entry.spot + Spot{-place.anchor.x, -place.anchor.y});
            cost += is_crossed ? crossing : 0.0;
            return cost + at_least < most;
        });
        const double sum = cost + at_least;
        return sum < most ? std::optional(sum) : std::nullopt;
    }

    static bool is_near(const Leader& leader, Spot spot) {
        return std::ranges::any_of(leader.spots, [&](Spot other) {
            const double x = other.x - spot.x;
            const double y = other.y - spot.y;
            return x * x + y * y < near * near;
        });
    }

    const Field& field_;
    Squares squares_;
    std::array<std::vector<Leader>, distances.size()> leaders_;
    std::vector<Box> taken_;
};

} // namespace

std::vector<std::optional<LabelPlace>> place_at_lines(const std::vector<LineLabel>& labels,
                                                      const Field& field) {
    LabelPlacer placer(labels, field);
    std::vector<std::optional<LabelPlace>> out;
    for (std::size_t i = 0; i < labels.size(); ++i) {
        out.push_back(labels[i].line.empty() || labels[i].width <= 0.0
                          ? std::nullopt
                          : placer.place(labels[i], i));
    }
    return out;
}

std::vector<int> flag_rows(const std::vector<double>& places, const std::vector<double>& widths) {
    std::vector<int> rows(places.size(), 0);
    for (std::size_t i = places.size(); i-- > 0;) {
        for (std::size_t k = i + 1; k < places.size(); ++k) {
            if (places[k] < places[i] + widths[i]) {
                rows[i] = std::max(rows[i], rows[k] + 1);
            }
        }
    }
    return rows;
}

} // namespace loomwright::draw
