// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/ground.hpp"

#include "network/branch_kinds.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright {
namespace {

std::size_t at(int number) {
    return static_cast<std::size_t>(number);
}

int root(std::vector<int>& above, int node) {
    while (above[at(node)] != node) {
        above[at(node)] = above[at(above[at(node)])];
        node = above[at(node)];
    }
    return node;
}

} // namespace

std::vector<std::uint8_t> ground_nodes(const Network& network) {
    std::vector<int> above(at(network.node_count()));
    std::iota(above.begin(), above.end(), 0);
    for (const Branch& branch : network.branches) {
        if (is_copper_or_metal(branch.kind)) {
            const int a = root(above, branch.from);
            const int b = root(above, branch.to);
            above[at(std::max(a, b))] = std::min(a, b);
        }
    }
    std::vector<std::uint8_t> is_ground_root(above.size(), 0);
    for (const int node : network.body_nodes) {
        is_ground_root[at(root(above, node))] = 1;
    }
    if (network.reference >= 0) {
        is_ground_root[at(root(above, network.reference))] = 1;
    }
    std::vector<std::uint8_t> ground(above.size(), 0);
    for (int node = 0; node < network.node_count(); ++node) {
        ground[at(node)] = is_ground_root[at(root(above, node))];
    }
    return ground;
}

} // namespace loomwright
