// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The graph of feeds. Wires, leads, joints and closed contacts join nodes to pieces of copper: its
// vertices, with one more for each protective device between two pieces. Diodes and high-side
// outputs are one-way passes from piece to piece, diodes the other way round where the plus is on
// the metal. A feed does not go through loads, coils or resistors, nor into the metal of the car
// and what hangs on it by wires alone. A device dominates a piece of copper when every way from the
// source to it passes the device.
#include "network/zones.hpp"

#include "network/branch_kinds.hpp"
#include "network/dominators.hpp"
#include "network/ground.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace loomwright {
namespace {

std::size_t at(int number) {
    return static_cast<std::size_t>(number);
}

/// Where a feed ends.
bool is_sink(BranchKind kind) {
    return kind == BranchKind::load || kind == BranchKind::coil || kind == BranchKind::resistor;
}

bool is_high_side(const Vehicle& vehicle, const Branch& branch) {
    const auto* controller = vehicle.device(branch.device).as<Controller>();
    return controller != nullptr &&
           controller->parts[at(branch.part)].part == TerminalPart::high_side;
}

class FeedGraph {
public:
    FeedGraph(const Vehicle& vehicle, const Network& network,
              const std::vector<std::uint8_t>& closed)
        : vehicle_(vehicle), network_(network), ground_(ground_nodes(network)),
          piece_(at(network.node_count())), device_vertex_(network.branches.size(), -1) {
        for (std::size_t i = 0; i < network.branches.size(); ++i) {
            conducts_.push_back(closed.empty() || closed[i] != 0 ? 1 : 0);
        }
        join_pieces();
        number_pieces();
        add_ways();
    }

    [[nodiscard]] std::vector<SourceZone> zones() const {
        std::vector<SourceZone> out;
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            if (is_source(branch.kind) && conducts_[i] != 0) {
                out.push_back(zone_of(branch));
            }
        }
        return out;
    }

private:
    [[nodiscard]] bool is_in_metal(const Branch& branch) const {
        return ground_[at(branch.from)] != 0 || ground_[at(branch.to)] != 0;
    }

    int root(int node) {
        while (piece_[at(node)] != node) {
            int& above = piece_[at(node)];
            above = piece_[at(above)];
            node = above;
        }
        return node;
    }

    void join_pieces() {
        std::iota(piece_.begin(), piece_.end(), 0);
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            const bool joins =
                is_copper(branch.kind) || (branch.kind == BranchKind::contact && conducts_[i] != 0);
            if (joins && !is_in_metal(branch)) {
                piece_[at(root(branch.from))] = root(branch.to);
            }
        }
    }

    /// A high-side output that is on.
    [[nodiscard]] bool feeds_out(std::size_t index) const {
        const Branch& branch = network_.branches[index];
        return branch.kind == BranchKind::output && conducts_[index] != 0 &&
               is_high_side(vehicle_, branch);
    }

    /// The nodes by which a feed comes into a piece of copper or leaves it: from any other no way
    /// goes on.
    [[nodiscard]] std::vector<int> gateways() const {
        std::vector<int> out;
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            if (is_source(branch.kind)) {
                out.push_back(live_post(branch, ground_));
            } else if (branch.kind == BranchKind::protection || branch.kind == BranchKind::diode ||
                       feeds_out(i)) {
                out.push_back(branch.from);
                out.push_back(branch.to);
            }
        }
        return out;
    }

    /// Vertices of the pieces that have a gateway; others, and what lies in the metal, have none.
    void number_pieces() {
        std::vector<int> number(piece_.size(), -1);
        for (const int node : gateways()) {
            int& known = number[at(root(node))];
            if (ground_[at(node)] == 0 && known < 0) {
                known = vertices_++;
            }
        }
        std::vector<int> vertex(piece_.size(), -1);
        for (int node = 0; node < network_.node_count(); ++node) {
            vertex[at(node)] = ground_[at(node)] == 0 ? number[at(root(node))] : -1;
        }
        piece_ = std::move(vertex);
        device_.assign(at(vertices_), DeviceId());
    }

    void add_device(std::size_t index) {
        const Branch& branch = network_.branches[index];
        device_vertex_[index] = vertices_;
        device_.push_back(branch.device);
        for (const int node : {branch.from, branch.to}) {
            ways_.emplace_back(piece_[at(node)], vertices_);
            ways_.emplace_back(vertices_, piece_[at(node)]);
        }
        ++vertices_;
    }

    void add_ways() {
        const bool is_plus_grounded =
            std::ranges::any_of(network_.branches, [&](const Branch& row) {
                return row.kind == BranchKind::battery && live_post(row, ground_) != row.from;
            });
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            if (is_in_metal(branch)) {
                continue;
            }
            const int from = piece_[at(branch.from)];
            const int to = piece_[at(branch.to)];
            if (branch.kind == BranchKind::protection) {
                add_device(i);
            } else if (branch.kind == BranchKind::diode) {
                is_plus_grounded ? passes_.emplace_back(to, from) : passes_.emplace_back(from, to);
            } else if (feeds_out(i)) {
                passes_.emplace_back(from, to);
            }
        }
        ways_.insert(ways_.end(), passes_.begin(), passes_.end());
        passes_from_.resize(at(vertices_));
        for (const auto& [from, to] : passes_) {
            if (from >= 0) {
                passes_from_[at(from)].push_back(to);
            }
        }
    }

    /// Pieces that a piece feeds with no protective device on the way.
    [[nodiscard]] std::vector<std::uint8_t> bare_from(int piece) const {
        std::vector<std::uint8_t> bare(at(vertices_), 0);
        std::vector<int> open{piece};
        while (!open.empty()) {
            const int here = open.back();
            open.pop_back();
            if (bare[at(here)] != 0) {
                continue;
            }
            bare[at(here)] = 1;
            open.insert(open.end(), passes_from_[at(here)].begin(), passes_from_[at(here)].end());
        }
        return bare;
    }

    /// A vertex, if it is a protective device, else the last one that every way to it passes.
    [[nodiscard]] DeviceId device_from(int vertex, const std::vector<int>& dominator) const {
        while (vertex >= 0 && !device_[at(vertex)].is_valid()) {
            vertex = dominator[at(vertex)];
        }
        return vertex >= 0 ? device_[at(vertex)] : DeviceId();
    }

    /// The last vertex that every way to either of two passes; one alone where the other is -1.
    static int common_dominator(int a, int b, const std::vector<int>& dominator) {
        if (a < 0 || b < 0) {
            return std::max(a, b);
        }
        std::vector<int> above;
        for (; a >= 0; a = dominator[at(a)]) {
            above.push_back(a);
        }
        while (std::ranges::find(above, b) == above.end()) {
            b = dominator[at(b)];
        }
        return b;
    }

    [[nodiscard]] SourceZone zone_of(const Branch& source) const {
        SourceZone out;
        out.source = source.device;
        out.is_fed.assign(network_.branches.size(), 0);
        out.is_bare.assign(network_.branches.size(), 0);
        out.nearest.resize(network_.branches.size());
        out.before.resize(vehicle_.devices.size());
        out.side.assign(vehicle_.devices.size(), FeedSide::either);
        const int post = live_post(source, ground_);
        if (ground_[at(post)] != 0) {
            return out; // both posts lie on the metal: a short, not a feed
        }
        const int start = piece_[at(post)];
        const std::vector<int> dominator = immediate_dominators(vertices_, ways_, start);
        const std::vector<std::uint8_t> bare = bare_from(start);
        const auto reached = [&](int vertex) {
            const bool is_reached = vertex == start || (vertex >= 0 && dominator[at(vertex)] >= 0);
            return is_reached ? vertex : -1;
        };
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            const int vertex = is_sink(branch.kind)
                                   ? common_dominator(reached(piece_[at(branch.from)]),
                                                      reached(piece_[at(branch.to)]), dominator)
                                   : reached(vertex_of(branch, i));
            if (vertex < 0) {
                continue;
            }
            out.is_fed[i] = 1;
            out.is_bare[i] = is_bare(branch, bare) ? 1 : 0;
            if (branch.kind == BranchKind::protection) {
                out.nearest[i] = device_from(dominator[at(vertex)], dominator);
                out.before[branch.device.index()] = out.nearest[i];
                out.side[branch.device.index()] = side_of(branch, dominator[at(vertex)]);
            } else {
                out.nearest[i] = device_from(vertex, dominator);
            }
        }
        return out;
    }

    /// A protective device is no conductor itself: bare is what lies before and beyond it.
    [[nodiscard]] bool is_bare(const Branch& branch, const std::vector<std::uint8_t>& bare) const {
        const auto at_node = [&](int node) {
            return piece_[at(node)] >= 0 && bare[at(piece_[at(node)])] != 0;
        };
        return branch.kind != BranchKind::protection &&
               (at_node(branch.from) || at_node(branch.to));
    }

    [[nodiscard]] FeedSide side_of(const Branch& branch, int dominator) const {
        const int from = piece_[at(branch.from)];
        const int to = piece_[at(branch.to)];
        if (from == to || (dominator != from && dominator != to)) {
            return FeedSide::either;
        }
        return dominator == from ? FeedSide::from : FeedSide::to;
    }

    /// The vertex that stands for a conductor or a protective device; -1 for anything else.
    [[nodiscard]] int vertex_of(const Branch& branch, std::size_t index) const {
        if (is_in_metal(branch) || branch.kind == BranchKind::protection) {
            return device_vertex_[index];
        }
        const bool is_joined =
            is_copper(branch.kind) || (branch.kind == BranchKind::contact && conducts_[index] != 0);
        return is_joined ? piece_[at(branch.from)] : -1;
    }

    const Vehicle& vehicle_;
    const Network& network_;
    std::vector<std::uint8_t> ground_;
    std::vector<std::uint8_t> conducts_; ///< by branch
    std::vector<int> piece_;             ///< by node: its vertex
    std::vector<int> device_vertex_;     ///< by branch: of a protective device; else -1
    std::vector<DeviceId> device_;       ///< by vertex: the device it stands for; invalid: a piece
    std::vector<std::pair<int, int>> passes_;   ///< one-way, from piece to piece
    std::vector<std::vector<int>> passes_from_; ///< by vertex: where they lead
    std::vector<std::pair<int, int>> ways_;     ///< all
    int vertices_ = 0;
};

} // namespace

std::vector<DeviceId> SourceZone::guards(int branch) const {
    std::vector<DeviceId> out;
    for (DeviceId device = nearest[at(branch)]; device.is_valid();
         device = before[device.index()]) {
        out.push_back(device);
    }
    return out;
}

std::vector<SourceZone> source_zones(const Vehicle& vehicle, const Network& network,
                                     const std::vector<std::uint8_t>& closed) {
    return FeedGraph(vehicle, network, closed).zones();
}

} // namespace loomwright
