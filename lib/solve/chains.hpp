// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve {

/// One of the branches of a chain.
struct Link {
    Index branch = 0;
    bool is_turned = false; ///< the chain passes it from its `to` to its `from`
};

/// Branches one after another, with nothing else at the nodes between them: all carry one current.
/// A branch that has no such neighbour is a chain by itself.
struct Chains {
    std::vector<Index> start; ///< by chain, into `links`; one more than there are chains
    std::vector<Link> links;  ///< each from the plus end of its chain on
};

/// Where branches meet for chains: nodes at one voltage count as one, called by one of them.
struct Joints {
    std::vector<Index> level_of_node; ///< by node; of those that count as one it is the same node
    std::vector<std::uint8_t> is_end; ///< by such a node: it must keep a voltage of its own
};

/// Chains of conductances (`is_linear`, by branch) among these branches, and each other branch by
/// itself, in the order of the first branch of each. No ring of conductances may be by itself among
/// them: nothing would flow there.
[[nodiscard]] Chains find_chains(const Circuit& circuit, const std::vector<Index>& branches,
                                 const std::vector<std::uint8_t>& is_linear, const Joints& joints);

} // namespace loomwright::solve
