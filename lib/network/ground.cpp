// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/ground.hpp"

namespace loomwright {

std::vector<std::uint8_t> ground_nodes(const Network& network) {
    const auto count = static_cast<std::size_t>(network.node_count());
    std::vector<std::vector<int>> joined(count);
    for (const Branch& branch : network.branches) {
        switch (branch.kind) {
        case BranchKind::wire:
        case BranchKind::lead:
        case BranchKind::joint:
        case BranchKind::bond:
        case BranchKind::strap:
            joined[static_cast<std::size_t>(branch.from)].push_back(branch.to);
            joined[static_cast<std::size_t>(branch.to)].push_back(branch.from);
            break;
        default:
            break;
        }
    }
    std::vector<std::uint8_t> ground(count, 0);
    std::vector<int> open = network.body_nodes;
    if (network.reference >= 0) {
        open.push_back(network.reference);
    }
    while (!open.empty()) {
        const auto here = static_cast<std::size_t>(open.back());
        open.pop_back();
        if (ground[here] == 0) {
            ground[here] = 1;
            open.insert(open.end(), joined[here].begin(), joined[here].end());
        }
    }
    return ground;
}

} // namespace loomwright
