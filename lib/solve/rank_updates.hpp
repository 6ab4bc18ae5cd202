// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/factor.hpp"
#include "solve/small_system.hpp"

#include <span>
#include <vector>

namespace loomwright::solve {

/// Solves with A + sum of d_i u_i u_i^T by the factors of A: see rank_updates.cpp. Each u_i is a
/// branch between two unknowns, each d_i what its conductance changed by.
class RankUpdates {
public:
    explicit RankUpdates(std::size_t unknowns) : size_(unknowns + 1) {}

    [[nodiscard]] std::size_t count() const { return branches_.size(); }
    void clear();
    /// A branch between two unknowns (one past the last: the reference), unchanged for now; answers
    /// its number. The factors stay the same until `clear`.
    [[nodiscard]] Index add(const Factor& factor, Index from, Index to);
    /// The same where what one ampere through the branch does is known: by unknown, 0 at the end.
    [[nodiscard]] Index add(std::span<const double> known, Index from, Index to);
    /// Siemens by which a branch changed.
    void set(Index number, double siemens) {
        branches_[static_cast<std::size_t>(number)].siemens = siemens;
    }
    /// After `add` and `set`; false when the matrix so changed is singular.
    [[nodiscard]] bool prepare();
    /// Turns A^-1 r into (A + ...)^-1 r, in place; the place of the reference stays 0.
    void correct(std::span<double> x);
    /// Adds amps u_i times A^-1 to x.
    void add_column(Index number, double amps, std::span<double> x) const;
    /// Between the ends of a branch, by A.
    [[nodiscard]] double ohm(Index number) const;
    [[nodiscard]] std::span<const double> column(Index number) const {
        return column(static_cast<std::size_t>(number));
    }

private:
    struct Branch {
        Index from = 0;
        Index to = 0;
        double siemens = 0.0;
    };
    [[nodiscard]] std::span<const double> column(std::size_t number) const {
        return std::span(columns_).subspan(number * size_, size_);
    }
    static double across(std::span<const double> x, const Branch& branch) {
        return x[static_cast<std::size_t>(branch.from)] - x[static_cast<std::size_t>(branch.to)];
    }

    std::size_t size_;
    std::vector<Branch> branches_;
    std::vector<double> columns_; ///< A^-1 u_i, one after another
    SmallSystem system_;          ///< I + D U^T A^-1 U
    std::vector<double> share_;
};

} // namespace loomwright::solve
