// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/factor.hpp"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <suitesparse/amd.h>

#include <algorithm>
#include <numeric>

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
    // One triangle will do; entries twice over and a missing diagonal are no matter to AMD.
    const std::size_t size = column_start.size() - 1;
    std::vector<Index> order(size);
    const int status = amd_order(static_cast<Index>(size), column_start.data(), row.data(),
                                 order.data(), nullptr, nullptr);
    if (status < AMD_OK) {
        std::iota(order.begin(), order.end(), 0); // no memory for it: any order is right, if slow
    }
    return order;
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
