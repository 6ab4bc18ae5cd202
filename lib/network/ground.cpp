// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/ground.hpp"

#include "network/branch_kinds.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright {
namespace {

std::size_t node_index(int number) {
    return static_cast<std::size_t>(number);
}

int group_root(std::vector<int>& above, int node) {
    while (above[node_index(node)] != node) {
        above[node_index(node)] = above[node_index(above[node_index(node)])];
        node = above[node_index(node)];
    }
    return node;
}

} // namespace

std::vector<std::uint8_t> ground_nodes(const Network& network) {
    std::vector<int> above(node_index(network.node_count()));
    std::iota(above.begin(), above.end(), 0);
    for (const Branch& branch : network.branches) {
        if (is_copper_or_metal(branch.kind)) {
            const int a = group_root(above, branch.from);
            const int b = group_root(above, branch.to);
            above[node_index(std::max(a, b))] = std::min(a, b);
        }
    }
    std::vector<std::uint8_t> is_ground_root(above.size(), 0);
    for (const int node : network.body_nodes) {
        is_ground_root[node_index(group_root(above, node))] = 1;
    }
    if (network.reference >= 0) {
        is_ground_root[node_index(group_root(above, network.reference))] = 1;
    }
    std::vector<std::uint8_t> ground(above.size(), 0);
    for (int node = 0; node < network.node_count(); ++node) {
        ground[node_index(node)] = is_ground_root[node_index(group_root(above, node))];
    }
    const auto is_on_metal_by = [&](auto post, auto other) {
        return std::ranges::any_of(network.branches, [&](const Branch& row) {
            return row.kind == BranchKind::battery && ground[node_index(row.*post)] != 0 &&
                   ground[node_index(row.*other)] == 0;
        });
    };
    const bool is_plus_grounded =
        is_on_metal_by(&Branch::from, &Branch::to) && !is_on_metal_by(&Branch::to, &Branch::from);
    ground.push_back(is_plus_grounded ? 1 : 0);
    return ground;
}

int case_node(const Network& network, DeviceId device) {
    if (device.index() >= network.device_branches.size()) {
        return -1; // a network of which only some parts are given
    }
    for (const int index : network.device_branches[device.index()]) {
        const Branch& branch = network.branches[node_index(index)];
        if (branch.kind == BranchKind::bond) {
            return branch.from;
        }
    }
    return -1;
}

} // namespace loomwright
