// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/ordering.hpp"

#include <suitesparse/amd.h>

#include <numeric>

// The circuit of a car is long chains between few meeting points: fuse, wire, connector, wire,
// load, wire, ground. What has one neighbour is eliminated first, which adds no fill; then what has
// two, which joins the two and adds one entry at most: the series rule of circuits. What is left,
// the meeting points, goes to AMD (approximate minimum degree; P. Amestoy, T. Davis and I. Duff,
// ACM Trans. Math. Software 30 (2004), 381-388), which does the same for any number of neighbours
// at more cost.

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

/// The graph that elimination works on. Each edge is two halves, one in the list of either end.
class Shrinking {
public:
    Shrinking(const std::vector<Index>& column_start, const std::vector<Index>& row);

    /// Eliminates all that has at most two neighbours, in the order that goes to `order`.
    void shrink(std::vector<Index>& order);
    /// Appends the others as AMD orders them.
    void order_rest(std::vector<Index>& order) const;

private:
    static constexpr int looked_at = 8; ///< entries searched for an edge that is there already
    static constexpr Index gone = -1;

    void loosen(Index half);
    void join(Index half_a, Index half_b);
    void eliminate(Index node);
    void note(Index node);

    std::vector<Index> start_;  ///< lists of halves by node
    std::vector<Index> target_; ///< far end of each half; gone: no longer there
    std::vector<Index> mate_;   ///< the half that is the same edge from its far end
    std::vector<Index> degree_; ///< gone: eliminated
    std::vector<Index> ends_;   ///< to be eliminated: one neighbour or none
    std::vector<Index> links_;  ///< and those with two
};

Shrinking::Shrinking(const std::vector<Index>& column_start, const std::vector<Index>& row)
    : start_(column_start.size(), 0), target_(2 * row.size()), mate_(2 * row.size()) {
    const std::size_t size = column_start.size() - 1;
    for (std::size_t column = 0; column < size; ++column) {
        start_[column + 1] += column_start[column + 1] - column_start[column];
    }
    for (const Index end : row) {
        ++start_[at(end) + 1];
    }
    std::partial_sum(start_.begin(), start_.end(), start_.begin());
    std::vector<Index> next(start_.begin(), start_.end() - 1);
    for (std::size_t column = 0; column < size; ++column) {
        for (Index k = column_start[column]; k < column_start[column + 1]; ++k) {
            const Index here = next[column]++;
            const Index there = next[at(row[at(k)])]++;
            target_[at(here)] = row[at(k)];
            target_[at(there)] = static_cast<Index>(column);
            mate_[at(here)] = there;
            mate_[at(there)] = here;
        }
    }
    degree_.resize(size);
    for (std::size_t node = size; node-- > 0;) {
        degree_[node] = start_[node + 1] - start_[node];
        note(static_cast<Index>(node));
    }
}

/// Takes note of a node whose number of neighbours has come down to one or two.
void Shrinking::note(Index node) {
    if (degree_[at(node)] <= 1) {
        ends_.push_back(node);
    } else if (degree_[at(node)] == 2) {
        links_.push_back(node);
    }
}

/// Takes a half out of its owner's list; the owner is the target of its mate.
void Shrinking::loosen(Index half) {
    const Index owner = target_[at(mate_[at(half)])];
    target_[at(half)] = gone;
    if (--degree_[at(owner)] <= 2) {
        note(owner);
    }
}

/// Makes one edge of two that met at a node now eliminated, unless its ends are neighbours already.
void Shrinking::join(Index half_a, Index half_b) {
    const Index a = target_[at(mate_[at(half_a)])];
    const Index b = target_[at(mate_[at(half_b)])];
    const bool from_a = degree_[at(a)] < degree_[at(b)];
    const Index looking = from_a ? a : b;
    const Index wanted = from_a ? b : a;
    int looks = looked_at;
    bool is_there = a == b;
    for (Index k = start_[at(looking)]; !is_there && k < start_[at(looking) + 1] && looks > 0;
         ++k, --looks) {
        is_there = target_[at(k)] == wanted;
    }
    if (is_there) {
        loosen(half_a);
        loosen(half_b);
        return;
    }
    target_[at(half_a)] = b;
    target_[at(half_b)] = a;
    mate_[at(half_a)] = half_b;
    mate_[at(half_b)] = half_a;
}

void Shrinking::eliminate(Index node) {
    Index first = gone; // halves of the neighbours that lead here
    Index second = gone;
    for (Index k = start_[at(node)]; k < start_[at(node) + 1]; ++k) {
        if (target_[at(k)] != gone) {
            second = first;
            first = mate_[at(k)];
        }
    }
    degree_[at(node)] = gone;
    if (second != gone) {
        join(first, second);
    } else if (first != gone) {
        loosen(first);
    }
}

void Shrinking::shrink(std::vector<Index>& order) {
    while (!ends_.empty() || !links_.empty()) {
        std::vector<Index>& stack = ends_.empty() ? links_ : ends_;
        const Index node = stack.back();
        stack.pop_back();
        if (degree_[at(node)] == gone) { // noted twice
            continue;
        }
        order.push_back(node);
        eliminate(node);
    }
}

void Shrinking::order_rest(std::vector<Index>& order) const {
    std::vector<Index> number(degree_.size(), gone);
    std::vector<Index> rest;
    for (std::size_t node = 0; node < degree_.size(); ++node) {
        if (degree_[node] != gone) {
            number[node] = static_cast<Index>(rest.size());
            rest.push_back(static_cast<Index>(node));
        }
    }
    if (rest.empty()) {
        return;
    }
    std::vector<Index> start{0};
    std::vector<Index> ends;
    for (const Index node : rest) {
        for (Index k = start_[at(node)]; k < start_[at(node) + 1]; ++k) {
            if (target_[at(k)] > node) { // one triangle will do
                ends.push_back(number[at(target_[at(k)])]);
            }
        }
        start.push_back(static_cast<Index>(ends.size()));
    }
    // Entries twice over and a missing diagonal are no matter to AMD.
    std::vector<Index> by_amd(rest.size());
    const int status = amd_order(static_cast<Index>(rest.size()), start.data(), ends.data(),
                                 by_amd.data(), nullptr, nullptr);
    if (status < AMD_OK) {
        std::iota(by_amd.begin(), by_amd.end(), 0); // no memory for it: any order is right, if slow
    }
    for (const Index node : by_amd) {
        order.push_back(rest[at(node)]);
    }
}

} // namespace

std::vector<Index> fill_reducing_order(const std::vector<Index>& column_start,
                                       const std::vector<Index>& row) {
    Shrinking graph(column_start, row);
    std::vector<Index> order;
    order.reserve(column_start.size() - 1);
    graph.shrink(order);
    graph.order_rest(order);
    return order;
}

} // namespace loomwright::solve
