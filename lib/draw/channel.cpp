// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Routing in a channel between two columns of pins.
//
// A net enters at the left at height s and leaves at the right at heights t1, t2, ... An arm at the
// left runs from x = 0 to the net's trunk, arms at the right from the trunk to the channel's end.
// Two arms lie on one another only if one net's s is (nearly) another's t: then the first net's
// trunk must stand left of the other's. These demands form a graph; nets are taken from it in
// order, and each gets the first track right of all that it must follow and of all earlier ones
// that it would touch. A circle of demands is broken by giving one net two trunks joined at a free
// height.
#include "draw/channel.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright::draw {
namespace {

constexpr double line_clearance = 1.5; // least distance of parallel lines
constexpr double track_pitch = 2.0;    // between two trunks
constexpr double trunk_margin = 2.5;   // before the first trunk and after the last
constexpr double same = 0.01;          // heights that count as one

struct Trunk {
    double source = 0.0;
    std::vector<ChannelNet::Target> targets;
    int net = 0;
    int from_track_of = -1; ///< trunk whose right arm is this one's left arm (a split net)
    int to_track_of = -1;   ///< trunk whose left arm is this one's right arm
    bool is_straight = false;
    bool is_placed = false;
    int track = -1;

    [[nodiscard]] double top() const {
        double y = source;
        for (const auto& target : targets) {
            y = std::min(y, target.y);
        }
        return y;
    }
    [[nodiscard]] double bottom() const {
        double y = source;
        for (const auto& target : targets) {
            y = std::max(y, target.y);
        }
        return y;
    }
    [[nodiscard]] double width() const {
        double most = 0.0;
        for (const auto& target : targets) {
            most = std::max(most, target.width);
        }
        return most;
    }
};

class Router {
public:
    explicit Router(const std::vector<ChannelNet>& nets) {
        for (const ChannelNet& net : nets) {
            Trunk trunk;
            trunk.net = static_cast<int>(trunks_.size());
            trunk.source = net.source;
            trunk.targets = net.targets;
            trunk.is_straight =
                net.targets.size() == 1 && std::abs(net.targets[0].y - net.source) < same;
            trunk.is_placed = trunk.is_straight;
            trunks_.push_back(std::move(trunk));
        }
    }

    Channel run() {
        for (;;) {
            const int next = next_free();
            if (next >= 0) {
                place(static_cast<std::size_t>(next));
                continue;
            }
            const int stuck = first_unplaced();
            if (stuck < 0) {
                break;
            }
            if (!split(static_cast<std::size_t>(stuck))) {
                place(static_cast<std::size_t>(stuck));
            }
        }
        return draw();
    }

private:
    /// True when trunk `a` must stand left of trunk `b`.
    [[nodiscard]] bool must_precede(std::size_t a, std::size_t b) const {
        if (a == b || trunks_[a].is_straight || trunks_[b].is_straight) {
            return false;
        }
        if (trunks_[b].from_track_of == static_cast<int>(a)) {
            return true;
        }
        if (trunks_[a].from_track_of >= 0) {
            return false; // its left arm is at a height of its own
        }
        return std::ranges::any_of(trunks_[b].targets, [&](const auto& target) {
            return trunks_[b].to_track_of < 0 &&
                   std::abs(target.y - trunks_[a].source) < line_clearance;
        });
    }

    /// Downward nets from the lowest up, then upward nets from the highest down: so ordered, nets
    /// that run side by side do not cross.
    [[nodiscard]] double urgency(const Trunk& trunk) const {
        const bool is_down = trunk.bottom() - trunk.source >= trunk.source - trunk.top();
        return is_down ? -trunk.source : trunk.source;
    }

    [[nodiscard]] int next_free() const {
        int best = -1;
        for (std::size_t i = 0; i < trunks_.size(); ++i) {
            if (trunks_[i].is_placed) {
                continue;
            }
            bool is_free = true;
            for (std::size_t k = 0; k < trunks_.size() && is_free; ++k) {
                is_free = trunks_[k].is_placed || !must_precede(k, i);
            }
            if (is_free && (best < 0 || urgency(trunks_[i]) <
                                            urgency(trunks_[static_cast<std::size_t>(best)]))) {
                best = static_cast<int>(i);
            }
        }
        return best;
    }

    [[nodiscard]] int first_unplaced() const {
        for (std::size_t i = 0; i < trunks_.size(); ++i) {
            if (!trunks_[i].is_placed) {
                return static_cast<int>(i);
            }
        }
        return -1;
    }

    void place(std::size_t index) {
        Trunk& trunk = trunks_[index];
        int track = 0;
        for (std::size_t k = 0; k < trunks_.size(); ++k) {
            const Trunk& other = trunks_[k];
            if (k == index || !other.is_placed || other.is_straight) {
                continue;
            }
            const bool touches = other.top() - line_clearance < trunk.bottom() &&
                                 trunk.top() - line_clearance < other.bottom();
            if (touches || must_precede(k, index)) {
                track = std::max(track, other.track + 1);
            }
        }
        trunk.track = track;
        trunk.is_placed = true;
        tracks_ = std::max(tracks_, track + 1);
    }

    /// Gives a net two trunks joined at a height where nothing else runs.
    bool split(std::size_t index) {
        if (trunks_[index].from_track_of >= 0 || trunks_[index].to_track_of >= 0) {
            return false;
        }
        Trunk second = trunks_[index];
        second.source = free_height((second.top() + second.bottom()) / 2.0);
        second.from_track_of = static_cast<int>(index);
        Trunk& first = trunks_[index];
        first.targets = {{second.source, second.width()}};
        first.to_track_of = static_cast<int>(trunks_.size());
        trunks_.push_back(std::move(second));
        return true;
    }

    [[nodiscard]] double free_height(double wanted) const {
        for (int step = 0;; ++step) {
            for (const double sign : {1.0, -1.0}) {
                const double y = wanted + sign * 0.5 * step;
                const bool is_taken = std::ranges::any_of(trunks_, [y](const Trunk& trunk) {
                    return std::abs(trunk.source - y) < line_clearance ||
                           std::ranges::any_of(trunk.targets, [y](const auto& target) {
                               return std::abs(target.y - y) < line_clearance;
                           });
                });
                if (!is_taken) {
                    return y;
                }
            }
        }
    }

    [[nodiscard]] double x_of(int track) const { return trunk_margin + track_pitch * track; }

    [[nodiscard]] Channel draw() const {
        Channel out;
        out.width = 2.0 * trunk_margin + track_pitch * std::max(0, tracks_ - 1);
        for (const Trunk& trunk : trunks_) {
            if (trunk.is_straight) {
                out.lines.push_back({{0.0, trunk.source},
                                     {out.width, trunk.source},
                                     trunk.targets.front().width,
                                     trunk.net});
                continue;
            }
            const double x = x_of(trunk.track);
            const double start =
                trunk.from_track_of < 0
                    ? 0.0
                    : x_of(trunks_[static_cast<std::size_t>(trunk.from_track_of)].track);
            if (trunk.from_track_of < 0) {
                out.lines.push_back(
                    {{start, trunk.source}, {x, trunk.source}, trunk.width(), trunk.net});
            }
            out.lines.push_back({{x, trunk.top()}, {x, trunk.bottom()}, trunk.width(), trunk.net});
            for (const auto& target : trunk.targets) {
                const double end =
                    trunk.to_track_of < 0
                        ? out.width
                        : x_of(trunks_[static_cast<std::size_t>(trunk.to_track_of)].track);
                out.lines.push_back({{x, target.y}, {end, target.y}, target.width, trunk.net});
            }
            add_dots(out, trunk, x);
        }
        return out;
    }

    /// A dot where three or more lines of one net meet.
    static void add_dots(Channel& out, const Trunk& trunk, double x) {
        std::vector<double> heights = {trunk.source};
        for (const auto& target : trunk.targets) {
            heights.push_back(target.y);
        }
        std::ranges::sort(heights);
        for (std::size_t i = 0; i < heights.size(); ++i) {
            const double y = heights[i];
            if (i > 0 && y - heights[i - 1] < same) {
                continue;
            }
            const auto arms = std::ranges::count_if(
                heights, [y](double other) { return std::abs(other - y) < same; });
            const int upright =
                (y > trunk.top() + same ? 1 : 0) + (y < trunk.bottom() - same ? 1 : 0);
            if (arms + upright >= 3) {
                out.dots.push_back({x, y});
            }
        }
    }

    std::vector<Trunk> trunks_;
    int tracks_ = 0;
};

} // namespace

Channel route_channel(const std::vector<ChannelNet>& nets) {
    return Router(nets).run();
}

} // namespace loomwright::draw
