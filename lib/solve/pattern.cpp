// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/pattern.hpp"

#include "solve/idle_branches.hpp"
#include "solve/ordering.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

/// Stable counting sort: `sorted` lists `items` by ascending `key`, keys in [0, key_count).
template <typename Key>
void sort_by_key(const std::vector<Index>& items, std::vector<Index>& sorted, Index key_count,
                 std::vector<Index>& bucket, Key key) {
    bucket.assign(at(key_count) + 1, 0);
    for (const Index item : items) {
        ++bucket[at(key(item)) + 1];
    }
    std::partial_sum(bucket.begin(), bucket.end(), bucket.begin());
    sorted.resize(items.size());
    for (const Index item : items) {
        sorted[at(bucket[at(key(item))]++)] = item;
    }
}

Index root(std::vector<Index>& parent, Index node) {
    while (parent[at(node)] != node) {
        parent[at(node)] = parent[at(parent[at(node)])];
        node = parent[at(node)];
    }
    return node;
}

/// The lower number is the root: the same sets in whatever order they are joined.
void join(std::vector<Index>& parent, Index a, Index b) {
    a = root(parent, a);
    b = root(parent, b);
    parent[at(std::max(a, b))] = std::min(a, b);
}

/// The lower and the higher number of a term's two unknowns: row and column of its entry.
struct LowEnd {
    const std::vector<Index>& from;
    const std::vector<Index>& to;
    Index operator()(Index term) const { return std::min(from[at(term)], to[at(term)]); }
};
struct HighEnd {
    const std::vector<Index>& from;
    const std::vector<Index>& to;
    Index operator()(Index term) const { return std::max(from[at(term)], to[at(term)]); }
};

} // namespace

bool Pattern::matches(const Circuit& circuit, const std::vector<Role>& roles) const {
    return circuit.node_count == node_count_ && circuit.reference == reference_ &&
           roles == roles_ && circuit.from == made_from_ && circuit.to == made_to_;
}

void Pattern::build(const Circuit& circuit, const std::vector<Role>& roles, Unknowns wanted) {
    node_count_ = circuit.node_count;
    reference_ = circuit.reference;
    made_from_ = circuit.from;
    made_to_ = circuit.to;
    roles_ = roles;
    is_idle_ = wanted == Unknowns::needed ? idle_branches(circuit, roles)
                                          : std::vector<std::uint8_t>(roles.size(), 0);
    find_islands(circuit);
    find_levels(circuit);
    choose_references(circuit);
    const std::vector<Index> live = live_branches(circuit);
    is_inner_.assign(at(node_count_), 0);
    chains = {};
    if (wanted == Unknowns::needed) {
        std::vector<std::uint8_t> is_linear(roles.size());
        std::ranges::transform(roles, is_linear.begin(), [](Role role) {
            return static_cast<std::uint8_t>(role == Role::conducts);
        });
        std::vector<std::uint8_t> is_end(at(node_count_), 0);
        for (const Index level : island_reference_) {
            if (level >= 0) {
                is_end[at(level)] = 1;
            }
        }
        chains = find_chains(circuit, live, is_linear, {level_of_node, std::move(is_end)});
        find_inner_levels(circuit);
    }
    number_unknowns();
    list_terms(circuit, live);
    lay_out_matrix();
}

void Pattern::find_islands(const Circuit& circuit) {
    parent_.resize(at(node_count_));
    std::iota(parent_.begin(), parent_.end(), 0);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles_[k] != Role::absent) {
            join(parent_, circuit.from[k], circuit.to[k]);
        }
    }
}

void Pattern::find_levels(const Circuit& circuit) {
    level_of_node.resize(at(node_count_));
    std::iota(level_of_node.begin(), level_of_node.end(), 0);
    for (std::size_t k = 0; k < is_idle_.size(); ++k) {
        if (is_idle_[k] != 0) {
            join(level_of_node, circuit.from[k], circuit.to[k]);
        }
    }
    for (Index node = 0; node < node_count_; ++node) {
        level_of_node[at(node)] = root(level_of_node, node);
    }
}

void Pattern::choose_references(const Circuit& circuit) {
    island_is_fed.assign(at(node_count_), 0);
    island_reference_.assign(at(node_count_), -1);
    if (reference_ >= 0) {
        island_reference_[at(root(parent_, reference_))] = level_of_node[at(reference_)];
    }
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles_[k] != Role::source) {
            continue;
        }
        const std::size_t island = at(root(parent_, circuit.to[k]));
        island_is_fed[island] = 1;
        if (island_reference_[island] < 0) {
            island_reference_[island] = level_of_node[at(circuit.to[k])];
        }
    }
}

/// Those that can carry a current.
std::vector<Index> Pattern::live_branches(const Circuit& circuit) {
    std::vector<Index> out;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles_[k] != Role::absent && is_idle_[k] == 0 &&
            island_is_fed[at(root(parent_, circuit.from[k]))] != 0) {
            out.push_back(static_cast<Index>(k));
        }
    }
    return out;
}

void Pattern::find_inner_levels(const Circuit& circuit) {
    for (std::size_t chain = 0; chain + 1 < chains.start.size(); ++chain) {
        for (Index k = chains.start[chain] + 1; k < chains.start[chain + 1]; ++k) {
            const Link& link = chains.links[at(k)];
            const auto& begins = link.is_turned ? circuit.to : circuit.from;
            const Index node = begins[at(link.branch)];
            is_inner_[at(level_of_node[at(node)])] = 1;
        }
    }
}

void Pattern::number_unknowns() {
    // First in the order of the nodes; the order of little fill comes with the matrix.
    unknown_of_node.assign(at(node_count_), floating);
    unknown_count = 0;
    const auto is_reference = [this](Index level) {
        return island_reference_[at(root(parent_, level))] == level;
    };
    for (Index level = 0; level < node_count_; ++level) {
        const bool is_fed = island_is_fed[at(root(parent_, level))] != 0;
        if (is_fed && level_of_node[at(level)] == level && !is_reference(level)) {
            unknown_of_node[at(level)] = is_inner_[at(level)] != 0 ? in_chain : unknown_count++;
        }
    }
    for (Index node = 0; node < node_count_; ++node) {
        const Index level = level_of_node[at(node)];
        if (island_is_fed[at(root(parent_, node))] != 0) {
            unknown_of_node[at(node)] =
                is_reference(level) ? unknown_count : unknown_of_node[at(level)];
        }
    }
}

void Pattern::list_terms(const Circuit& circuit, const std::vector<Index>& live) {
    for (auto* by_term : {&branch, &from, &to, &from_node, &to_node}) {
        by_term->clear();
    }
    node_of_unknown.assign(at(unknown_count) + 1, -1);
    for (Index node = node_count_ - 1; node >= 0; --node) {
        if (const Index unknown = unknown_of_node[at(node)]; unknown >= 0) {
            node_of_unknown[at(unknown)] = node;
        }
    }
    if (chains.start.empty()) {
        for (const Index one : live) {
            add_term(circuit, {one, false}, {one, false});
        }
        return;
    }
    for (std::size_t chain = 0; chain + 1 < chains.start.size(); ++chain) {
        add_term(circuit, chains.links[at(chains.start[chain])],
                 chains.links[at(chains.start[chain + 1]) - 1]);
    }
}

void Pattern::add_term(const Circuit& circuit, const Link& first, const Link& last) {
    const auto& begins = first.is_turned ? circuit.to : circuit.from;
    const auto& ends = last.is_turned ? circuit.from : circuit.to;
    branch.push_back(first.branch);
    from_node.push_back(begins[at(first.branch)]);
    to_node.push_back(ends[at(last.branch)]);
    from.push_back(unknown_of_node[at(from_node.back())]);
    to.push_back(unknown_of_node[at(to_node.back())]);
    node_of_unknown[at(from.back())] = from_node.back();
    node_of_unknown[at(to.back())] = to_node.back();
}

void Pattern::lay_out_matrix() {
    by_row_.clear(); // terms with an entry off the diagonal
    for (std::size_t term = 0; term < branch.size(); ++term) {
        if (from[term] != to[term] && from[term] < unknown_count && to[term] < unknown_count) {
            by_row_.push_back(static_cast<Index>(term));
        }
    }
    sort_by_key(by_row_, by_column_, unknown_count, bucket_, HighEnd{from, to});
    column_start.assign(at(unknown_count) + 1, 0);
    row.clear();
    for (const Index term : by_column_) {
        ++column_start[at(HighEnd{from, to}(term)) + 1];
        row.push_back(LowEnd{from, to}(term));
    }
    std::partial_sum(column_start.begin(), column_start.end(), column_start.begin());
    renumber(fill_reducing_order(column_start, row));
    fill_triangle();
}

void Pattern::renumber(const std::vector<Index>& order) {
    std::vector<Index> renumbered(at(unknown_count) + 1, unknown_count);
    for (Index k = 0; k < unknown_count; ++k) {
        renumbered[at(order[at(k)])] = k;
    }
    for (Index& unknown : unknown_of_node) {
        unknown = unknown < 0 ? unknown : renumbered[at(unknown)];
    }
    const std::vector<Index> nodes = node_of_unknown;
    for (std::size_t k = 0; k < nodes.size(); ++k) {
        node_of_unknown[at(renumbered[k])] = nodes[k];
    }
    for (std::size_t term = 0; term < branch.size(); ++term) {
        from[term] = renumbered[at(from[term])];
        to[term] = renumbered[at(to[term])];
    }
}

/// The strict upper triangle, sorted by column and by row within; parallel branches share an entry.
void Pattern::fill_triangle() {
    by_column_ = by_row_;
    sort_by_key(by_column_, by_row_, unknown_count, bucket_, LowEnd{from, to});
    sort_by_key(by_row_, by_column_, unknown_count, bucket_, HighEnd{from, to});
    slot.assign(branch.size(), -1);
    row.clear();
    std::size_t next = 0;
    for (Index column = 0; column < unknown_count; ++column) {
        const std::size_t first = row.size();
        column_start[at(column)] = static_cast<Index>(first);
        for (; next < by_column_.size(); ++next) {
            const Index term = by_column_[next];
            if (HighEnd{from, to}(term) != column) {
                break;
            }
            const Index low = LowEnd{from, to}(term);
            if (row.size() == first || row.back() != low) {
                row.push_back(low);
            }
            slot[at(term)] = static_cast<Index>(row.size()) - 1;
        }
    }
    column_start[at(unknown_count)] = static_cast<Index>(row.size());
}

} // namespace loomwright::solve
