// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/rank_updates.hpp"

// The identity of Sherman, Morrison and Woodbury, in the form that needs no inverse of D, so that
// a branch may be unchanged and two branches may be one too many (a cut and what holds the part cut
// off):
//
//   (A + U D U^T)^-1 r = y - Z (I + D U^T Z)^-1 D U^T y,    y = A^-1 r,  Z = A^-1 U
//
//   A  matrix that is factorised                     U  columns u_i: +1 at `from`, -1 at `to`
//   D  diagonal: siemens that each branch changed    Z  what one ampere through each branch does
//
// W. W. Hager, "Updating the inverse of a matrix", SIAM Review 31 (1989) 221-239 (from memory).
// What is lost where the small system is all but singular is won back by the caller, who takes the
// answer for a step and looks at the balance again.

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

} // namespace

void RankUpdates::clear() {
    branches_.clear();
    columns_.clear();
}

Index RankUpdates::add(const Factor& factor, Index from, Index to) {
    branches_.push_back({.from = from, .to = to});
    columns_.resize(columns_.size() + size_, 0.0);
    factor.solve_between(from, to, std::span(columns_).last(size_).first(size_ - 1));
    return static_cast<Index>(branches_.size()) - 1;
}

Index RankUpdates::add(std::span<const double> known, Index from, Index to) {
    branches_.push_back({.from = from, .to = to});
    columns_.insert(columns_.end(), known.begin(), known.end());
    return static_cast<Index>(branches_.size()) - 1;
}

double RankUpdates::ohm(Index number) const {
    return across(column(at(number)), branches_[at(number)]);
}

void RankUpdates::add_column(Index number, double amps, std::span<double> x) const {
    const std::span<const double> z = column(at(number));
    for (std::size_t i = 0; i < size_; ++i) {
        x[i] += amps * z[i];
    }
}

bool RankUpdates::prepare() {
    const std::size_t n = branches_.size();
    system_.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j) {
            system_.at(i, j) = branches_[i].siemens * across(column(j), branches_[i]);
        }
        system_.at(i, i) += 1.0;
    }
    return system_.factorise();
}

void RankUpdates::correct(std::span<double> x) {
    const std::size_t n = branches_.size();
    share_.resize(n);
    for (std::size_t i = 0; i < n; ++i) {
        share_[i] = branches_[i].siemens * across(x, branches_[i]);
    }
    system_.solve(share_);
    for (std::size_t j = 0; j < n; ++j) {
        add_column(static_cast<Index>(j), -share_[j], x);
    }
}

} // namespace loomwright::solve
