// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <memory>
#include <span>
#include <vector>

namespace loomwright::solve {

/// An elimination order of little fill for a symmetric matrix (approximate minimum degree); entry k
/// is the old number of the k-th to be eliminated. The matrix is given by the columns of one
/// triangle.
[[nodiscard]] std::vector<Index> fill_reducing_order(const std::vector<Index>& column_start,
                                                     const std::vector<Index>& row);

/// Sparse L D L^T of a symmetric matrix in the order given, analysed once a pattern.
class Factor {
public:
    Factor();
    ~Factor();
    Factor(Factor&&) noexcept;
    Factor& operator=(Factor&&) noexcept;
    Factor(const Factor&) = delete;
    Factor& operator=(const Factor&) = delete;

    /// Takes the upper triangle's pattern, rows ascending in each column.
    void analyse(const std::vector<Index>& column_start, const std::vector<Index>& row);
    /// The values of the upper triangle, to be written before `factorise`.
    [[nodiscard]] std::span<double> values();
    /// False when a pivot is zero or not a number.
    [[nodiscard]] bool factorise();
    /// Solves for one right-hand side with the factor made last.
    void solve(std::span<const double> right, std::span<double> solution) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace loomwright::solve
