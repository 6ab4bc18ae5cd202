// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace loomwright::solve {

/// Of the inverse of a symmetric matrix, for two rows a and b.
struct InverseEntries {
    double aa = 0.0;
    double ab = 0.0;
    double bb = 0.0;
};

/// Sparse L D L^T with every place and every update found beforehand. For matrices with next to no
/// fill, which those of a car are: the factorisation is then one run through a list, several times
/// faster than a method that looks its places up. Where fill is heavy the list would be too long:
/// see `Factor`.
class PlannedFactor {
public:
    /// Takes the strict upper triangle by columns, rows ascending. False, and nothing done, when
    /// the updates are so many that another method is better.
    [[nodiscard]] bool analyse(const std::vector<Index>& column_start,
                               const std::vector<Index>& row);
    /// Place in `off_diagonal` of an entry of the triangle.
    [[nodiscard]] Index place(std::size_t entry) const { return place_[entry]; }
    /// Sets the matrix to zero, to be written through the two spans.
    void clear();
    /// What each row sums to, the diagonal among it: the conductance to the reference.
    [[nodiscard]] std::span<double> to_reference() { return to_reference_; }
    [[nodiscard]] std::span<double> off_diagonal() { return lower_; }
    /// Works in place. False when a pivot is zero or not a number.
    [[nodiscard]] bool factorise();
    /// Of the factor made last: no pivot is negative, so that the matrix is positive definite.
    [[nodiscard]] bool is_definite() const;
    /// Solves in place.
    void solve(std::span<double> x) const;
    /// Solves for +1 in row `from` and -1 in row `to`; a row of the matrix's size or more is left
    /// out. `x` is zero and becomes the answer.
    void solve_between(Index from, Index to, std::span<double> x) const;
    /// Entries (a, a), (a, b) and (b, b) of the inverse of the matrix, without its columns.
    [[nodiscard]] InverseEntries inverse_entries(Index a, Index b);

private:
    /// The entries of y in L y = e that are not zero, e being 1 in one row alone: rows rising.
    using HalfColumn = std::vector<std::pair<Index, double>>;
    void find_half(Index row, HalfColumn& out);
    [[nodiscard]] double product(const HalfColumn& a, const HalfColumn& b) const;

    void find_parents(const std::vector<Index>& column_start, const std::vector<Index>& row,
                      std::vector<Index>& parent);
    void find_rows(const std::vector<Index>& column_start, const std::vector<Index>& row,
                   const std::vector<Index>& parent);
    void plan_updates();
    void go_up(Index from, Index to, std::span<double> x) const;
    void go_down(std::span<double> x) const;
    /// The next row on the way up the elimination tree; -1 at its end.
    [[nodiscard]] Index parent(Index row) const {
        const Index first = start_[static_cast<std::size_t>(row)];
        return first < start_[static_cast<std::size_t>(row) + 1]
                   ? row_[static_cast<std::size_t>(first)]
                   : -1;
    }

    std::vector<Index> start_;  ///< columns of L
    std::vector<Index> row_;    ///< rows of L below the diagonal, ascending in each column
    std::vector<Index> column_; ///< column of each of them
    std::vector<Index>
        update_; ///< places in L changed by each pair of entries of a column, in turn
    std::vector<Index> place_;
    std::vector<double> to_reference_; ///< of the matrix; used up by `factorise`
    std::vector<double> inverse_;      ///< of D
    std::vector<double> lower_;        ///< of the matrix; after `factorise` L
    std::vector<Index> mark_;          ///< scratch
    std::vector<double> half_;         ///< scratch: zero but inside `find_half`
    HalfColumn half_a_;                ///< scratch
    HalfColumn half_b_;                ///< scratch
};

} // namespace loomwright::solve
