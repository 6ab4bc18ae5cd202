// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/pattern.hpp"

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

void Pattern::build(const Circuit& circuit, const std::vector<Role>& roles) {
    node_count_ = circuit.node_count;
    reference_ = circuit.reference;
    made_from_ = circuit.from;
    made_to_ = circuit.to;
    roles_ = roles;
    find_islands(circuit);
    choose_references(circuit);
    number_unknowns(circuit);
    lay_out_matrix();
}

Index Pattern::root(Index node) {
    while (parent_[at(node)] != node) {
        parent_[at(node)] = parent_[at(parent_[at(node)])];
        node = parent_[at(node)];
    }
    return node;
}

void Pattern::find_islands(const Circuit& circuit) {
    parent_.resize(at(node_count_));
    std::iota(parent_.begin(), parent_.end(), 0);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles_[k] == Role::absent) {
            continue;
        }
        const Index a = root(circuit.from[k]);
        const Index b = root(circuit.to[k]);
        if (a != b) { // the lower number is the root: the same islands in whatever order
            parent_[at(std::max(a, b))] = std::min(a, b);
        }
    }
}

void Pattern::choose_references(const Circuit& circuit) {
    island_is_fed.assign(at(node_count_), 0);
    island_reference_.assign(at(node_count_), -1);
    if (reference_ >= 0) {
        island_reference_[at(root(reference_))] = reference_;
    }
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles_[k] != Role::source) {
            continue;
        }
        const std::size_t island = at(root(circuit.to[k]));
        island_is_fed[island] = 1;
        if (island_reference_[island] < 0) {
            island_reference_[island] = circuit.to[k];
        }
    }
}

void Pattern::number_unknowns(const Circuit& circuit) {
    // First in the order of the nodes; the order of little fill comes with the matrix.
    unknown_of_node.assign(at(node_count_), -1);
    unknown_count = 0;
    for (Index node = 0; node < node_count_; ++node) {
        const std::size_t island = at(root(node));
        if (island_is_fed[island] != 0 && island_reference_[island] != node) {
            unknown_of_node[at(node)] = unknown_count++;
        }
    }
    for (Index node = 0; node < node_count_; ++node) {
        const std::size_t island = at(root(node));
        if (island_is_fed[island] != 0 && island_reference_[island] == node) {
            unknown_of_node[at(node)] = unknown_count;
        }
    }
    branch.clear();
    from.clear();
    to.clear();
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const Index plus = unknown_of_node[at(circuit.from[k])];
        if (roles_[k] != Role::absent && plus >= 0) {
            branch.push_back(static_cast<Index>(k));
            from.push_back(plus);
            to.push_back(unknown_of_node[at(circuit.to[k])]);
        }
    }
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
