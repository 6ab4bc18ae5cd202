// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/factor.hpp"

#include <Eigen/OrderingMethods>
#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>

#include <algorithm>

namespace loomwright::solve {

namespace {

using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, Index>;
using Vector = Eigen::VectorXd;

} // namespace

struct Factor::Impl {
    Matrix upper;
    // Columns come in elimination order already, so that values go in without a permuted copy.
    Eigen::SimplicialLDLT<Matrix, Eigen::Upper, Eigen::NaturalOrdering<Index>> ldlt;
};

std::vector<Index> fill_reducing_order(const std::vector<Index>& column_start,
                                       const std::vector<Index>& row) {
    const auto size = static_cast<Eigen::Index>(column_start.size()) - 1;
    const std::vector<double> ones(row.size(), 1.0);
    const Eigen::Map<const Matrix> triangle(size, size, static_cast<Eigen::Index>(row.size()),
                                            column_start.data(), row.data(), ones.data());
    Eigen::AMDOrdering<Index> ordering;
    Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, Index> permutation;
    ordering(triangle.selfadjointView<Eigen::Upper>(), permutation);
    const auto& indices = permutation.indices();
    return {indices.data(), indices.data() + indices.size()};
}

Factor::Factor() : impl_(std::make_unique<Impl>()) {}
Factor::~Factor() = default;
Factor::Factor(Factor&&) noexcept = default;
Factor& Factor::operator=(Factor&&) noexcept = default;

void Factor::analyse(const std::vector<Index>& column_start, const std::vector<Index>& row) {
    const auto size = static_cast<Eigen::Index>(column_start.size()) - 1;
    Matrix& upper = impl_->upper;
    upper.resize(size, size);
    upper.resizeNonZeros(static_cast<Eigen::Index>(row.size()));
    std::copy(column_start.begin(), column_start.end(), upper.outerIndexPtr());
    std::copy(row.begin(), row.end(), upper.innerIndexPtr());
    std::fill_n(upper.valuePtr(), row.size(), 0.0);
    impl_->ldlt.analyzePattern(upper);
}

std::span<double> Factor::values() {
    return {impl_->upper.valuePtr(), static_cast<std::size_t>(impl_->upper.nonZeros())};
}

bool Factor::factorise() {
    impl_->ldlt.factorize(impl_->upper);
    return impl_->ldlt.info() == Eigen::Success;
}

void Factor::solve(std::span<const double> right, std::span<double> solution) const {
    const auto size = static_cast<Eigen::Index>(right.size());
    Eigen::Map<Vector>(solution.data(), size) =
        impl_->ldlt.solve(Eigen::Map<const Vector>(right.data(), size));
}

} // namespace loomwright::solve
