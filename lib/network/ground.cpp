// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/ground.hpp"

#include "network/branch_kinds.hpp"

namespace loomwright {

std::vector<std::uint8_t> ground_nodes(const Network& network) {
    const auto count = static_cast<std::size_t>(network.node_count());
    std::vector<std::vector<int>> joined(count);
    for (const Branch& branch : network.branches) {
        if (is_copper_or_metal(branch.kind)) {
            joined[static_cast<std::size_t>(branch.from)].push_back(branch.to);
            joined[static_cast<std::size_t>(branch.to)].push_back(branch.from);
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
