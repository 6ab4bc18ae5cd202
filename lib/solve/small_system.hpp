// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <span>
#include <utility>
#include <vector>

namespace loomwright::solve {

/// A handful of linear equations, by Gauss with the largest pivot of each column. Kept from call to
/// call, it asks for no memory.
class SmallSystem {
public:
    /// So many equations, to be written through `at`.
    void resize(std::size_t equations) {
        size_ = equations;
        entry_.resize(equations * equations);
    }
    [[nodiscard]] double& at(std::size_t row, std::size_t column) {
        return entry_[row * size_ + column];
    }
    /// False when it is singular.
    [[nodiscard]] bool factorise() {
        order_.resize(size_);
        std::iota(order_.begin(), order_.end(), std::size_t{0});
        for (std::size_t k = 0; k < size_; ++k) {
            std::size_t best = k;
            for (std::size_t i = k + 1; i < size_; ++i) {
                if (std::abs(at(order_[i], k)) > std::abs(at(order_[best], k))) {
                    best = i;
                }
            }
            std::swap(order_[k], order_[best]);
            const double* const pivot = entry_.data() + order_[k] * size_;
            const double inverse = 1.0 / pivot[k];
            if (!std::isfinite(inverse)) {
                return false;
            }
            for (std::size_t i = k + 1; i < size_; ++i) {
                double* const row = entry_.data() + order_[i] * size_;
                const double share = row[k] * inverse;
                row[k] = share;
                for (std::size_t j = k + 1; j < size_; ++j) {
                    row[j] -= share * pivot[j];
                }
            }
        }
        return true;
    }
    /// In place, after `factorise`.
    void solve(std::span<double> right) {
        answer_.resize(size_);
        for (std::size_t k = 0; k < size_; ++k) {
            const double* const row = entry_.data() + order_[k] * size_;
            double value = right[order_[k]];
            for (std::size_t j = 0; j < k; ++j) {
                value -= row[j] * answer_[j];
            }
            answer_[k] = value;
        }
        for (std::size_t k = size_; k-- > 0;) {
            const double* const row = entry_.data() + order_[k] * size_;
            double value = answer_[k];
            for (std::size_t j = k + 1; j < size_; ++j) {
                value -= row[j] * answer_[j];
            }
            answer_[k] = value / row[k];
        }
        std::ranges::copy(answer_, right.begin());
    }

private:
    std::size_t size_ = 0;
    std::vector<double> entry_;      ///< by row
    std::vector<std::size_t> order_; ///< which row was taken for which pivot
    std::vector<double> answer_;
};

} // namespace loomwright::solve
