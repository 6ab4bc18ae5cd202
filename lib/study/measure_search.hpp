// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_fit.hpp"

#include <map>
#include <utility>
#include <vector>

namespace loomwright {

/// Suspects that no reading tells apart, into Response::suspects, in the order of the file.
struct SuspectClass {
    std::vector<std::size_t> members; ///< the first stands for all
    bool is_reading = false;
    bool is_weak = false; ///< does next to nothing to the readings unless it turns a relay
};

/// Puts suspects of one kind together whose whole effect differs by less than a part of a standard
/// deviation and that turn the same relays (`turns` of FoundSuspects). `residual` is whitened: the
/// more it is, the finer they are told apart.
[[nodiscard]] std::vector<SuspectClass> classify(const Response& response,
                                                 std::span<const std::vector<int>> turns,
                                                 std::span<const double> residual,
                                                 double nominal_v);

/// The most promising sets of so many suspects: see measure_search.cpp.
class SetSearch {
public:
    /// All of it outlives this.
    SetSearch(const Response& response, const std::vector<SuspectClass>& classes,
              std::span<const double> residual, double nominal_v);

    /// Sets of `causes` classes and `readings` readings fitted in the response, the best first;
    /// equals in the order of the file.
    [[nodiscard]] std::vector<SetFit> best(std::size_t causes, std::size_t readings);
    /// Every set asked for so far was weighed.
    [[nodiscard]] bool is_exhausted() const { return is_exhausted_; }

private:
    using Set = std::vector<std::size_t>; ///< into classes, ascending
    struct Ranked {
        Set set;
        double chi_square = 0.0;
    };
    class Ranking;
    [[nodiscard]] const std::vector<Ranked>& ranked(std::size_t causes, std::size_t readings);
    [[nodiscard]] std::vector<Ranked> rank_all(std::size_t causes, std::size_t readings) const;
    [[nodiscard]] std::vector<Ranked> rank_grown(std::size_t causes, std::size_t readings);
    [[nodiscard]] double by_secants(const Set& set) const;

    const std::vector<SuspectClass>& classes_;
    SetFitter fitter_;
    std::vector<std::size_t> causes_;   ///< classes that are no readings
    std::vector<std::size_t> readings_; ///< and those that are
    std::vector<std::uint8_t> is_one_sided_;
    std::vector<double> products_; ///< of the secants with each other
    std::vector<double> along_;    ///< and with the residual
    double whole_ = 0.0;           ///< chi-square of nothing
    bool is_exhausted_ = true;
    std::map<std::pair<std::size_t, std::size_t>, std::vector<Ranked>> known_;
};

} // namespace loomwright
