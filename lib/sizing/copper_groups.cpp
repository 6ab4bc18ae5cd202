// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Which protective devices stand between each wire and the sources.
//
// Wires, closed contacts, joints and high-side outputs join nodes into groups of copper; protective
// devices are the edges between groups, diodes are one-way passes. A group is fed through a device
// when the group beyond it can be reached from a source without passing through this one. A feed
// does not enter the metal of the car, nor what wires alone join to it.
#include "sizing/copper_groups.hpp"

#include "network/branch_kinds.hpp"
#include "network/dominators.hpp"
#include "network/ground.hpp"
#include "sizing/feed_ends.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <optional>
#include <utility>

namespace loomwright {
namespace {

struct Edge {
    int a = 0; ///< group
    int b = 0;
    int node_a = 0;
    int node_b = 0;
    DeviceId device;
};

/// Where current comes into a group of copper.
struct Entry {
    int node = 0;
    DeviceId device; ///< invalid: a source that limits itself
    int source = -1; ///< which of those, by limited_at_; -1: a device
};
constexpr std::size_t most_entries = 64;

/// A wire that parts its group in two.
struct WireSide {
    WireId wire;
    std::uint64_t entries_at_a = 0; ///< bits of the entries beyond its `from` end
};

class Groups {
public:
    Groups(const StudyInput& input, const std::vector<std::uint8_t>& ground,
           const std::vector<std::uint8_t>& closed)
        : input_(input), ground_(ground),
          parent_(static_cast<std::size_t>(input.network.node_count())) {
        std::iota(parent_.begin(), parent_.end(), 0);
        join(closed);
        for (std::size_t node = 0; node < parent_.size(); ++node) {
            parent_[node] = root(static_cast<int>(node)); // of all nodes before it: one step
        }
        collect(closed);
        if (is_plus_grounded_) {
            turn_passes();
        }
        index_edges();
        cached_.resize(parent_.size());
    }

    /// How the wire is fed with these contacts.
    [[nodiscard]] WireFeed feed_of(WireId wire) const {
        const Branch& branch =
            input_.network
                .branches[static_cast<std::size_t>(input_.network.wire_branch[wire.index()])];
        if (is_ground(branch.from) || is_ground(branch.to)) {
            return {};
        }
        const int group = root(branch.from);
        const WireFeed feed = feed_of_group(group);
        const std::size_t feeds = feed.devices.size() + (feed.self_limited_a > 0.0 ? 1U : 0U);
        return feeds < 2 || feed.is_unprotected ? feed : split_by_ends(wire, group, feed);
    }

private:
    [[nodiscard]] int root(int node) const {
        while (parent_[static_cast<std::size_t>(node)] != node) {
            node = parent_[static_cast<std::size_t>(node)];
        }
        return node;
    }
    /// The same, leaving shorter ways behind.
    int short_root(int node) {
        while (parent_[static_cast<std::size_t>(node)] != node) {
            int& above = parent_[static_cast<std::size_t>(node)];
            above = parent_[static_cast<std::size_t>(above)];
            node = above;
        }
        return node;
    }
    void unite(int a, int b) {
        const int ra = short_root(a);
        const int rb = short_root(b);
        parent_[static_cast<std::size_t>(std::max(ra, rb))] = std::min(ra, rb);
    }

    [[nodiscard]] bool is_ground(int node) const {
        return ground_[static_cast<std::size_t>(node)] != 0;
    }

    [[nodiscard]] bool is_high_side(const Branch& branch) const {
        const auto* controller = input_.vehicle.device(branch.device).as<Controller>();
        return controller->parts[static_cast<std::size_t>(branch.part)].part ==
               TerminalPart::high_side;
    }

    void join(const std::vector<std::uint8_t>& closed) {
        const auto& branches = input_.network.branches;
        for (std::size_t i = 0; i < branches.size(); ++i) {
            const Branch& branch = branches[i];
            const bool conducts = closed.empty() || closed[i] != 0;
            if (is_ground(branch.from) || is_ground(branch.to)) {
                continue;
            }
            const bool passes =
                is_copper(branch.kind) ||
                (conducts && (branch.kind == BranchKind::contact ||
                              (branch.kind == BranchKind::output && is_high_side(branch))));
            if (passes) {
                joining_.push_back(static_cast<int>(i));
                unite(branch.from, branch.to);
            }
        }
    }

    void collect(const std::vector<std::uint8_t>& closed) {
        const auto& branches = input_.network.branches;
        unlimited_.assign(parent_.size(), 0);
        limited_a_.assign(parent_.size(), 0.0);
        for (std::size_t i = 0; i < branches.size(); ++i) {
            const Branch& branch = branches[i];
            const bool conducts = closed.empty() || closed[i] != 0;
            const int live = live_post(branch, ground_); // of a source
            is_plus_grounded_ =
                is_plus_grounded_ || (branch.kind == BranchKind::battery && live != branch.from);
            if (branch.kind == BranchKind::protection) {
                edges_.push_back(
                    {root(branch.from), root(branch.to), branch.from, branch.to, branch.device});
            } else if (branch.kind == BranchKind::diode) {
                passes_.push_back(
                    {root(branch.from), root(branch.to), branch.from, branch.to, branch.device});
            } else if (branch.kind == BranchKind::battery) {
                unlimited_[static_cast<std::size_t>(root(live))] = 1;
            } else if (conducts && branch.kind == BranchKind::alternator) {
                const auto* made = input_.vehicle.device(branch.device).as<Alternator>();
                add_limited(live, made != nullptr ? made->rated.value() : 0.0);
            } else if (conducts && branch.kind == BranchKind::charger) {
                const auto* made = input_.vehicle.device(branch.device).as<Charger>();
                add_limited(live, made != nullptr ? made->limit.value() : 0.0);
            }
        }
    }

    /// With the plus on the metal the current of a feed runs through a diode the other way.
    void turn_passes() {
        for (Edge& pass : passes_) {
            std::swap(pass.a, pass.b);
            std::swap(pass.node_a, pass.node_b);
        }
    }

    void add_limited(int plus, double amps) {
        limited_a_[static_cast<std::size_t>(root(plus))] += amps;
        limited_at_.emplace_back(plus, amps);
    }

    [[nodiscard]] bool is_source(int group) const {
        const auto at = static_cast<std::size_t>(group);
        return unlimited_[at] != 0 || limited_a_[at] > 0.0;
    }

    /// Places the edges by group, and numbers the tree of dominators under one source over all: a
    /// group is fed without passing another when that one is not among its dominators.
    void index_edges() {
        const auto count = parent_.size();
        edges_at_.resize(count);
        passes_to_.resize(count);
        std::vector<std::pair<int, int>> ways;
        vertex_.assign(count, -1);
        int vertices = 1; // the source over all is 0
        const auto vertex = [&](int group) {
            int& known = vertex_[static_cast<std::size_t>(group)];
            return known >= 0 ? known : known = vertices++;
        };
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const Edge& edge = edges_[i];
            edges_at_[static_cast<std::size_t>(edge.a)].push_back(static_cast<int>(i));
            edges_at_[static_cast<std::size_t>(edge.b)].push_back(static_cast<int>(i));
            ways.emplace_back(vertex(edge.a), vertex(edge.b));
            ways.emplace_back(vertex(edge.b), vertex(edge.a));
        }
        for (std::size_t i = 0; i < passes_.size(); ++i) {
            const Edge& pass = passes_[i];
            passes_to_[static_cast<std::size_t>(pass.b)].push_back(static_cast<int>(i));
            ways.emplace_back(vertex(pass.a), vertex(pass.b));
        }
        for (std::size_t group = 0; group < count; ++group) {
            if (is_source(static_cast<int>(group))) {
                ways.emplace_back(0, vertex(static_cast<int>(group)));
            }
        }
        number_tree(immediate_dominators(vertices, ways, 0), 0);
    }

    /// First and last number of each vertex in a walk of the tree; 0 for what is not reached.
    void number_tree(const std::vector<int>& above, int top) {
        std::vector<std::vector<int>> below(above.size());
        for (std::size_t i = 0; i < above.size(); ++i) {
            if (above[i] >= 0) {
                below[static_cast<std::size_t>(above[i])].push_back(static_cast<int>(i));
            }
        }
        first_.assign(above.size(), 0);
        last_.assign(above.size(), 0);
        int number = 0;
        std::vector<std::pair<int, std::size_t>> open{{top, 0}};
        first_[static_cast<std::size_t>(top)] = ++number;
        while (!open.empty()) {
            auto& [vertex, next] = open.back();
            const auto& children = below[static_cast<std::size_t>(vertex)];
            if (next == children.size()) {
                last_[static_cast<std::size_t>(vertex)] = ++number;
                open.pop_back();
                continue;
            }
            const int child = children[next++];
            first_[static_cast<std::size_t>(child)] = ++number;
            open.emplace_back(child, 0);
        }
    }

    /// A source feeds `group` on a way that does not pass `without`.
    [[nodiscard]] bool is_fed_without(int group, int without) const {
        const auto here = static_cast<std::size_t>(vertex_[static_cast<std::size_t>(group)]);
        const auto other = static_cast<std::size_t>(vertex_[static_cast<std::size_t>(without)]);
        const bool is_fed = first_[here] > 0;
        const bool is_under =
            first_[other] > 0 && first_[other] <= first_[here] && last_[here] <= last_[other];
        return is_fed && !is_under;
    }

    [[nodiscard]] WireFeed feed_of_group(int group) const {
        std::optional<WireFeed>& known = cached_[static_cast<std::size_t>(group)];
        if (known) {
            return *known;
        }
        WireFeed feed;
        std::vector<int> seen;
        add_feeds(group, seen, feed);
        feed.limited_rest_a = feed.self_limited_a;
        feed.is_fed = feed.is_unprotected || feed.self_limited_a > 0.0 || !feed.devices.empty();
        known = feed;
        return feed;
    }

    /// The feeds of a wire between which it lies apart from those that come in at one end.
    [[nodiscard]] WireFeed split_by_ends(WireId wire, int group, const WireFeed& all) const {
        const std::vector<WireSide>& sides = sides_of_group(group);
        const auto side = std::ranges::lower_bound(sides, wire, {}, &WireSide::wire);
        WireFeed out = all;
        if (side == sides.end() || side->wire != wire) {
            return out;
        }
        const std::vector<Entry>& entries = entries_[static_cast<std::size_t>(group)];
        out.self_limited_a = 0.0;
        // What comes in at several places of one end counts there once.
        std::array<std::vector<DeviceId>, 2> ends;
        std::array<std::vector<int>, 2> sources;
        std::array<double, 2> limited{};
        for (std::size_t i = 0; i < entries.size(); ++i) {
            const std::size_t end = ((side->entries_at_a >> i) & 1U) != 0U ? 0 : 1;
            const DeviceId device = entries[i].device;
            const int source = entries[i].source;
            if (device.is_valid() && std::ranges::find(ends[end], device) == ends[end].end()) {
                ends[end].push_back(device);
            }
            if (source >= 0 && std::ranges::find(sources[end], source) == sources[end].end()) {
                sources[end].push_back(source);
                limited[end] += limited_at_[static_cast<std::size_t>(source)].second;
            }
        }
        const bool is_at_both = std::ranges::any_of(ends[0], [&](DeviceId device) {
            return std::ranges::find(ends[1], device) != ends[1].end();
        });
        if (is_at_both) {
            return all;
        }
        out.self_limited_a = std::max(limited[0], limited[1]);
        out.at_one_end = ends[1].empty() ? 0 : ends[0].size();
        out.limited_first_a = limited[0];
        out.limited_rest_a = ends[1].empty() ? limited[0] : limited[1];
        out.devices = std::move(ends[0]);
        out.devices.insert(out.devices.end(), ends[1].begin(), ends[1].end());
        return out;
    }

    /// Where current comes into a group: the end of a device, a source that limits itself, a diode.
    void add_entries(int group, std::vector<Entry>& entries) const {
        add_own_entries(group, -1, entries);
        for (const int index : passes_to_[static_cast<std::size_t>(group)]) {
            // What feeds the copper beyond comes in at each of the diodes that lead from there.
            const Edge& pass = passes_[static_cast<std::size_t>(index)];
            std::vector<int> seen{group};
            add_entries_beyond(pass.a, pass.node_b, seen, entries);
        }
    }

    /// Those of the copper beyond a diode, which come in at its `node`.
    void add_entries_beyond(int group, int node, std::vector<int>& seen,
                            std::vector<Entry>& entries) const {
        if (std::ranges::find(seen, group) != seen.end()) {
            return;
        }
        seen.push_back(group);
        add_own_entries(group, node, entries);
        for (const int index : passes_to_[static_cast<std::size_t>(group)]) {
            add_entries_beyond(passes_[static_cast<std::size_t>(index)].a, node, seen, entries);
        }
    }

    /// The devices and sources on the group's own copper; `node`: where they come in, -1: there.
    void add_own_entries(int group, int node, std::vector<Entry>& entries) const {
        for (std::size_t i = 0; i < limited_at_.size(); ++i) {
            const int plus = limited_at_[i].first;
            if (root(plus) == group) {
                entries.push_back({node < 0 ? plus : node, DeviceId(), static_cast<int>(i)});
            }
        }
        for (const int index : edges_at_[static_cast<std::size_t>(group)]) {
            const Edge& edge = edges_[static_cast<std::size_t>(index)];
            const bool is_a = edge.a == group;
            if (edge.a != edge.b && is_fed_without(is_a ? edge.b : edge.a, group)) {
                const int own = is_a ? edge.node_a : edge.node_b;
                entries.push_back({node < 0 ? own : node, edge.device, -1});
            }
        }
    }

    /// The wires of a group that part it in two, with the entries beyond their `from` end.
    [[nodiscard]] const std::vector<WireSide>& sides_of_group(int group) const {
        const auto at = static_cast<std::size_t>(group);
        if (has_sides_.empty()) {
            has_sides_.resize(parent_.size());
            sides_.resize(parent_.size());
            entries_.resize(parent_.size());
            copper_.resize(parent_.size());
            for (const int branch : joining_) {
                copper_[static_cast<std::size_t>(
                            root(input_.network.branches[static_cast<std::size_t>(branch)].from))]
                    .push_back(branch);
            }
        }
        if (has_sides_[at] != 0) {
            return sides_[at];
        }
        has_sides_[at] = 1;
        add_entries(group, entries_[at]);
        if (entries_[at].size() > most_entries) {
            return sides_[at];
        }
        std::vector<PieceEdge> edges;
        for (const int branch : copper_[at]) {
            const Branch& joins = input_.network.branches[static_cast<std::size_t>(branch)];
            edges.push_back({joins.from, joins.to});
        }
        std::vector<int> nodes;
        for (const Entry& entry : entries_[at]) {
            nodes.push_back(entry.node);
        }
        const auto on_a = entries_on_side_a(edges, nodes);
        for (std::size_t i = 0; i < edges.size(); ++i) {
            const WireId wire =
                input_.network.branches[static_cast<std::size_t>(copper_[at][i])].wire;
            if (on_a[i] && wire.is_valid()) {
                sides_[at].push_back({wire, *on_a[i]});
            }
        }
        std::ranges::sort(sides_[at], {}, &WireSide::wire);
        return sides_[at];
    }

    void add_feeds(int group, std::vector<int>& seen, WireFeed& feed) const {
        if (std::ranges::find(seen, group) != seen.end()) {
            return;
        }
        seen.push_back(group);
        const auto at = static_cast<std::size_t>(group);
        feed.is_unprotected = feed.is_unprotected || unlimited_[at] != 0;
        feed.self_limited_a += limited_a_[at];
        for (const int index : edges_at_[at]) {
            const Edge& edge = edges_[static_cast<std::size_t>(index)];
            const bool leads_away = edge.a != edge.b;
            if (leads_away && is_fed_without(edge.a == group ? edge.b : edge.a, group) &&
                std::ranges::find(feed.devices, edge.device) == feed.devices.end()) {
                feed.devices.push_back(edge.device);
            }
        }
        for (const int index : passes_to_[at]) {
            add_feeds(passes_[static_cast<std::size_t>(index)].a, seen, feed);
        }
    }

    const StudyInput& input_;
    const std::vector<std::uint8_t>& ground_;
    std::vector<int> parent_;
    std::vector<Edge> edges_;
    std::vector<Edge> passes_;
    bool is_plus_grounded_ = false;
    std::vector<std::uint8_t> unlimited_;
    std::vector<double> limited_a_;
    std::vector<std::vector<int>> edges_at_;  ///< by group, indices into edges_
    std::vector<std::vector<int>> passes_to_; ///< by group, indices into passes_ that feed it
    std::vector<int> vertex_; ///< by group, in the tree of dominators; -1 where no device leads
    std::vector<int> first_;  ///< by vertex, and the last below
    std::vector<int> last_;
    std::vector<int> joining_;                            ///< branches that join nodes into groups
    std::vector<std::pair<int, double>> limited_at_;      ///< plus node and amperes of such sources
    mutable std::vector<std::optional<WireFeed>> cached_; ///< by group
    // By group, made when a group with several feeds is first asked for.
    mutable std::vector<std::uint8_t> has_sides_;
    mutable std::vector<std::vector<int>> copper_;
    mutable std::vector<std::vector<Entry>> entries_;
    mutable std::vector<std::vector<WireSide>> sides_;
};

} // namespace

std::vector<WireFeed> feeds_of_wires(const StudyInput& input,
                                     const std::vector<std::uint8_t>& ground,
                                     const std::vector<std::uint8_t>& closed) {
    const Groups groups(input, ground, closed);
    std::vector<WireFeed> out;
    out.reserve(input.vehicle.wires.size());
    for (std::size_t i = 0; i < input.vehicle.wires.size(); ++i) {
        out.push_back(groups.feed_of(WireId(i)));
    }
    return out;
}

} // namespace loomwright
