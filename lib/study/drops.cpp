// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The way of a load's current, found by following the largest current: from the load's inlet back
// to a source's plus, and from its outlet on to that source's minus. In branches that give no
// energy current falls with the voltage, so the way cannot turn back on itself.
#include "study/operating.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace loomwright {
namespace {

bool is_source(BranchKind kind) {
    return kind == BranchKind::battery || kind == BranchKind::alternator ||
           kind == BranchKind::charger;
}

/// Branches that carry current, by node.
class Currents {
public:
    Currents(const Network& network, const StateSolution& solution)
        : network_(network), amps_(solution.branch_amps),
          start_(static_cast<std::size_t>(network.node_count()) + 1, 0) {
        for (std::size_t i = 0; i < amps_.size(); ++i) {
            if (amps_[i] != 0.0) {
                ++start_[static_cast<std::size_t>(network.branches[i].from) + 1];
                ++start_[static_cast<std::size_t>(network.branches[i].to) + 1];
            }
        }
        for (std::size_t n = 1; n < start_.size(); ++n) {
            start_[n] += start_[n - 1];
        }
        at_.resize(static_cast<std::size_t>(start_.back()));
        std::vector<int> next(start_.begin(), start_.end() - 1);
        for (std::size_t i = 0; i < amps_.size(); ++i) {
            if (amps_[i] != 0.0) {
                for (const int node : {network.branches[i].from, network.branches[i].to}) {
                    at_[static_cast<std::size_t>(next[static_cast<std::size_t>(node)]++)] =
                        static_cast<int>(i);
                }
            }
        }
    }

    /// Current that a branch carries out of a node; negative: into it.
    [[nodiscard]] double leaving(int branch, int node) const {
        const double amps = amps_[static_cast<std::size_t>(branch)];
        return network_.branches[static_cast<std::size_t>(branch)].from == node ? amps : -amps;
    }

    struct Way {
        std::vector<int> branches; ///< in the order of following, without the source's
        int source = -1;           ///< branch of the source at its end; -1: none found
    };

    /// Follows the largest current from a node, upstream or downstream, until a source that
    /// delivers.
    [[nodiscard]] Way follow(int node, int without, bool upstream) const {
        Way way;
        const double sign = upstream ? -1.0 : 1.0;
        int last = without;
        while (way.branches.size() < amps_.size()) {
            int best = -1;
            double most = 0.0;
            const auto here = static_cast<std::size_t>(node);
            for (int k = start_[here]; k < start_[here + 1]; ++k) {
                const int branch = at_[static_cast<std::size_t>(k)];
                const double flow = sign * leaving(branch, node);
                if (branch != last && flow > most) {
                    most = flow;
                    best = branch;
                }
            }
            if (best < 0) {
                return way;
            }
            const Branch& next = network_.branches[static_cast<std::size_t>(best)];
            if (is_source(next.kind) && node == (upstream ? next.from : next.to)) {
                way.source = best;
                return way;
            }
            way.branches.push_back(best);
            node = next.from == node ? next.to : next.from;
            last = best;
        }
        return way;
    }

    /// The way downstream from a node to a given source's minus that keeps the most current all
    /// along; nothing when none leads there.
    [[nodiscard]] std::optional<Way> widest(int node, int source) const {
        const int target = network_.branches[static_cast<std::size_t>(source)].to;
        const auto count = static_cast<std::size_t>(network_.node_count());
        std::vector<double> width(count, 0.0);
        std::vector<int> by(count, -1);
        std::vector<std::uint8_t> done(count, 0);
        std::vector<std::pair<double, int>> heap{{HUGE_VAL, node}};
        width[static_cast<std::size_t>(node)] = HUGE_VAL;
        while (!heap.empty()) {
            std::ranges::pop_heap(heap);
            const int here = heap.back().second;
            heap.pop_back();
            if (done[static_cast<std::size_t>(here)] != 0) {
                continue;
            }
            done[static_cast<std::size_t>(here)] = 1;
            if (here == target) {
                break;
            }
            for (int k = start_[static_cast<std::size_t>(here)];
                 k < start_[static_cast<std::size_t>(here) + 1]; ++k) {
                const int branch = at_[static_cast<std::size_t>(k)];
                const Branch& next = network_.branches[static_cast<std::size_t>(branch)];
                const int far = next.from == here ? next.to : next.from;
                const double reach =
                    std::min(width[static_cast<std::size_t>(here)], leaving(branch, here));
                if (!is_source(next.kind) && reach > width[static_cast<std::size_t>(far)]) {
                    width[static_cast<std::size_t>(far)] = reach;
                    by[static_cast<std::size_t>(far)] = branch;
                    heap.emplace_back(reach, far);
                    std::ranges::push_heap(heap);
                }
            }
        }
        if (done[static_cast<std::size_t>(target)] == 0) {
            return std::nullopt;
        }
        Way way;
        way.source = source;
        for (int here = target; here != node;) {
            const int branch = by[static_cast<std::size_t>(here)];
            const Branch& step = network_.branches[static_cast<std::size_t>(branch)];
            way.branches.push_back(branch);
            here = step.from == here ? step.to : step.from;
        }
        std::ranges::reverse(way.branches);
        return way;
    }

private:
    const Network& network_;
    const std::vector<double>& amps_;
    std::vector<int> start_; ///< by node, into at_
    std::vector<int> at_;
};

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

std::optional<PathDrop> drop_of(const Network& network, const StateSolution& solution,
                                const Currents& currents, std::size_t device) {
    const int load = busiest_load(network, solution, device);
    if (load < 0) {
        return std::nullopt;
    }
    const Branch& here = network.branches[static_cast<std::size_t>(load)];
    const bool is_forward = solution.branch_amps[static_cast<std::size_t>(load)] > 0.0;
    const int inlet = is_forward ? here.from : here.to;
    const int outlet = is_forward ? here.to : here.from;
    Currents::Way feed = currents.follow(inlet, load, true);
    if (feed.source < 0) {
        return std::nullopt;
    }
    Currents::Way back = currents.follow(outlet, load, false);
    if (back.source != feed.source) {
        back = currents.widest(outlet, feed.source).value_or(std::move(back));
    }
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
    return out;
}

} // namespace

std::vector<PathDrop> path_drops(const StudyInput& input, const StateSolution& solution) {
    std::vector<PathDrop> out;
    if (!solution.converged) {
        return out;
    }
    const Currents currents(input.network, solution);
    for (std::size_t i = 0; i < solution.devices.size(); ++i) {
        if (!solution.devices[i].on) {
            continue;
        }
        if (auto drop = drop_of(input.network, solution, currents, i)) {
            out.push_back(std::move(*drop));
        }
    }
    return out;
}

} // namespace loomwright
