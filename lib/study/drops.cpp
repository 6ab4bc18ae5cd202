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
// battery.
#include "study/currents.hpp"
#include "study/operating.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace loomwright {
namespace {

/// The load branch of a device that carries most; -1 when none carries anything.
int busiest_load(const Network& network, const StateSolution& solution, std::size_t device) {
    int best = -1;
    double most = 0.0;
    for (const int index : network.device_branches[device]) {
        const double amps = std::abs(solution.branch_amps[static_cast<std::size_t>(index)]);
        if (network.branches[static_cast<std::size_t>(index)].kind == BranchKind::load &&
            amps > most) {
            most = amps;
            best = index;
        }
    }
    return best;
}

bool is_passive(BranchKind kind) {
    switch (kind) {
    case BranchKind::wire:
    case BranchKind::lead:
    case BranchKind::bond:
    case BranchKind::strap:
    case BranchKind::protection:
    case BranchKind::contact:
    case BranchKind::joint:
        return true;
    default:
        return false;
    }
}

/// Ways of fewest conducting branches from one node, through nothing that takes or gives energy.
class Reach {
public:
    Reach(const Network& network, const StateSolution& solution, int start)
        : network_(network), by_(static_cast<std::size_t>(network.node_count()), -2) {
        std::vector<std::vector<int>> at(by_.size());
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            const Branch& branch = network.branches[i];
            if (solution.closed[i] != 0 && is_passive(branch.kind)) {
                at[static_cast<std::size_t>(branch.from)].push_back(static_cast<int>(i));
                at[static_cast<std::size_t>(branch.to)].push_back(static_cast<int>(i));
            }
        }
        std::vector<int> open{start};
        by_[static_cast<std::size_t>(start)] = -1;
        for (std::size_t next = 0; next < open.size(); ++next) {
            const int here = open[next];
            for (const int index : at[static_cast<std::size_t>(here)]) {
                const int far = other_end(index, here);
                if (by_[static_cast<std::size_t>(far)] == -2) {
                    by_[static_cast<std::size_t>(far)] = index;
                    open.push_back(far);
                }
            }
        }
    }

    /// The branches from the start to a node, in order; nothing when it is not reached.
    [[nodiscard]] std::optional<std::vector<int>> way_to(int node) const {
        if (by_[static_cast<std::size_t>(node)] == -2) {
            return std::nullopt;
        }
        std::vector<int> way;
        while (by_[static_cast<std::size_t>(node)] >= 0) {
            way.push_back(by_[static_cast<std::size_t>(node)]);
            node = other_end(way.back(), node);
        }
        std::ranges::reverse(way);
        return way;
    }

private:
    [[nodiscard]] int other_end(int index, int node) const {
        const Branch& branch = network_.branches[static_cast<std::size_t>(index)];
        return branch.from == node ? branch.to : branch.from;
    }

    const Network& network_;
    std::vector<int> by_; ///< branch by which a node was reached; -1 the start, -2 not reached
};

/// The battery that the drops of a state are judged from, with the ways from its two terminals.
struct Post {
    int branch = -1;
    Reach plus;
    Reach minus;
};

/// The first battery of the file that is joined to the car in this state.
std::optional<Post> find_post(const Network& network, const StateSolution& solution) {
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& branch = network.branches[i];
        if (branch.kind == BranchKind::battery && solution.branch_amps[i] != 0.0) {
            return Post{static_cast<int>(i), Reach(network, solution, branch.from),
                        Reach(network, solution, branch.to)};
        }
    }
    return std::nullopt;
}

/// `way` leads from `node` to a source's terminal. The same way led to a battery's terminal
/// instead: what the two ways have in common at their far end is left out. Nothing when they never
/// meet.
std::optional<std::vector<int>> turned_to(const Network& network, const Reach& post, int node,
                                          const std::vector<int>& way) {
    const auto other_end = [&](int index, int from) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        return branch.from == from ? branch.to : branch.from;
    };
    std::vector<int> nodes{node};
    for (const int index : way) {
        nodes.push_back(other_end(index, nodes.back()));
    }
    const auto from_post = post.way_to(nodes.back());
    if (!from_post) {
        return std::nullopt;
    }
    // Walking from the post, the first node that lies on the way is where they part.
    int here = nodes.back();
    for (std::size_t k = from_post->size(); k-- > 0;) {
        here = other_end((*from_post)[k], here);
    }
    for (std::size_t k = 0;; ++k) {
        const auto met = std::ranges::find(nodes, here);
        if (met != nodes.end()) {
            std::vector<int> out(way.begin(), way.begin() + (met - nodes.begin()));
            out.insert(out.end(),
                       std::reverse_iterator(from_post->begin() + static_cast<std::ptrdiff_t>(k)),
                       from_post->rend());
            return out;
        }
        here = other_end((*from_post)[k], here);
    }
}

/// Judges a drop from the battery's terminals where its way ends at another source.
void judge_from_battery(const Network& network, const StateSolution& solution, const Post& post,
                        int inlet, int outlet, PathDrop& drop) {
    const Branch& battery = network.branches[static_cast<std::size_t>(post.branch)];
    if (drop.source == battery.device) {
        return;
    }
    std::vector<int> upstream(drop.feed.rbegin(), drop.feed.rend());
    const auto feed = turned_to(network, post.plus, inlet, upstream);
    const auto back = turned_to(network, post.minus, outlet, drop.back);
    if (!feed || !back) {
        return;
    }
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    drop.source = battery.device;
    drop.supply_v = volts(battery.from) - volts(battery.to);
    drop.drop_v = drop.supply_v - drop.load_v;
    drop.feed.assign(feed->rbegin(), feed->rend());
    drop.back = *back;
}

/// The way from the alternator or charger to a battery that is being charged.
std::optional<PathDrop> charging_drop(const Network& network, const StateSolution& solution,
                                      Currents& currents, int branch) {
    const Branch& battery = network.branches[static_cast<std::size_t>(branch)];
    if (battery.kind != BranchKind::battery ||
        solution.branch_amps[static_cast<std::size_t>(branch)] <= 0.0) {
        return std::nullopt;
    }
    Way feed = currents.follow_up(battery.from);
    if (feed.source < 0) {
        return std::nullopt;
    }
    Way back = currents.follow_down(battery.to, feed.source);
    const Branch& source = network.branches[static_cast<std::size_t>(feed.source)];
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    PathDrop out;
    out.load = battery.device;
    out.source = source.device;
    out.supply_v = volts(source.from) - volts(source.to);
    out.load_v = volts(battery.from) - volts(battery.to);
    out.drop_v = out.supply_v - out.load_v;
    out.feed = std::move(feed.branches);
    std::ranges::reverse(out.feed);
    out.back = std::move(back.branches);
    return out;
}

std::optional<PathDrop> drop_of(const Network& network, const StateSolution& solution,
                                Currents& currents, const std::optional<Post>& post,
                                std::size_t device) {
    const int load = busiest_load(network, solution, device);
    if (load < 0) {
        return std::nullopt;
    }
    const int inlet = currents.start(load);
    const int outlet = currents.end(load);
    Way feed = currents.follow_up(inlet);
    if (feed.source < 0) {
        return std::nullopt;
    }
    Way back = currents.follow_down(outlet, feed.source);
    const Branch& source = network.branches[static_cast<std::size_t>(feed.source)];
    const auto volts = [&](int node) {
        return solution.node_volts[static_cast<std::size_t>(node)];
    };
    PathDrop out;
    out.load = DeviceId(device);
    out.source = source.device;
    out.supply_v = volts(source.from) - volts(source.to);
    out.load_v = volts(inlet) - volts(outlet);
    out.drop_v = out.supply_v - out.load_v;
    out.feed = std::move(feed.branches);
    std::ranges::reverse(out.feed);
    out.back = std::move(back.branches);
    if (post) {
        judge_from_battery(network, solution, *post, inlet, outlet, out);
    }
    return out;
}

} // namespace

std::vector<PathDrop> path_drops(const StudyInput& input, const StateSolution& solution) {
    std::vector<PathDrop> out;
    if (!solution.converged) {
        return out;
    }
    Currents currents(input.network, solution.branch_amps);
    const std::optional<Post> post = find_post(input.network, solution);
    for (std::size_t i = 0; i < solution.devices.size(); ++i) {
        if (!solution.devices[i].on) {
            continue;
        }
        if (auto drop = drop_of(input.network, solution, currents, post, i)) {
            out.push_back(std::move(*drop));
        }
    }
    for (std::size_t i = 0; i < input.network.branches.size(); ++i) {
        if (auto drop = charging_drop(input.network, solution, currents, static_cast<int>(i))) {
            out.push_back(std::move(*drop));
        }
    }
    return out;
}

} // namespace loomwright
