// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/planned_factor.hpp"

#include <memory>
#include <span>
#include <vector>

namespace loomwright::solve {

/// Sparse L D L^T of a symmetric matrix in the order given, analysed once a pattern: planned
/// beforehand where there is little fill, which keeps the digits of the weakest conductance (see
/// planned_factor.cpp); else by Eigen, which does not.
class Factor {
public:
    Factor();
    ~Factor();
    Factor(Factor&&) noexcept;
    Factor& operator=(Factor&&) noexcept;
    Factor(const Factor&) = delete;
    Factor& operator=(const Factor&) = delete;

    /// Takes the strict upper triangle by columns, rows ascending in each.
    void analyse(const std::vector<Index>& column_start, const std::vector<Index>& row);
    /// The same, where `alike` has analysed the same triangle already.
    void analyse_as(const Factor& alike, const std::vector<Index>& column_start,
                    const std::vector<Index>& row);
    /// Place in `off_diagonal` of an entry of the triangle.
    [[nodiscard]] Index place(std::size_t entry) const;
    /// Sets the matrix to zero, to be written through `to_reference` and `off_diagonal`.
    void clear();
    /// What each row sums to, the diagonal among it: the conductance to the reference.
    [[nodiscard]] std::span<double> to_reference();
    [[nodiscard]] std::span<double> off_diagonal();
    /// False when a pivot is zero or not a number. The matrix must be written anew before the next.
    [[nodiscard]] bool factorise();
    /// Of the factor made last: no pivot is negative, so that the matrix is positive definite.
    [[nodiscard]] bool is_definite() const;
    /// Solves in place with the factor made last.
    void solve(std::span<double> x) const;
    /// Solves for +1 in row `from` and -1 in row `to`; a row of the matrix's size or more is left
    /// out. `x` is zero and becomes the answer.
    void solve_between(Index from, Index to, std::span<double> x) const;
    /// Entries (a, a), (a, b) and (b, b) of the inverse, of the factor made last.
    [[nodiscard]] InverseEntries inverse_entries(Index a, Index b);

private:
    struct General;
    PlannedFactor planned_;
    std::unique_ptr<General> general_; ///< null: planned
};

} // namespace loomwright::solve
