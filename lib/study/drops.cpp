// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The way of a load's current, found by following the largest current: from the load's inlet back
// to a source's plus, and from its outlet on to that source's minus. In branches that give no
// energy current falls with the voltage, so the way cannot turn back on itself.
//
// With the engine running the way ends at the alternator; a drop is judged from the battery's
// terminals all the same, where 30 and 31 of DIN 72552 begin: what the lead from the alternator
// takes has a limit of its own (class charging) and is a path by itself, from the alternator to the
// battery. So it is where a diode parts the alternator from the battery; of several batteries that
// diodes part, that one counts which the current passes last.
//
// Batteries in a row are one supply: a way begins at the plus of the topmost and ends at the minus
// of the lowest, and what joins the one to the next is counted with neither.
//
// The solenoid of a starter hangs on another way (terminal 50) than its motor (terminal 30): the
// way there is a path by itself, and the way home is the motor's, in whose drop it counts. Coils of
// relays have none: what they need is a matter of their pull-in voltage.
#include "network/branch_kinds.hpp"
#include "study/currents.hpp"
#include "study/operating.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>

namespace loomwright {
namespace {

/// The branch of one kind of a device that carries most; -1 when none carries anything.
int busiest(const Network& network, const StateSolution& solution, std::size_t device,
            BranchKind kind) {
    int best = -1;
    double most = 0.0;
    for (const int index : network.device_branches[device]) {
        const double amps = std::abs(solution.branch_amps[static_cast<std::size_t>(index)]);
        if (network.branches[static_cast<std::size_t>(index)].kind == kind && amps > most) {
            most = amps;
            best = index;
        }
    }
    return best;
}

bool is_passive(BranchKind kind) {
    return is_conductor(kind) && kind != BranchKind::output;
}

/// Branches of a state that conduct and neither take nor give energy, by node.
class Joined {
public:
    Joined(const Network& network, const StateSolution& solution)
        : network_(network), start_(static_cast<std::size_t>(network.node_count()) + 1, 0) {
        for (int pass = 0; pass < 2; ++pass) {
            std::vector<int> next(start_.begin(), start_.end());
            for (std::size_t i = 0; i < network.branches.size(); ++i) {
                const Branch& branch = network.branches[i];
                if (solution.closed[i] == 0 || !is_passive(branch.kind)) {
                    continue;
                }
                for (const int node : {branch.from, branch.to}) {
                    if (pass == 0) {
                        ++start_[static_cast<std::size_t>(node) + 1];
                    } else {
                        at_[static_cast<std::size_t>(next[static_cast<std::size_t>(node)]++)] =
                            static_cast<int>(i);
                    }
                }
            }
            if (pass == 0) {
                for (std::size_t n = 1; n < start_.size(); ++n) {
                    start_[n] += start_[n - 1];
                }
                at_.resize(static_cast<std::size_t>(start_.back()));
            }
        }
    }

    [[nodiscard]] std::span<const int> at(int node) const {
        const auto here = static_cast<std::size_t>(node);
        return {at_.begin() + start_[here], at_.begin() + start_[here + 1]};
    }
    [[nodiscard]] int other_end(int index, int node) const {
        return network_.branches[static_cast<std::size_t>(index)].other_end(node);
    }

private:
    const Network& network_;
    std::vector<int> start_; ///< by node, into at_
    std::vector<int> at_;
};

/// Ways of fewest branches from one node.
class Reach {
public:
    Reach(const Joined& joined, int node_count, int start)
        : joined_(&joined), by_(static_cast<std::size_t>(node_count), -2) {
        std::vector<int> open{start};
        open.reserve(by_.size());
        by_[static_cast<std::size_t>(start)] = -1;
        for (std::size_t next = 0; next < open.size(); ++next) {
            const int here = open[next];
            for (const int index : joined.at(here)) {
                const int far = joined.other_end(index, here);
                if (by_[static_cast<std::size_t>(far)] == -2) {
                    by_[static_cast<std::size_t>(far)] = index;
                    open.push_back(far);
                }
            }
        }
    }

    [[nodiscard]] bool holds(int node) const { return by_[static_cast<std::size_t>(node)] != -2; }

    /// The branches from the start to a node that it holds, in order.
    [[nodiscard]] std::vector<int> way_to(int node) const {
        std::vector<int> way;
        while (by_[static_cast<std::size_t>(node)] >= 0) {
            way.push_back(by_[static_cast<std::size_t>(node)]);
            node = joined_->other_end(way.back(), node);
        }
        std::ranges::reverse(way);
        return way;
    }

private:
    const Joined* joined_;
    std::vector<int> by_; ///< branch by which a node was reached; -1 the start, -2 not reached
};

/// A battery, or a row of batteries, that drops are judged from, with the ways from its two
/// terminals.
struct Post {
    std::vector<int> row; ///< branches of its batteries, the topmost first
    Reach plus;
    Reach minus;
};

/// True when a source other than a battery delivers: only then a way can end elsewhere.
bool has_other_source(const Network& network, const StateSolution& solution) {
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const BranchKind kind = network.branches[i].kind;
        if ((kind == BranchKind::alternator || kind == BranchKind::charger) &&
            solution.branch_amps[i] != 0.0) {
            return true;
        }
    }
    return false;
}

/// Branches of the batteries that are joined to the car in this state, in the order of the file.
std::vector<int> joined_batteries(const Network& network, const StateSolution& solution) {
    std::vector<int> out;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        if (network.branches[i].kind == BranchKind::battery && solution.branch_amps[i] != 0.0) {
            out.push_back(static_cast<int>(i));
        }
    }
    return out;
}

/// The first of some batteries, with those that stand above it and below it in a row, which are
/// taken out of them.
Post take_post(const Network& network, const Joined& joined, std::vector<int>& others) {
    const auto of = [&](int index) -> const Branch& {
        return network.branches[static_cast<std::size_t>(index)];
    };
    const auto reach = [&](int node) { return Reach(joined, network.node_count(), node); };
    const int first = others.front();
    others.erase(others.begin());
    Post post{{first}, reach(of(first).from), reach(of(first).to)};
    for (std::size_t k = 0; k < others.size();) {
        const int next = others[k];
        if (post.plus.holds(of(next).to)) {
            post.plus = reach(of(next).from);
            post.row.insert(post.row.begin(), next);
        } else if (post.minus.holds(of(next).from)) {
            post.minus = reach(of(next).to);
            post.row.push_back(next);
        } else {
            ++k;
            continue;
        }
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(k));
        k = 0;
    }
    return post;
}

/// In the order of the file; of batteries, or rows of them, beside each other the first.
std::vector<Post> find_posts(const Network& network, const StateSolution& solution,
                             const Joined& joined) {
    const auto of = [&](int index) -> const Branch& {
        return network.branches[static_cast<std::size_t>(index)];
    };
    std::vector<Post> out;
    std::vector<int> others = joined_batteries(network, solution);
    while (!others.empty()) {
        Post post = take_post(network, joined, others);
        const bool is_beside = std::ranges::any_of(out, [&](const Post& first) {
            return first.plus.holds(of(post.row.front()).from) &&
                   first.minus.holds(of(post.row.back()).to);
        });
        if (!is_beside) {
            out.push_back(std::move(post));
        }
    }
    return out;
}

/// `node`, and the nodes that a way from it comes by.
std::vector<int> nodes_along(const Network& network, int node, const std::vector<int>& way) {
    std::vector<int> nodes{node};
    for (const int index : way) {
        nodes.push_back(network.branches[static_cast<std::size_t>(index)].other_end(nodes.back()));
    }
    return nodes;
}

/// The battery that a drop is to be judged from instead of its source: of those whose copper its
/// current comes by the nearest to the load. None where it is one of them that gives.
const Post* post_on_way(const Network& network, const std::vector<Post>& posts, int inlet,
                        const PathDrop& drop) {
    const std::vector<int> upstream(drop.feed.rbegin(), drop.feed.rend());
    const std::vector<int> nodes = nodes_along(network, inlet, upstream);
    const Post* nearest = nullptr;
    auto nearest_at = nodes.end();
    for (const Post& post : posts) {
        const bool gives = std::ranges::any_of(post.row, [&](int index) {
            return network.branches[static_cast<std::size_t>(index)].device == drop.source;
        });
        if (gives) {
            return nullptr;
        }
        const auto met = std::ranges::find_if(nodes, [&](int at) { return post.plus.holds(at); });
        if (met < nearest_at) {
            nearest = &post;
            nearest_at = met;
        }
    }
    return nearest;
}

/// `way` leads from `node` to a source's terminal. The same way led to a battery's terminal
/// instead: what the two ways have in common at their far end is left out, and what lies beyond a
/// diode on the source's side. Nothing when they never meet.
std::optional<std::vector<int>> turned_to(const Network& network, const Reach& post, int node,
                                          const std::vector<int>& way) {
    const auto other_end = [&](int index, int from) {
        return network.branches[static_cast<std::size_t>(index)].other_end(from);
    };
    std::vector<int> nodes = nodes_along(network, node, way);
    while (!nodes.empty() && !post.holds(nodes.back())) {
        nodes.pop_back();
    }
    if (nodes.empty()) {
        return std::nullopt;
    }
    const std::vector<int> from_post = post.way_to(nodes.back());
    // Walking from the post, the first node that lies on the way is where they part.
    int here = nodes.back();
    for (std::size_t k = from_post.size(); k-- > 0;) {
        here = other_end(from_post[k], here);
    }
    for (std::size_t k = 0;; ++k) {
        const auto met = std::ranges::find(nodes, here);
        if (met != nodes.end()) {
            std::vector<int> out(way.begin(), way.begin() + (met - nodes.begin()));
            out.insert(out.end(),
                       std::reverse_iterator(from_post.begin() + static_cast<std::ptrdiff_t>(k)),
                       from_post.rend());
            return out;
        }
        here = other_end(from_post[k], here);
    }
}

/// Judges a drop that ends at another source from a battery's terminals.
void judge_from_battery(const Network& network, const StateSolution& solution, const Post& post,
                        int inlet, int outlet, PathDrop& drop) {
    const auto of = [&](int index) -> const Branch& {
        return network.branches[static_cast<std::size_t>(index)];
    };
    std::vector<int> upstream(drop.feed.rbegin(), drop.feed.rend());
    const auto feed = turned_to(network, post.plus, inlet, upstream);
    const auto back = turned_to(network, post.minus, outlet, drop.back);
    if (!feed || !back) {
        return;
    }
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    const Branch& top = of(post.row.front());
    const Branch& lowest = of(post.row.back());
    drop.source = top.device;
    drop.home = lowest.device;
    drop.supply_v = volts(top.from) - volts(lowest.to);
    drop.drop_v = drop.supply_v - drop.load_v;
    drop.feed.assign(feed->rbegin(), feed->rend());
    drop.back = *back;
}

/// The way from the alternator or charger to a battery that is being charged; of a row, to the
/// topmost and home from the lowest, and the voltage at the load is that of them all.
std::optional<PathDrop> charging_drop(const Network& network, const StateSolution& solution,
                                      Currents& currents, int branch) {
    const Branch& battery = network.branches[static_cast<std::size_t>(branch)];
    if (battery.kind != BranchKind::battery ||
        solution.branch_amps[static_cast<std::size_t>(branch)] <= 0.0) {
        return std::nullopt;
    }
    Way feed = currents.follow_up(battery.from);
    if (feed.source < 0 ||
        !is_source(network.branches[static_cast<std::size_t>(feed.source)].kind)) {
        return std::nullopt;
    }
    Way back = currents.follow_down(battery.to, feed.source);
    const Branch& source = network.branches[static_cast<std::size_t>(feed.source)];
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    PathDrop out;
    const auto is_battery = [&](int index) {
        return network.branches[static_cast<std::size_t>(index)].kind == BranchKind::battery;
    };
    if (std::ranges::any_of(feed.branches, is_battery)) {
        return std::nullopt; // in a row, and not its topmost
    }
    out.load = battery.device;
    out.source = source.device;
    out.home = source.device;
    out.supply_v = volts(source.from) - volts(source.to);
    out.load_v = volts(battery.from) - volts(battery.to);
    for (const int index : back.branches) {
        if (is_battery(index)) {
            const Branch& lower = network.branches[static_cast<std::size_t>(index)];
            out.load_v += volts(lower.from) - volts(lower.to);
        }
    }
    out.drop_v = out.supply_v - out.load_v;
    out.feed = std::move(feed.branches);
    std::ranges::reverse(out.feed);
    out.back = std::move(back.branches);
    return out;
}

/// Of the way to one branch of a device, its busiest load or coil; nothing for -1.
std::optional<PathDrop> drop_of(const Network& network, const StateSolution& solution,
                                Currents& currents, const std::vector<Post>& posts, int load) {
    if (load < 0) {
        return std::nullopt;
    }
    const int inlet = currents.start(load);
    const int outlet = currents.end(load);
    Way feed = currents.follow_up(inlet);
    if (feed.source < 0 ||
        !is_source(network.branches[static_cast<std::size_t>(feed.source)].kind)) {
        return std::nullopt; // none, or a motor that is turned: no supply to judge a drop from
    }
    Way back = currents.follow_down(outlet, feed.source);
    const Branch& source = network.branches[static_cast<std::size_t>(feed.source)];
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    PathDrop out;
    const bool ends_elsewhere = back.source >= 0 && back.source != feed.source;
    const Branch& home =
        ends_elsewhere ? network.branches[static_cast<std::size_t>(back.source)] : source;
    out.load = network.branches[static_cast<std::size_t>(load)].device;
    out.source = source.device;
    out.home = home.device;
    out.supply_v = volts(source.from) - volts(home.to);
    out.load_v = volts(inlet) - volts(outlet);
    out.drop_v = out.supply_v - out.load_v;
    out.feed = std::move(feed.branches);
    std::ranges::reverse(out.feed);
    out.back = std::move(back.branches);
    if (const Post* post = post_on_way(network, posts, inlet, out)) {
        judge_from_battery(network, solution, *post, inlet, outlet, out);
    }
    return out;
}

/// What a way from `node` takes, other loads on it included.
double volts_along(const Network& network, const StateSolution& solution, int node,
                   const std::vector<int>& way) {
    const int last = nodes_along(network, node, way).back();
    return solution.node_volts[static_cast<std::size_t>(node)] -
           solution.node_volts[static_cast<std::size_t>(last)];
}

} // namespace

std::vector<PathDrop> path_drops(const StudyInput& input, const StateSolution& solution) {
    std::vector<PathDrop> out;
    if (!solution.converged) {
        return out;
    }
    const State* state = solution.state.is_valid() ? &input.vehicle.state(solution.state) : nullptr;
    const std::vector<int> turned = turned_branches(input.network, state);
    Currents currents(input.network, solution.branch_amps, turned);
    std::optional<Joined> joined;
    std::vector<Post> posts;
    if (has_other_source(input.network, solution)) {
        joined.emplace(input.network, solution);
        posts = find_posts(input.network, solution, *joined);
    }
    for (std::size_t i = 0; i < solution.devices.size(); ++i) {
        if (!solution.devices[i].on) {
            continue;
        }
        const int load = busiest(input.network, solution, i, BranchKind::load);
        if (auto drop = drop_of(input.network, solution, currents, posts, load)) {
            out.push_back(std::move(*drop));
        }
    }
    for (std::size_t i = 0; i < input.network.branches.size(); ++i) {
        if (auto drop = charging_drop(input.network, solution, currents, static_cast<int>(i))) {
            out.push_back(std::move(*drop));
        }
    }
    for (std::size_t i = 0; i < solution.devices.size(); ++i) {
        if (!solution.devices[i].on || input.vehicle.devices[i].as<Starter>() == nullptr) {
            continue;
        }
        const int coil = busiest(input.network, solution, i, BranchKind::coil);
        if (auto drop = drop_of(input.network, solution, currents, posts, coil)) {
            drop->solenoid = coil;
            drop->drop_v -= volts_along(input.network, solution, currents.end(coil), drop->back);
            drop->back.clear();
            out.push_back(std::move(*drop));
        }
    }
    return out;
}

} // namespace loomwright
