// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <map>
#include <span>
#include <vector>

namespace loomwright {

/// A current up to this is none: what the solver's rounding leaves.
inline constexpr double nothing_a = 1e-9;

/// A way along the current.
struct Way {
    std::vector<int> branches; ///< in the order of following, without the source's
    int source = -1;           ///< branch of the source at its end; -1: none found
};

/// Where current comes from and goes to at each node of a solved network.
class Currents {
public:
    Currents(const Network& network, const std::vector<double>& branch_amps,
             std::span<const int> turned = {});

    /// Node at which a branch's current enters it, and at which it leaves.
    [[nodiscard]] int start(int branch) const {
        return amps_[at(branch)] > 0.0 ? of(branch).from : of(branch).to;
    }
    [[nodiscard]] int end(int branch) const {
        return amps_[at(branch)] > 0.0 ? of(branch).to : of(branch).from;
    }

    /// Follows the largest current up from a node to a source that delivers.
    [[nodiscard]] Way follow_up(int node) const;
    /// Follows the current down from a node to a source's minus: the largest at each node, and
    /// where that ends at another source, the way that keeps the most current all along.
    [[nodiscard]] Way follow_down(int node, int source);

private:
    [[nodiscard]] static std::size_t at(int index) { return static_cast<std::size_t>(index); }
    [[nodiscard]] const Branch& of(int branch) const { return network_.branches[at(branch)]; }
    [[nodiscard]] double size(int branch) const;
    [[nodiscard]] bool is_a_source(int branch) const;
    void take_larger(int& best, int branch) const;
    /// By node: the branch to take next on the way to the source's minus on which the least current
    /// of any branch is largest; -1: no current goes there.
    const std::vector<int>& widest_ways_to(int source);
    void list_arriving();

    const Network& network_;
    const std::vector<double>& amps_;
    std::span<const int> turned_;
    std::size_t count_;
    std::vector<int> most_in_;               ///< by node: the branch that brings most; -1: none
    std::vector<int> most_out_;              ///< by node: the branch that takes most away
    std::vector<std::vector<int>> arriving_; ///< by node: branches that bring current
    std::map<int, std::vector<int>> widest_; ///< by source branch
};

/// The branches of a motor that is turned: sources in that state.
[[nodiscard]] std::vector<int> turned_branches(const Network& network, const Turning& turning);
/// Of all motors that a state turns; none without a state.
[[nodiscard]] std::vector<int> turned_branches(const Network& network, const State* state);

/// From a source through a branch and home, in the direction of the current; empty where the branch
/// carries nothing (a nanoampere or less). `branch_amps` by branch. `turned` are branches of motors
/// that are turned: one that is the source stands first on the way; other sources are left out.
[[nodiscard]] std::vector<int> way_through(const Network& network, std::vector<double> branch_amps,
                                           std::span<const int> turned, int branch);
/// The same of several branches, in their order.
[[nodiscard]] std::vector<std::vector<int>> ways_through(const Network& network,
                                                         std::vector<double> branch_amps,
                                                         std::span<const int> turned,
                                                         std::span<const int> branches);

} // namespace loomwright
