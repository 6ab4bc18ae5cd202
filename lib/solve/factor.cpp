// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/factor.hpp"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <algorithm>
#include <utility>

namespace loomwright::solve {

namespace {

using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, Index>;
using Vector = Eigen::VectorXd;

} // namespace

/// For matrices with much fill.
struct Factor::General {
    Matrix upper; ///< with the diagonal, last in each column
    std::vector<Index> place;
    std::vector<double> to_reference;
    // Columns come in elimination order already, so that values go in without a permuted copy.
    Eigen::SimplicialLDLT<Matrix, Eigen::Upper, Eigen::NaturalOrdering<Index>> ldlt;

    General(const std::vector<Index>& column_start, const std::vector<Index>& row)
        : place(row.size()), to_reference(column_start.size() - 1) {
        const std::size_t size = to_reference.size();
        upper.resize(static_cast<Eigen::Index>(size), static_cast<Eigen::Index>(size));
        upper.resizeNonZeros(static_cast<Eigen::Index>(row.size() + size));
        Index next = 0;
        for (std::size_t column = 0; column < size; ++column) {
            upper.outerIndexPtr()[column] = next;
            for (Index k = column_start[column]; k < column_start[column + 1]; ++k) {
                place[static_cast<std::size_t>(k)] = next;
                upper.innerIndexPtr()[next++] = row[static_cast<std::size_t>(k)];
            }
            upper.innerIndexPtr()[next++] = static_cast<Index>(column);
        }
        upper.outerIndexPtr()[size] = next;
        std::fill_n(upper.valuePtr(), next, 0.0);
        ldlt.analyzePattern(upper);
    }

    /// Each entry of the diagonal is what its row sums to less the others of the row.
    void write_diagonal() {
        double* const value = upper.valuePtr();
        const auto diagonal = [&](std::size_t column) -> double& {
            return value[upper.outerIndexPtr()[column + 1] - 1];
        };
        for (std::size_t column = 0; column < to_reference.size(); ++column) {
            diagonal(column) = to_reference[column];
        }
        for (std::size_t column = 0; column < to_reference.size(); ++column) {
            for (Index k = upper.outerIndexPtr()[column]; k < upper.outerIndexPtr()[column + 1] - 1;
                 ++k) {
                diagonal(column) -= value[k];
                diagonal(static_cast<std::size_t>(upper.innerIndexPtr()[k])) -= value[k];
            }
        }
    }
};

Factor::Factor() = default;
Factor::~Factor() = default;
Factor::Factor(Factor&&) noexcept = default;
Factor& Factor::operator=(Factor&&) noexcept = default;

void Factor::analyse(const std::vector<Index>& column_start, const std::vector<Index>& row) {
    general_.reset();
    if (!planned_.analyse(column_start, row)) {
        general_ = std::make_unique<General>(column_start, row);
    }
}

void Factor::analyse_as(const Factor& alike, const std::vector<Index>& column_start,
                        const std::vector<Index>& row) {
    if (alike.general_) {
        general_ = std::make_unique<General>(column_start, row); // cannot be copied
        return;
    }
    general_.reset();
    planned_ = alike.planned_;
}

Index Factor::place(std::size_t entry) const {
    return general_ ? general_->place[entry] : planned_.place(entry);
}

void Factor::clear() {
    if (!general_) {
        planned_.clear();
        return;
    }
    std::fill(general_->to_reference.begin(), general_->to_reference.end(), 0.0);
    const std::span<double> values = off_diagonal();
    std::fill(values.begin(), values.end(), 0.0);
}

std::span<double> Factor::to_reference() {
    return general_ ? std::span<double>(general_->to_reference) : planned_.to_reference();
}

std::span<double> Factor::off_diagonal() {
    if (!general_) {
        return planned_.off_diagonal();
    }
    Matrix& upper = general_->upper;
    return {upper.valuePtr(), static_cast<std::size_t>(upper.nonZeros())};
}

bool Factor::factorise() {
    if (!general_) {
        return planned_.factorise();
    }
    general_->write_diagonal();
    general_->ldlt.factorize(general_->upper);
    return general_->ldlt.info() == Eigen::Success;
}

bool Factor::is_definite() const {
    return general_ ? general_->ldlt.vectorD().minCoeff() > 0.0 : planned_.is_definite();
}

void Factor::solve(std::span<double> x) const {
    if (!general_) {
        planned_.solve(x);
        return;
    }
    Eigen::Map<Vector> in_place(x.data(), static_cast<Eigen::Index>(x.size()));
    in_place = general_->ldlt.solve(in_place);
}

void Factor::solve_between(Index from, Index to, std::span<double> x) const {
    if (!general_) {
        planned_.solve_between(from, to, x);
        return;
    }
    for (const auto& [row, value] : {std::pair(from, 1.0), std::pair(to, -1.0)}) {
        if (static_cast<std::size_t>(row) < x.size()) {
            x[static_cast<std::size_t>(row)] += value;
        }
    }
    solve(x);
}

InverseEntries Factor::inverse_entries(Index a, Index b) {
    if (!general_) {
        return planned_.inverse_entries(a, b);
    }
    Vector column = Vector::Unit(general_->upper.rows(), a);
    column = general_->ldlt.solve(column);
    InverseEntries out{column[a], column[b], column[a]};
    if (a != b) {
        column = Vector::Unit(general_->upper.rows(), b);
        out.bb = general_->ldlt.solve(column)[b];
    }
    return out;
}

} // namespace loomwright::solve
