// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/returns.hpp"

#include "checks/wording.hpp"
#include "network/branch_kinds.hpp"
#include "network/ground.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace loomwright {
namespace {

bool is_consumer(BranchKind kind) {
    return kind == BranchKind::load || kind == BranchKind::coil;
}

/// Pieces of copper and metal with these contacts closed, and what they touch. `ground`: by node,
/// the metal of the car; with the plus on it a source's minus is its live post, and current comes
/// home to its plus.
class Pieces {
public:
    Pieces(const Network& network, const std::vector<std::uint8_t>& ground,
           const std::vector<std::uint8_t>& closed)
        : network_(network), ground_(ground) {
        parent_.resize(static_cast<std::size_t>(network.node_count()));
        std::iota(parent_.begin(), parent_.end(), 0);
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            const Branch& branch = network.branches[i];
            const bool conducts = closed.empty() || closed[i] != 0;
            const bool is_part = !is_consumer(branch.kind) && !is_source(branch.kind) &&
                                 branch.kind != BranchKind::suppressor &&
                                 branch.kind != BranchKind::resistor;
            if (conducts && is_part) {
                const int a = piece(branch.from);
                const int b = piece(branch.to);
                parent_[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
            }
        }
        live_.assign(parent_.size(), 0);
        home_.assign(parent_.size(), 0);
        std::uint64_t bit = 1; // one for each source; more than 64 share the last
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            const Branch& branch = network.branches[i];
            if (!is_source(branch.kind)) {
                continue;
            }
            if (closed.empty() || closed[i] != 0) {
                const int live = live_end(branch);
                live_[static_cast<std::size_t>(piece(live))] |= bit;
                home_[static_cast<std::size_t>(piece(branch.other_end(live)))] |= bit;
            }
            bit = bit << 1U == 0 ? bit : bit << 1U;
        }
        for (const std::uint64_t touched : home_) {
            every_home_ |= touched;
        }
        index_passes();
    }

    [[nodiscard]] int piece(int node) const {
        while (parent_[static_cast<std::size_t>(node)] != node) {
            int& above = parent_[static_cast<std::size_t>(node)];
            above = parent_[static_cast<std::size_t>(above)]; // the next walk is shorter
            node = above;
        }
        return node;
    }
    /// The working sources whose live post the node touches, one bit each.
    [[nodiscard]] std::uint64_t live_from(int node) const {
        return live_[static_cast<std::size_t>(piece(node))];
    }

    /// The sources whose other post can be reached from the node, other loads passed from inlet to
    /// outlet and other sources from that post to the live one.
    [[nodiscard]] std::uint64_t ways_back(int node, DeviceId but_not_through) const {
        std::uint64_t found = 0;
        ++walk_;
        std::vector<int> open;
        const auto visit = [&](int next) {
            if (seen_in_[static_cast<std::size_t>(next)] != walk_) {
                seen_in_[static_cast<std::size_t>(next)] = walk_;
                open.push_back(next);
            }
        };
        visit(piece(node));
        while (!open.empty() && found != every_home_) {
            const auto here = static_cast<std::size_t>(open.back());
            open.pop_back();
            found |= home_[here];
            for (std::size_t k = first_pass_[here]; k < first_pass_[here + 1]; ++k) {
                if (passes_[k].device != but_not_through) {
                    visit(passes_[k].to);
                }
            }
        }
        return found;
    }

private:
    /// A way on from one piece to another through a load, a resistor or a source.
    struct Pass {
        int from = 0;
        int to = 0;
        DeviceId device;
    };

    [[nodiscard]] bool is_plus_grounded() const { return ground_.back() != 0; }

    /// The end of a source that feeds the car, or of a load that is fed: its inlet. With the plus
    /// on the metal it is the outlet, but for a load that is written the other way round.
    [[nodiscard]] int live_end(const Branch& branch) const {
        if (!is_plus_grounded()) {
            return branch.from;
        }
        if (is_source(branch.kind)) {
            return live_post(branch, ground_);
        }
        const auto is_home = [&](int node) {
            return home_[static_cast<std::size_t>(piece(node))] != 0;
        };
        const bool is_other_way = (live_from(branch.from) != 0 && live_from(branch.to) == 0) ||
                                  (is_home(branch.to) && !is_home(branch.from));
        return is_other_way ? branch.from : branch.to;
    }

    void index_passes() {
        for (const Branch& branch : network_.branches) {
            const bool is_resistor = branch.kind == BranchKind::resistor;
            if (!is_consumer(branch.kind) && !is_resistor && !is_source(branch.kind)) {
                continue;
            }
            const int live = piece(live_end(branch));
            const int home = piece(branch.other_end(live_end(branch)));
            if (is_consumer(branch.kind) || is_resistor) {
                passes_.push_back({live, home, branch.device});
            }
            // Into a source's minus and out of its plus: batteries in a row.
            if (is_resistor || is_source(branch.kind)) {
                passes_.push_back({home, live, branch.device});
            }
        }
        std::ranges::stable_sort(passes_, {}, &Pass::from);
        first_pass_.assign(parent_.size() + 1, 0);
        for (const Pass& pass : passes_) {
            ++first_pass_[static_cast<std::size_t>(pass.from) + 1];
        }
        std::partial_sum(first_pass_.begin(), first_pass_.end(), first_pass_.begin());
        seen_in_.assign(parent_.size(), 0);
    }

    const Network& network_;
    const std::vector<std::uint8_t>& ground_;
    mutable std::vector<int> parent_;
    std::vector<std::uint64_t> live_;
    std::vector<std::uint64_t> home_;
    std::uint64_t every_home_ = 0;
    std::vector<Pass> passes_;            ///< by the piece they lead from
    std::vector<std::size_t> first_pass_; ///< by piece, into passes_
    mutable std::vector<int> seen_in_;    ///< by piece: the walk that saw it last
    mutable int walk_ = 0;
};

struct Lost {
    int node = -1; ///< end with no way back
    StateId state; ///< in which the other end is live
    double live_v = 0.0;
    bool is_plus_grounded = false;
};

double volts_at(const StateSolution& state, int node) {
    const auto at = static_cast<std::size_t>(node);
    return state.converged && at < state.node_volts.size() ? state.node_volts[at] : 0.0;
}

void add_lost(const CheckInput& input, const Branch& branch, const Lost& lost, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.device(branch.device);
    const std::string& end = input.study.network.node_names[static_cast<std::size_t>(lost.node)];
    Finding& finding = findings.add(
        Rule::no_return, device.name, device.where,
        fmt::format("{}is live in {} and has no way back to a source: {} leads nowhere",
                    branch.kind == BranchKind::coil ? "the coil " : "",
                    state_name(vehicle, lost.state), end),
        fmt::format("lead {} to a ground, and see that its body of metal is joined to the "
                    "battery's {}",
                    end, lost.is_plus_grounded ? "plus" : "minus"));
    finding.figures = {given("voltage of the live end", lost.live_v, "V"),
                       seen("ways back to a source", 0.0, ""), least_of("ways asked for", 1.0, "")};
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Branch& wire =
            input.study.network
                .branches[static_cast<std::size_t>(input.study.network.wire_branch[i])];
        if (wire.from == lost.node || wire.to == lost.node) {
            finding.related.push_back(
                {vehicle.wires[i].where, vehicle.wires[i].number + " ends there"});
            break;
        }
    }
}

} // namespace

void check_returns(const CheckInput& input, Findings& findings) {
    const Network& network = input.study.network;
    const std::vector<std::uint8_t> ground = ground_nodes(network);
    const Pieces all(network, ground, {});
    std::vector<Pieces> by_state;
    for (const StateSolution& state : input.sizing.states) {
        by_state.emplace_back(network, ground, state.closed);
    }
    std::vector<std::uint8_t> told(input.study.vehicle.devices.size(), 0);
    for (const Branch& branch : network.branches) {
        if (!is_consumer(branch.kind) || told[branch.device.index()] != 0) {
            continue;
        }
        const std::uint64_t back_of_to = all.ways_back(branch.to, branch.device);
        const std::uint64_t back_of_from = all.ways_back(branch.from, branch.device);
        for (std::size_t s = 0; s < by_state.size(); ++s) {
            const std::uint64_t from_live = by_state[s].live_from(branch.from);
            const std::uint64_t to_live = by_state[s].live_from(branch.to);
            const bool lost_to = from_live != 0 && (from_live & back_of_to) == 0;
            const bool lost_from = to_live != 0 && (to_live & back_of_from) == 0 && from_live == 0;
            if (lost_to || lost_from) {
                told[branch.device.index()] = 1;
                add_lost(input, branch,
                         {lost_to ? branch.to : branch.from, input.sizing.states[s].state,
                          volts_at(input.sizing.states[s], lost_to ? branch.from : branch.to),
                          ground.back() != 0},
                         findings);
                break;
            }
        }
    }
}

} // namespace loomwright
