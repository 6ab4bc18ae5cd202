// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

namespace loomwright::solve::testing {

/// Voltage between two nodes with all the digits the answer has.
inline double between(const OperatingPoint& point, Index a, Index b) {
    const auto i = static_cast<std::size_t>(a);
    const auto k = static_cast<std::size_t>(b);
    return static_cast<double>(
        (static_cast<long double>(point.volts[i]) - static_cast<long double>(point.volts[k])) +
        (static_cast<long double>(point.volts_low[i]) -
         static_cast<long double>(point.volts_low[k])));
}

inline double volts_at(const OperatingPoint& point, Index node) {
    return point.volts[static_cast<std::size_t>(node)];
}

inline double amps_of(const OperatingPoint& point, std::size_t branch) {
    return point.amps[branch];
}

/// Checks the proof that an answer carries, and does the sums once more by itself.
inline void check_balance(const Circuit& circuit, const OperatingPoint& point) {
    constexpr double promised = 1e-9;
    constexpr double nothing_a = 1e-12; // where no source delivers, a share of it says nothing
    CHECK(point.imbalance_a <= promised * point.source_current_a + nothing_a);
    CHECK(point.power_error <= promised);
    std::vector<long double> leaving(static_cast<std::size_t>(circuit.node_count), 0.0L);
    bool all_numbers = true;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        leaving[static_cast<std::size_t>(circuit.from[k])] += point.amps[k];
        leaving[static_cast<std::size_t>(circuit.to[k])] -= point.amps[k];
        all_numbers = all_numbers && std::isfinite(point.amps[k]);
    }
    long double worst = 0.0L;
    for (std::size_t node = 0; node < leaving.size(); ++node) {
        worst = std::max(worst, std::abs(leaving[node]));
        all_numbers = all_numbers && std::isfinite(point.volts[node]);
    }
    CHECK(all_numbers);
    CHECK(static_cast<double>(worst) <= promised * point.source_current_a + nothing_a);
}

/// Each current is that of its law at the voltage of its ends, within rounding of the law.
inline void check_laws(const Circuit& circuit, const OperatingPoint& point) {
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (point.floating[static_cast<std::size_t>(circuit.from[k])] != 0) {
            CHECK(point.amps[k] == 0.0);
            continue;
        }
        const double volts = between(point, circuit.from[k], circuit.to[k]);
        const BranchCurrent law =
            branch_current(circuit.law[k], circuit.a[k], circuit.b[k], circuit.c[k], volts);
        // The emf less the terminal voltage loses digits here that the solver keeps.
        const double lost = std::abs(law.siemens) * 4e-15 * std::max(1.0, std::abs(volts));
        CHECK(std::abs(law.amps - point.amps[k]) <= 1e-12 * std::abs(law.amps) + lost + 1e-15);
    }
}

/// Solves, and checks everything that is true of any answer.
inline OperatingPoint solved(const Circuit& circuit) {
    Solver solver;
    OperatingPoint point = solver.solve(circuit);
    REQUIRE(point.status == Status::solved);
    check_balance(circuit, point);
    check_laws(circuit, point);
    return point;
}

/// A source so stiff that it is ideal to 15 digits for currents of some amperes.
constexpr double stiff = 1e12;

} // namespace loomwright::solve::testing
