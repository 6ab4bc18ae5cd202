// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/planned_factor.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

// Row j of L has an entry in every column that is met on the way up the elimination tree from an
// entry of row j of the matrix (T. Davis, "Direct Methods for Sparse Linear Systems", SIAM 2006,
// chapter 4; from memory). Eliminating column k subtracts l_ik d_k l_jk from entry (i, j) for each
// pair of its rows; each such entry is there, by the same theorem, and its place is found once.
//
// The diagonal is not kept but what each row sums to, e_k: the conductance of a node to the
// reference. A pivot is d_k = e_k - sum of a_ik over the rows i below, and eliminating column k
// takes a_ik e_k / d_k from e_i. Off the diagonal the entries of a network of resistors are
// negative, so that nothing is ever taken from anything of its own sign: a node that 10 Mohm hold
// amid micro-ohms keeps all the digits of its hold, which a diagonal would lose. (W. Grassmann, M.
// Taksar, D. Heyman, "Regenerative analysis and steady state distributions for Markov chains",
// Operations Research 33 (1985), where rows sum to nothing. From memory; the formula for others
// follows by summing a row.)
//
// Of the inverse, entry (a, b) is y_a^T D^-1 y_b with L y_a = e_a and L y_b = e_b. y_a has entries
// on the way from a up the elimination tree alone (T. Davis, the same, chapter 3): few, where a
// column of the inverse has as many as the matrix has rows.

namespace loomwright::solve {

namespace {

/// Updates for each entry of L above which the plan is not worth its memory: fill is heavy.
constexpr std::size_t most_updates_an_entry = 12;
constexpr std::size_t small_plan = 20'000;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

bool PlannedFactor::analyse(const std::vector<Index>& column_start, const std::vector<Index>& row) {
    const std::size_t size = column_start.size() - 1;
    std::vector<Index> parent(size, -1);
    find_parents(column_start, row, parent);
    std::size_t updates = 0;
    for (std::size_t column = 0; column < size; ++column) {
        const auto entries = at(start_[column + 1] - start_[column]);
        updates += entries * (entries - (entries > 0 ? 1 : 0)) / 2;
    }
    if (updates > small_plan && updates > most_updates_an_entry * at(start_.back())) {
        return false;
    }
    find_rows(column_start, row, parent);
    update_.clear();
    update_.reserve(updates);
    plan_updates();
    to_reference_.resize(size);
    inverse_.resize(size);
    lower_.resize(row_.size());
    half_.assign(size, 0.0);
    return true;
}

/// The elimination tree, and in `start_` where each column of L begins.
void PlannedFactor::find_parents(const std::vector<Index>& column_start,
                                 const std::vector<Index>& row, std::vector<Index>& parent) {
    const std::size_t size = parent.size();
    mark_.assign(size, -1);
    start_.assign(size + 1, 0);
    for (std::size_t j = 0; j < size; ++j) {
        const auto here = static_cast<Index>(j);
        mark_[j] = here;
        for (Index k = column_start[j]; k < column_start[j + 1]; ++k) {
            for (Index i = row[at(k)]; mark_[at(i)] != here; i = parent[at(i)]) {
                if (parent[at(i)] < 0) {
                    parent[at(i)] = here;
                }
                ++start_[at(i) + 1];
                mark_[at(i)] = here;
            }
        }
    }
    std::partial_sum(start_.begin(), start_.end(), start_.begin());
}

void PlannedFactor::find_rows(const std::vector<Index>& column_start, const std::vector<Index>& row,
                              const std::vector<Index>& parent) {
    const std::size_t size = parent.size();
    row_.resize(at(start_.back()));
    column_.resize(row_.size());
    for (std::size_t column = 0; column < size; ++column) {
        std::fill(column_.begin() + start_[column], column_.begin() + start_[column + 1],
                  static_cast<Index>(column));
    }
    place_.resize(row.size());
    std::fill(mark_.begin(), mark_.end(), -1);
    std::vector<Index> next(start_.begin(), start_.end() - 1);
    for (std::size_t j = 0; j < size; ++j) {
        const auto here = static_cast<Index>(j);
        mark_[j] = here;
        for (Index k = column_start[j]; k < column_start[j + 1]; ++k) {
            for (Index i = row[at(k)]; mark_[at(i)] != here; i = parent[at(i)]) {
                row_[at(next[at(i)]++)] = here;
                mark_[at(i)] = here;
            }
        }
        for (Index k = column_start[j]; k < column_start[j + 1]; ++k) {
            place_[at(k)] = next[at(row[at(k)])] - 1; // row j is the last of each so far
        }
    }
}

void PlannedFactor::plan_updates() {
    for (std::size_t column = 0; column + 1 < start_.size(); ++column) {
        const auto first = row_.begin() + start_[column];
        const auto last = row_.begin() + start_[column + 1];
        for (auto a = first; a != last; ++a) {
            auto found = row_.begin() + start_[at(*a)];
            const auto end = row_.begin() + start_[at(*a) + 1];
            for (auto b = a + 1; b != last; ++b) {
                found = std::lower_bound(found, end, *b);
                update_.push_back(static_cast<Index>(found - row_.begin()));
            }
        }
    }
}

void PlannedFactor::clear() {
    std::fill(to_reference_.begin(), to_reference_.end(), 0.0);
    std::fill(lower_.begin(), lower_.end(), 0.0);
}

bool PlannedFactor::factorise() {
    const Index* update = update_.data();
    double* lower = lower_.data();
    for (std::size_t column = 0; column < inverse_.size(); ++column) {
        const Index end = start_[column + 1];
        const double held = to_reference_[column];
        double pivot = held;
        for (Index a = start_[column]; a < end; ++a) {
            pivot -= lower[a];
        }
        const double inverse = 1.0 / pivot;
        if (!std::isfinite(inverse)) {
            return false;
        }
        inverse_[column] = inverse;
        for (Index a = start_[column]; a < end; ++a) {
            const double factor = lower[a] * inverse;
            to_reference_[at(row_[at(a)])] -= factor * held;
            for (Index b = a + 1; b < end; ++b) {
                lower[*update++] -= factor * lower[b];
            }
            lower[a] = factor;
        }
    }
    return true;
}

bool PlannedFactor::is_definite() const {
    return std::all_of(inverse_.begin(), inverse_.end(), [](double x) { return x > 0.0; });
}

void PlannedFactor::solve(std::span<double> x) const {
    // One run through the entries: columns are so short that a loop for each would cost more than
    // what it does.
    const std::size_t entries = row_.size();
    for (std::size_t k = 0; k < entries; ++k) {
        x[at(row_[k])] -= lower_[k] * x[at(column_[k])];
    }
    go_down(x);
}

void PlannedFactor::solve_between(Index from, Index to, std::span<double> x) const {
    const auto size = static_cast<Index>(inverse_.size());
    const auto set = [&](Index row, double value) {
        if (row < size) {
            x[at(row)] += value;
        }
        return row < size ? row : -1;
    };
    const Index first = set(from, 1.0);
    go_up(first, set(to, -1.0), x);
    go_down(x);
}

/// L x' = x, for an x that is zero but in two rows (-1: none): along their two ways up the tree.
void PlannedFactor::go_up(Index from, Index to, std::span<double> x) const {
    while (from >= 0 || to >= 0) {
        const Index row = from < 0 ? to : to < 0 ? from : std::min(from, to);
        const double here = x[at(row)];
        for (Index k = start_[at(row)]; k < start_[at(row) + 1]; ++k) {
            x[at(row_[at(k)])] -= lower_[at(k)] * here;
        }
        from = from == row ? parent(from) : from;
        to = to == row ? parent(to) : to;
    }
}

/// D L^T x' = x.
void PlannedFactor::go_down(std::span<double> x) const {
    std::size_t k = row_.size();
    for (std::size_t column = inverse_.size(); column-- > 0;) {
        double here = x[column] * inverse_[column];
        for (const auto first = at(start_[column]); k > first;) {
            --k;
            here -= lower_[k] * x[at(row_[k])];
        }
        x[column] = here;
    }
}

void PlannedFactor::find_half(Index row, HalfColumn& out) {
    out.clear();
    half_[at(row)] = 1.0;
    go_up(row, -1, half_);
    for (; row >= 0; row = parent(row)) {
        out.emplace_back(row, std::exchange(half_[at(row)], 0.0));
    }
}

double PlannedFactor::product(const HalfColumn& a, const HalfColumn& b) const {
    double sum = 0.0;
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
        const auto [row, value] = a[i];
        const auto [other_row, other_value] = b[j];
        sum += row == other_row ? value * inverse_[at(row)] * other_value : 0.0;
        i += row <= other_row ? 1 : 0;
        j += other_row <= row ? 1 : 0;
    }
    return sum;
}

InverseEntries PlannedFactor::inverse_entries(Index a, Index b) {
    find_half(a, half_a_);
    find_half(b, half_b_);
    return {product(half_a_, half_a_), product(half_a_, half_b_), product(half_b_, half_b_)};
}

} // namespace loomwright::solve
