// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The linear programme of cutting stock (Gilmore and Gomory 1961):
//   min sum_p x_p   with   sum_p a_ip x_p >= n_i,  x_p >= 0
// over patterns a_p with sum_i a_ip l_i <= S and a_ip <= n_i. Patterns are found as they are
// needed: with the prices y_i of the pieces, the best new one solves the knapsack
//   max sum_i y_i a_i   with   sum_i a_i l_i <= S,  a_i <= n_i
// exactly, by dynamic programming over whole steps. Its value v bounds the programme from below at
// every round by z / v (Farley 1990), so that a search cut short still proves something. Whole
// numbers of the patterns found are then chosen by branch and bound (CBC). Work is bounded by
// counts, never by a clock: the same input gives the same plan.
#include "sheets/cutting_patterns.hpp"

#include <CbcModel.hpp>
#include <OsiClpSolverInterface.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace loomwright {
namespace {

constexpr int most_rounds = 500;
constexpr int most_nodes = 5000;
constexpr double tolerance = 1e-7;
/// Beyond this many entries the knapsack's table is not built: the simple plan stands.
constexpr std::size_t most_entries = 200'000'000;

/// A bundle of 1, 2, 4 ... pieces of a size, so that a bounded knapsack is one of yes and no.
struct Lot {
    std::size_t size = 0;
    int pieces = 0;
};

std::vector<Lot> lots_of(std::span<const CutSize> sizes, int spool) {
    std::vector<Lot> out;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        int left = std::min(sizes[i].count, spool / sizes[i].length);
        for (int pieces = 1; left > 0; pieces *= 2) {
            const int here = std::min(pieces, left);
            out.push_back({i, here});
            left -= here;
        }
    }
    return out;
}

/// The most valuable way to fill a spool.
class Knapsack {
public:
    Knapsack(std::span<const CutSize> sizes, int spool)
        : sizes_(sizes), spool_(spool), lots_(lots_of(sizes, spool)),
          best_(static_cast<std::size_t>(spool) + 1) {}

    [[nodiscard]] bool is_too_large() const { return lots_.size() * best_.size() > most_entries; }

    double fill(std::span<const double> prices, std::vector<int>& pieces) {
        std::ranges::fill(best_, 0.0);
        taken_.assign(lots_.size(), std::vector<bool>(best_.size(), false));
        for (std::size_t k = 0; k < lots_.size(); ++k) {
            const auto [length, value] = of(lots_[k], prices);
            for (std::size_t room = best_.size(); value > 0.0 && room-- > length;) {
                const double with = best_[room - length] + value;
                if (with > best_[room] + 1e-12) {
                    best_[room] = with;
                    taken_[k][room] = true;
                }
            }
        }
        pieces.assign(sizes_.size(), 0);
        auto room = static_cast<std::size_t>(spool_);
        for (std::size_t k = lots_.size(); k-- > 0;) {
            if (taken_[k][room]) {
                pieces[lots_[k].size] += lots_[k].pieces;
                room -= of(lots_[k], prices).length;
            }
        }
        return best_.back();
    }

private:
    struct Weighed {
        std::size_t length = 0;
        double value = 0.0;
    };
    [[nodiscard]] Weighed of(const Lot& lot, std::span<const double> prices) const {
        return {static_cast<std::size_t>(sizes_[lot.size].length) *
                    static_cast<std::size_t>(lot.pieces),
                prices[lot.size] * lot.pieces};
    }

    std::span<const CutSize> sizes_;
    int spool_;
    std::vector<Lot> lots_;
    std::vector<double> best_;
    std::vector<std::vector<bool>> taken_;
};

/// The programme with the patterns found so far.
class Master {
public:
    explicit Master(std::span<const CutSize> sizes) : rows_(static_cast<int>(sizes.size())) {
        solver_.messageHandler()->setLogLevel(0);
        solver_.getModelPtr()->setLogLevel(0);
        for (const CutSize& size : sizes) {
            solver_.addRow(0, nullptr, nullptr, static_cast<double>(size.count),
                           solver_.getInfinity());
        }
    }

    void add(const std::vector<int>& pieces) {
        std::vector<int> rows;
        std::vector<double> counts;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            if (pieces[i] > 0) {
                rows.push_back(static_cast<int>(i));
                counts.push_back(pieces[i]);
            }
        }
        solver_.addCol(static_cast<int>(rows.size()), rows.data(), counts.data(), 0.0,
                       solver_.getInfinity(), 1.0);
        patterns_.push_back(pieces);
    }

    /// False when the solver fails: then nothing is known.
    bool solve() {
        if (is_solved_) {
            solver_.resolve();
        } else {
            solver_.initialSolve();
        }
        is_solved_ = true;
        return solver_.isProvenOptimal();
    }
    [[nodiscard]] double value() const { return solver_.getObjValue(); }
    [[nodiscard]] std::span<const double> prices() const {
        return {solver_.getRowPrice(), static_cast<std::size_t>(rows_)};
    }

    /// Whole numbers of the patterns with fewer than `known` spools; empty: none was found.
    std::vector<SpoolPattern> whole(int known) {
        for (int i = 0; i < solver_.getNumCols(); ++i) {
            solver_.setInteger(i);
        }
        CbcModel model(solver_);
        model.setLogLevel(0);
        model.messageHandler()->setLogLevel(0);
        model.solver()->messageHandler()->setLogLevel(0);
        model.setMaximumNodes(most_nodes);
        model.setCutoff(known - 0.5);
        model.branchAndBound();
        std::vector<SpoolPattern> out;
        if (model.bestSolution() == nullptr) {
            return out;
        }
        const std::span<const double> chosen(model.bestSolution(), patterns_.size());
        for (std::size_t i = 0; i < chosen.size(); ++i) {
            const int spools = static_cast<int>(std::lround(chosen[i]));
            if (spools > 0) {
                out.push_back({spools, patterns_[i]});
            }
        }
        return out;
    }

private:
    int rows_;
    bool is_solved_ = false;
    OsiClpSolverInterface solver_;
    std::vector<std::vector<int>> patterns_;
};

/// Takes out the pieces beyond what is wanted, from the last patterns first.
std::vector<SpoolPattern> without_surplus(std::span<const CutSize> sizes,
                                          const std::vector<SpoolPattern>& patterns) {
    std::vector<int> surplus(sizes.size(), 0);
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        surplus[i] = -sizes[i].count;
    }
    std::vector<SpoolPattern> singles;
    for (const SpoolPattern& pattern : patterns) {
        for (int k = 0; k < pattern.spools; ++k) {
            singles.push_back({1, pattern.pieces});
        }
        for (std::size_t i = 0; i < sizes.size(); ++i) {
            surplus[i] += pattern.pieces[i] * pattern.spools;
        }
    }
    std::vector<SpoolPattern> out;
    for (std::size_t k = singles.size(); k-- > 0;) {
        for (std::size_t i = 0; i < sizes.size(); ++i) {
            const int off = std::clamp(surplus[i], 0, singles[k].pieces[i]);
            singles[k].pieces[i] -= off;
            surplus[i] -= off;
        }
    }
    for (SpoolPattern& one : singles) {
        if (!out.empty() && out.back().pieces == one.pieces) {
            ++out.back().spools;
        } else if (std::ranges::any_of(one.pieces, [](int count) { return count > 0; })) {
            out.push_back(std::move(one));
        }
    }
    return out;
}

} // namespace

PatternSearch search_patterns(std::span<const CutSize> sizes, int spool,
                              const std::vector<SpoolPattern>& known) {
    PatternSearch out;
    Knapsack knapsack(sizes, spool);
    if (knapsack.is_too_large()) {
        return out;
    }
    Master master(sizes);
    int known_spools = 0;
    for (const SpoolPattern& pattern : known) {
        master.add(pattern.pieces);
        known_spools += pattern.spools;
    }
    double bound = 0.0;
    std::vector<int> pieces;
    for (int round = 0; round < most_rounds && master.solve(); ++round) {
        const double value = knapsack.fill(master.prices(), pieces);
        bound = std::max(bound, master.value() / std::max(1.0, value));
        if (value <= 1.0 + tolerance) {
            break;
        }
        master.add(pieces);
    }
    out.at_least = static_cast<int>(std::ceil(bound - 1e-6));
    if (out.at_least < known_spools) {
        out.patterns = without_surplus(sizes, master.whole(known_spools));
    }
    return out;
}

} // namespace loomwright
