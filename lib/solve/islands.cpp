// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/islands.hpp"

#include <limits>
#include <numeric>

// A branch that goes out of force is searched round from both its ends in turn, a node at a time:
// either the searches meet, and nothing has come apart, or one runs out of nodes, and what it has
// reached is the smaller part or hardly larger. So a cut costs no more than what it cuts off.

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

bool is_source(Law law) {
    return law == Law::source || law == Law::limited_source;
}

} // namespace

Meetings::Meetings(const Circuit& circuit) : start(at(circuit.node_count) + 1, 0) {
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        ++start[at(circuit.from[k]) + 1];
        ++start[at(circuit.to[k]) + 1];
        if (is_source(circuit.law[k])) {
            source.push_back(static_cast<Index>(k));
        }
    }
    std::partial_sum(start.begin(), start.end(), start.begin());
    branch.resize(at(start.back()));
    std::vector<Index> next(start.begin(), start.end() - 1);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        branch[at(next[at(circuit.from[k])]++)] = static_cast<Index>(k);
        branch[at(next[at(circuit.to[k])]++)] = static_cast<Index>(k);
    }
}

Islands::Islands(const Circuit& circuit, const Meetings& meetings, const std::vector<Index>& fixed)
    : circuit_(&circuit), meetings_(&meetings), fixed_(&fixed) {}

void Islands::build(const std::vector<std::uint8_t>& in_force) {
    const std::size_t count = at(circuit_->node_count);
    island_of_node_.assign(count, -1);
    islands_.clear();
    conductors_.clear();
    mark_.assign(count, 0);
    last_mark_ = 0;
    std::vector<Index> open;
    for (std::size_t seed = 0; seed < count; ++seed) {
        if (island_of_node_[seed] >= 0) {
            continue;
        }
        const auto id = static_cast<Index>(islands_.size());
        island_of_node_[seed] = id;
        open.push_back(static_cast<Index>(seed));
        while (!open.empty()) {
            const Index here = open.back();
            open.pop_back();
            for (Index k = meetings_->start[at(here)]; k < meetings_->start[at(here) + 1]; ++k) {
                const Index branch = meetings_->branch[at(k)];
                const Index other = circuit_->from[at(branch)] == here ? circuit_->to[at(branch)]
                                                                       : circuit_->from[at(branch)];
                if (in_force[at(branch)] != 0 && island_of_node_[at(other)] < 0) {
                    island_of_node_[at(other)] = id;
                    open.push_back(other);
                }
            }
        }
        islands_.emplace_back();
    }
    std::vector<Index> first(islands_.size(), -1);
    for (std::size_t node = count; node-- > 0;) {
        first[at(island_of_node_[node])] = static_cast<Index>(node);
    }
    for (std::size_t id = 0; id < islands_.size(); ++id) {
        islands_[id].holder = first[id];
    }
    for (std::size_t k = meetings_->source.size(); k-- > 0;) { // the first source has the last word
        const Index source = meetings_->source[k];
        if (in_force[at(source)] != 0) {
            const Index minus = circuit_->to[at(source)];
            Island& fed = islands_[at(island_of_node_[at(minus)])];
            fed.is_fed = true;
            fed.holder = minus;
        }
    }
    for (const Index node : *fixed_) {
        Island& island = islands_[at(island_of_node_[at(node)])];
        island.holder = node;
        island.is_fixed = true;
    }
}

std::vector<Index> Islands::held() const {
    std::vector<Index> out;
    for (const Island& island : islands_) {
        if (island.holder >= 0 && !island.is_fixed) {
            out.push_back(island.holder);
        }
    }
    return out;
}

/// What holds and feeds the island of this number; `anywhere` is one of its nodes.
Islands::Island Islands::found(Index id, Index anywhere,
                               const std::vector<std::uint8_t>& in_force) const {
    Island out{.holder = -1, .is_fixed = false, .is_fed = false};
    for (const Index source : meetings_->source) {
        const Index minus = circuit_->to[at(source)];
        if (in_force[at(source)] != 0 && island_of_node_[at(minus)] == id) {
            out.is_fed = true;
            out.holder = minus;
            break;
        }
    }
    for (const Index node : *fixed_) {
        if (island_of_node_[at(node)] == id) {
            out.is_fixed = true;
            out.holder = node;
        }
    }
    out.holder = out.holder < 0 ? anywhere : out.holder;
    return out;
}

void Islands::replace(Island& island, const Island& by, std::vector<Change>& changes) const {
    if (island.holder != by.holder || island.is_fixed != by.is_fixed) {
        if (island.holder >= 0 && !island.is_fixed) {
            changes.push_back({.node = island.holder, .is_held = false});
        }
        if (by.holder >= 0 && !by.is_fixed) {
            changes.push_back({.node = by.holder, .is_held = true});
        }
    }
    island = by;
}

void Islands::join(Index from, Index to, const std::vector<std::uint8_t>& in_force,
                   std::vector<Change>& changes) {
    const Index kept = island_of_node_[at(from)];
    const Index gone = island_of_node_[at(to)];
    if (kept == gone) {
        Island& island = islands_[at(kept)]; // a source may have come
        replace(island, found(kept, island.holder, in_force), changes);
        return;
    }
    for (Index& id : island_of_node_) {
        id = id == gone ? kept : id;
    }
    replace(islands_[at(gone)], Island{}, changes);
    replace(islands_[at(kept)], found(kept, islands_[at(kept)].holder, in_force), changes);
}

void Islands::add_conductor(Index from, Index to, const std::vector<std::uint8_t>& in_force,
                            std::vector<Change>& changes) {
    conductors_.push_back({.from = from, .to = to});
    join(from, to, in_force, changes);
}

bool Islands::reach(Search& search, Index node, Index other) {
    Index& mark = mark_[at(node)];
    if (mark == other) {
        return true;
    }
    if (mark != search.mark) {
        mark = search.mark;
        search.nodes.push_back(node);
    }
    return false;
}

/// Leaves one node of a search by all its branches; true when that meets the other search.
bool Islands::step(Search& search, Index other, const std::vector<std::uint8_t>& in_force) {
    const Index here = search.nodes[search.next++];
    for (Index k = meetings_->start[at(here)]; k < meetings_->start[at(here) + 1]; ++k) {
        const std::size_t branch = at(meetings_->branch[at(k)]);
        if (in_force[branch] == 0) {
            continue;
        }
        const Index from = circuit_->from[branch];
        if (reach(search, from == here ? circuit_->to[branch] : from, other)) {
            return true;
        }
    }
    for (const Conductor& conductor : conductors_) {
        if ((conductor.from == here && reach(search, conductor.to, other)) ||
            (conductor.to == here && reach(search, conductor.from, other))) {
            return true;
        }
    }
    return false;
}

void Islands::cut(Index from, Index to, const std::vector<std::uint8_t>& in_force,
                  std::vector<Change>& changes) {
    if (last_mark_ > std::numeric_limits<Index>::max() - 2) {
        mark_.assign(mark_.size(), 0);
        last_mark_ = 0;
    }
    const Index whole = island_of_node_[at(from)];
    bool is_apart = from != to;
    if (is_apart) {
        near_.nodes.assign(1, from);
        far_.nodes.assign(1, to);
        near_.next = far_.next = 0;
        near_.mark = ++last_mark_;
        far_.mark = ++last_mark_;
        mark_[at(from)] = near_.mark;
        mark_[at(to)] = far_.mark;
    }
    const Search* part = nullptr;
    while (is_apart && part == nullptr) {
        if (near_.next == near_.nodes.size()) {
            part = &near_;
        } else if (far_.next == far_.nodes.size()) {
            part = &far_;
        } else {
            is_apart = !step(near_, far_.mark, in_force) && !step(far_, near_.mark, in_force);
        }
    }
    if (!is_apart) {
        Island& island = islands_[at(whole)]; // a source may have gone
        replace(island, found(whole, island.holder, in_force), changes);
        return;
    }
    const auto part_id = static_cast<Index>(islands_.size());
    islands_.emplace_back();
    for (const Index node : part->nodes) {
        island_of_node_[at(node)] = part_id;
    }
    const Index left = part == &near_ ? to : from;
    replace(islands_[at(whole)], found(whole, left, in_force), changes);
    replace(islands_[at(part_id)], found(part_id, part->nodes.front(), in_force), changes);
}

} // namespace loomwright::solve
