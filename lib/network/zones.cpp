// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The graph of feeds: one vertex for each node of the network, for each wire and for each
// protective device, and a virtual source over the plus of every source. A feed goes through wires,
// leads, joints, protective devices, closed contacts, diodes in their direction and high-side
// outputs. It does not go through loads, coils or resistors, nor into the metal of the car and what
// hangs on it by wires alone.
#include "network/branch_kinds.hpp"
#include "network/dominators.hpp"
#include "network/ground.hpp"
#include "network/network.hpp"

#include <utility>

namespace loomwright {
namespace {

bool is_high_side(const Vehicle& vehicle, const Branch& branch) {
    const auto* controller = vehicle.device(branch.device).as<Controller>();
    return controller != nullptr &&
           controller->parts[static_cast<std::size_t>(branch.part)].part == TerminalPart::high_side;
}

/// How a feed passes a branch.
enum class Passage : std::uint8_t { none, both_ways, forward };

Passage passage(const Vehicle& vehicle, const Branch& branch, bool is_closed) {
    switch (branch.kind) {
    case BranchKind::wire:
    case BranchKind::lead:
    case BranchKind::joint:
    case BranchKind::protection:
        return Passage::both_ways;
    case BranchKind::contact:
        return is_closed ? Passage::both_ways : Passage::none;
    case BranchKind::diode:
        return Passage::forward;
    case BranchKind::output:
        return is_closed && is_high_side(vehicle, branch) ? Passage::forward : Passage::none;
    default:
        return Passage::none;
    }
}

/// The graph of feeds with the meaning of its vertices.
struct FeedGraph {
    int root = 0;
    std::vector<std::pair<int, int>> edges;
    std::vector<int> wire_vertex; ///< by WireId
    std::vector<DeviceId>
        protection; ///< by vertex: the protective device it stands for; else invalid
};

FeedGraph make_feed_graph(const Vehicle& vehicle, const Network& network,
                          const std::vector<std::uint8_t>& closed) {
    FeedGraph graph;
    const std::vector<std::uint8_t> ground = ground_nodes(network);
    graph.root = network.node_count();
    graph.protection.assign(static_cast<std::size_t>(graph.root) + 1, DeviceId());
    graph.wire_vertex.assign(vehicle.wires.size(), -1);
    const auto link = [&](int from, int to) { graph.edges.emplace_back(from, to); };
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& branch = network.branches[i];
        const bool is_closed = closed.empty() || closed[i] != 0;
        if (is_source(branch.kind) && is_closed) {
            link(graph.root, branch.from);
            continue;
        }
        const Passage pass = passage(vehicle, branch, is_closed);
        if (pass == Passage::none || ground[static_cast<std::size_t>(branch.from)] != 0 ||
            ground[static_cast<std::size_t>(branch.to)] != 0) {
            continue;
        }
        const auto middle = static_cast<int>(graph.protection.size());
        graph.protection.push_back(branch.kind == BranchKind::protection ? branch.device
                                                                         : DeviceId());
        if (branch.wire.is_valid()) {
            graph.wire_vertex[branch.wire.index()] = middle;
        }
        link(branch.from, middle);
        link(middle, branch.to);
        if (pass == Passage::both_ways) {
            link(branch.to, middle);
            link(middle, branch.from);
        }
    }
    return graph;
}

} // namespace

ProtectionZones protection_zones(const Vehicle& vehicle, const Network& network,
                                 const std::vector<std::uint8_t>& closed) {
    const FeedGraph graph = make_feed_graph(vehicle, network, closed);
    const std::vector<int> dominator =
        immediate_dominators(static_cast<int>(graph.protection.size()), graph.edges, graph.root);
    ProtectionZones out;
    out.of_device.resize(vehicle.devices.size());
    out.of_wire.resize(vehicle.wires.size());
    out.is_fed.assign(vehicle.wires.size(), 0);
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        int vertex = graph.wire_vertex[i];
        if (vertex < 0 || dominator[static_cast<std::size_t>(vertex)] < 0) {
            continue;
        }
        out.is_fed[i] = 1;
        while (vertex >= 0 && !graph.protection[static_cast<std::size_t>(vertex)].is_valid()) {
            vertex = dominator[static_cast<std::size_t>(vertex)];
        }
        if (vertex >= 0) {
            out.of_wire[i] = graph.protection[static_cast<std::size_t>(vertex)];
            out.of_device[out.of_wire[i].index()].emplace_back(i);
        }
    }
    return out;
}

} // namespace loomwright
