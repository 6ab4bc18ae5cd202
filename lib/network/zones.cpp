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

#include "base/at.hpp"
#include "network/branch_kinds.hpp"
#include "network/dominators.hpp"
#include "network/ground.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

namespace loomwright {
namespace {

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
        list_branches();
    }

    [[nodiscard]] std::vector<SourceZone> zones() {
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
        ways_from_ = by_origin(ways_);
        passes_from_ = by_origin(passes_);
        bare_.assign(at(vertices_), 0);
        place_.assign(at(vertices_), -1);
    }

    /// By vertex: where ways lead from it.
    [[nodiscard]] std::vector<std::vector<int>>
    by_origin(const std::vector<std::pair<int, int>>& ways) const {
        std::vector<std::vector<int>> out(at(vertices_));
        for (const auto& [from, to] : ways) {
            if (from >= 0 && to >= 0) {
                out[at(from)].push_back(to);
            }
        }
        return out;
    }

    /// By vertex: the branches that are fed when it is.
    void list_branches() {
        branches_of_.resize(at(vertices_));
        const auto add = [&](int vertex, std::size_t branch) {
            if (vertex >= 0) {
                branches_of_[at(vertex)].push_back(static_cast<int>(branch));
            }
        };
        for (std::size_t i = 0; i < network_.branches.size(); ++i) {
            const Branch& branch = network_.branches[i];
            if (is_sink(branch.kind)) {
                add(piece_[at(branch.from)], i);
                add(piece_[at(branch.to)], i);
            } else {
                add(vertex_of(branch, i), i);
            }
        }
    }

    /// Vertices that a piece leads to, the piece first; each one's place among them goes to
    /// `place_`.
    [[nodiscard]] std::vector<int> reached_from(int piece) {
        std::vector<int> out{piece};
        place_[at(piece)] = 0;
        for (std::size_t k = 0; k < out.size(); ++k) {
            for (const int next : ways_from_[at(out[k])]) {
                if (place_[at(next)] < 0) {
                    place_[at(next)] = static_cast<int>(out.size());
                    out.push_back(next);
                }
            }
        }
        return out;
    }

    /// Marks the pieces that a piece feeds with no protective device on the way.
    [[nodiscard]] std::vector<int> mark_bare_from(int piece) {
        std::vector<int> out{piece};
        bare_[at(piece)] = 1;
        for (std::size_t k = 0; k < out.size(); ++k) {
            for (const int next : passes_from_[at(out[k])]) {
                if (bare_[at(next)] == 0) {
                    bare_[at(next)] = 1;
                    out.push_back(next);
                }
            }
        }
        return out;
    }

    /// A place's vertex, if it is a protective device, else the last one that every way to it
    /// passes.
    [[nodiscard]] DeviceId device_from(int place, const std::vector<int>& reached,
                                       const std::vector<int>& dominator) const {
        while (place >= 0 && !device_[at(reached[at(place)])].is_valid()) {
            place = dominator[at(place)];
        }
        return place >= 0 ? device_[at(reached[at(place)])] : DeviceId();
    }

    /// The last place that every way to either of two passes; one alone where the other is -1.
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

    /// Of the vertices that the source reaches, by their places among them.
    [[nodiscard]] std::vector<int> dominators_of(const std::vector<int>& reached) const {
        std::vector<std::pair<int, int>> ways;
        for (std::size_t k = 0; k < reached.size(); ++k) {
            for (const int next : ways_from_[at(reached[k])]) {
                ways.emplace_back(static_cast<int>(k), place_[at(next)]);
            }
        }
        return immediate_dominators(static_cast<int>(reached.size()), ways, 0);
    }

    [[nodiscard]] std::vector<int> branches_of(const std::vector<int>& reached) const {
        std::vector<int> out;
        for (const int vertex : reached) {
            out.insert(out.end(), branches_of_[at(vertex)].begin(), branches_of_[at(vertex)].end());
        }
        std::ranges::sort(out);
        out.erase(std::unique(out.begin(), out.end()), out.end());
        return out;
    }

    [[nodiscard]] SourceZone zone_of(const Branch& source) {
        SourceZone out;
        out.source = source.device;
        const int post = live_post(source, ground_);
        if (ground_[at(post)] != 0) {
            return out; // both posts lie on the metal: a short, not a feed
        }
        const int start = piece_[at(post)];
        const std::vector<int> reached = reached_from(start);
        const std::vector<int> bare = mark_bare_from(start);
        const std::vector<int> dominator = dominators_of(reached);
        for (const int index : branches_of(reached)) {
            add_branch(index, reached, dominator, out);
        }
        std::ranges::sort(out.devices, {}, [](const FedDevice& row) { return row.device.index(); });
        for (const int vertex : reached) {
            place_[at(vertex)] = -1;
        }
        for (const int vertex : bare) {
            bare_[at(vertex)] = 0;
        }
        return out;
    }

    void add_branch(int index, const std::vector<int>& reached, const std::vector<int>& dominator,
                    SourceZone& zone) const {
        const Branch& branch = network_.branches[at(index)];
        const auto place_at = [&](int vertex) { return vertex >= 0 ? place_[at(vertex)] : -1; };
        const int place = is_sink(branch.kind)
                              ? common_dominator(place_at(piece_[at(branch.from)]),
                                                 place_at(piece_[at(branch.to)]), dominator)
                              : place_at(vertex_of(branch, at(index)));
        if (branch.kind != BranchKind::protection) {
            zone.branches.push_back(
                {index, is_bare(branch), device_from(place, reached, dominator)});
            return;
        }
        const int before = dominator[at(place)];
        const DeviceId device = device_from(before, reached, dominator);
        zone.branches.push_back({index, false, device});
        zone.devices.push_back(
            {branch.device, device, side_of(branch, before < 0 ? -1 : reached[at(before)])});
    }

    /// A protective device is no conductor itself: bare is what lies before and beyond it.
    [[nodiscard]] bool is_bare(const Branch& branch) const {
        const auto at_node = [&](int node) {
            return piece_[at(node)] >= 0 && bare_[at(piece_[at(node)])] != 0;
        };
        return at_node(branch.from) || at_node(branch.to);
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
    std::vector<std::pair<int, int>> ways_;     ///< all
    std::vector<std::vector<int>> passes_from_; ///< by vertex: where passes lead
    std::vector<std::vector<int>> ways_from_;   ///< by vertex: where all ways lead
    std::vector<std::vector<int>> branches_of_; ///< by vertex: those that are fed when it is
    int vertices_ = 0;
    // Of the zone at hand.
    std::vector<int> place_;         ///< by vertex: its place among those reached; -1: it is not
    std::vector<std::uint8_t> bare_; ///< by vertex: reached past no protective device
};

} // namespace

const FedBranch* SourceZone::find(int branch) const {
    const auto found = std::ranges::lower_bound(branches, branch, {}, &FedBranch::branch);
    return found != branches.end() && found->branch == branch ? &*found : nullptr;
}

const FedDevice* SourceZone::find(DeviceId device) const {
    const auto found = std::ranges::lower_bound(
        devices, device.index(), {}, [](const FedDevice& row) { return row.device.index(); });
    return found != devices.end() && found->device == device ? &*found : nullptr;
}

std::vector<DeviceId> SourceZone::guards(int branch) const {
    std::vector<DeviceId> out;
    const FedBranch* const fed = find(branch);
    DeviceId device = fed != nullptr ? fed->nearest : DeviceId();
    while (device.is_valid()) {
        out.push_back(device);
        device = find(device)->before;
    }
    return out;
}

std::vector<SourceZone> source_zones(const Vehicle& vehicle, const Network& network,
                                     const std::vector<std::uint8_t>& closed) {
    return FeedGraph(vehicle, network, closed).zones();
}

} // namespace loomwright
