// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Which protective devices stand between each wire and the sources.
//
// Wires, closed contacts, joints and high-side outputs join nodes into groups of copper; protective
// devices are the edges between groups, diodes are one-way passes. A group is fed through a device
// when the group beyond it can be reached from a source without passing through this one. A feed
// does not enter the metal of the car, nor what wires alone join to it.
#include "sizing/feeds.hpp"

#include "network/dominators.hpp"
#include "network/ground.hpp"

#include "sizing/series_feeds.hpp"

#include <algorithm>
#include <numeric>
#include <optional>
#include <utility>

namespace loomwright {
namespace {

struct Edge {
    int a = 0;
    int b = 0;
    DeviceId device;
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
        return feed_of_group(root(branch.from));
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
        if (controller == nullptr) {
            return false;
        }
        for (std::size_t t = 0; t < controller->parts.size(); ++t) {
            const int node = input_.network.terminal_nodes[branch.device.index()][t];
            if (controller->parts[t].part == TerminalPart::high_side &&
                (node == branch.from || node == branch.to)) {
                return true;
            }
        }
        return false;
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
                branch.kind == BranchKind::wire || branch.kind == BranchKind::lead ||
                branch.kind == BranchKind::joint ||
                (conducts && (branch.kind == BranchKind::contact ||
                              (branch.kind == BranchKind::output && is_high_side(branch))));
            if (passes) {
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
            const auto plus = static_cast<std::size_t>(root(branch.from));
            if (branch.kind == BranchKind::protection) {
                edges_.push_back({root(branch.from), root(branch.to), branch.device});
            } else if (branch.kind == BranchKind::diode) {
                passes_.push_back({root(branch.from), root(branch.to), branch.device});
            } else if (branch.kind == BranchKind::battery) {
                unlimited_[plus] = 1;
            } else if (conducts && branch.kind == BranchKind::alternator) {
                const auto* made = input_.vehicle.device(branch.device).as<Alternator>();
                limited_a_[plus] += made != nullptr ? made->rated.value() : 0.0;
            } else if (conducts && branch.kind == BranchKind::charger) {
                const auto* made = input_.vehicle.device(branch.device).as<Charger>();
                limited_a_[plus] += made != nullptr ? made->limit.value() : 0.0;
            }
        }
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
        for (const Edge& pass : passes_) {
            passes_to_[static_cast<std::size_t>(pass.b)].push_back(pass.a);
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
        feed.is_fed = feed.is_unprotected || feed.self_limited_a > 0.0 || !feed.devices.empty();
        known = feed;
        return feed;
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
        for (const int before : passes_to_[at]) {
            add_feeds(before, seen, feed);
        }
    }

    const StudyInput& input_;
    const std::vector<std::uint8_t>& ground_;
    std::vector<int> parent_;
    std::vector<Edge> edges_;
    std::vector<Edge> passes_;
    std::vector<std::uint8_t> unlimited_;
    std::vector<double> limited_a_;
    std::vector<std::vector<int>> edges_at_;  ///< by group, indices into edges_
    std::vector<std::vector<int>> passes_to_; ///< by group: groups that a diode feeds it from
    std::vector<int> vertex_; ///< by group, in the tree of dominators; -1 where no device leads
    std::vector<int> first_;  ///< by vertex, and the last below
    std::vector<int> last_;
    mutable std::vector<std::optional<WireFeed>> cached_; ///< by group
};

double rating_of(const Design& design, const WireFeed& feed) {
    double sum = 0.0;
    for (const DeviceId device : feed.devices) {
        const double rating = design.ratings[device.index()].value_or(Amps(0.0)).value();
        sum = feed.is_return ? std::max(sum, rating) : sum + rating;
    }
    return sum;
}

/// The worse of two: unprotected, then the higher rating, then the higher limited current.
bool is_worse(const WireFeed& a, double a_rating, const WireFeed& b, double b_rating) {
    if (a.is_unprotected != b.is_unprotected) {
        return a.is_unprotected;
    }
    if (a_rating != b_rating) {
        return a_rating > b_rating;
    }
    return a.self_limited_a > b.self_limited_a;
}

} // namespace

FeedTracer::FeedTracer(const StudyInput& input)
    : input_(input), ground_(ground_nodes(input.network)) {}

std::size_t FeedTracer::find(const std::vector<std::uint8_t>& closed) {
    const auto known = std::ranges::find(known_, closed, &Known::closed);
    if (known != known_.end()) {
        return static_cast<std::size_t>(known - known_.begin());
    }
    const Groups groups(input_, ground_, closed);
    Known made{closed, {}};
    for (std::size_t i = 0; i < input_.vehicle.wires.size(); ++i) {
        made.feeds.push_back(groups.feed_of(WireId(i)));
    }
    add_series_devices(input_, closed, ground_, made.feeds);
    known_.push_back(std::move(made));
    return known_.size() - 1;
}

std::vector<WireFeed> FeedTracer::trace(const Design& design,
                                        const std::vector<const StateSolution*>& states) {
    struct Worst {
        const WireFeed* feed = nullptr;
        double rating_a = 0.0;
        StateId state;
    };
    std::vector<std::size_t> of_state;
    of_state.reserve(states.size());
    for (const StateSolution* state : states) {
        of_state.push_back(find(state->closed));
    }
    std::vector<Worst> worst(input_.vehicle.wires.size());
    for (std::size_t s = 0; s < states.size(); ++s) {
        for (std::size_t i = 0; i < worst.size(); ++i) {
            const WireFeed& here = known_[of_state[s]].feeds[i];
            const double rating = rating_of(design, here);
            const bool is_known = here.is_fed || !here.devices.empty();
            if (is_known && (worst[i].feed == nullptr ||
                             is_worse(here, rating, *worst[i].feed, worst[i].rating_a))) {
                worst[i] = {&here, rating, states[s]->state};
            }
        }
    }
    // What no state feeds is judged with every contact closed: a switch may be put there by hand.
    std::vector<WireFeed> out(worst.size());
    for (std::size_t i = 0; i < worst.size(); ++i) {
        if (worst[i].feed != nullptr) {
            out[i] = *worst[i].feed;
            out[i].rating_a = worst[i].rating_a;
            out[i].state = worst[i].state;
        }
    }
    if (std::ranges::any_of(worst, [](const Worst& row) { return row.feed == nullptr; })) {
        const std::vector<WireFeed>& closed = known_[find({})].feeds;
        for (std::size_t i = 0; i < worst.size(); ++i) {
            if (worst[i].feed == nullptr) {
                out[i] = closed[i];
                out[i].rating_a = rating_of(design, closed[i]);
            }
        }
    }
    return out;
}

} // namespace loomwright
