// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/state_circuit.hpp"

#include <vector>

namespace loomwright {

/// Conductor temperatures of all wires in one state, each alone in the still air of its place.
class WireHeat {
public:
    WireHeat(const StudyPlan& plan, const StateCircuit& circuit);

    /// Writes the wires' resistances for the plan's design. `from_rest`: all conductors at the
    /// temperature of their air; else as they were before the design changed.
    void begin(bool from_rest, StateCircuit& circuit);

    /// Takes the temperatures to these currents and writes the wires' resistances. False when no
    /// conductor moved by more than the tolerance: then nothing is written.
    [[nodiscard]] bool update(const std::vector<double>& branch_amps, StateCircuit& circuit);

    [[nodiscard]] const std::vector<double>& conductor_c() const { return conductor_c_; }
    [[nodiscard]] const std::vector<double>& air_c() const { return air_c_; }
    /// Wires whose heat cannot leave, taken at `hottest_c`.
    [[nodiscard]] std::vector<WireId> runaways() const;
    /// The wire that moved most in the last update.
    [[nodiscard]] WireId most_moved() const { return most_moved_; }

    static constexpr double hottest_c = 1000.0;
    static constexpr double tolerance_k = 0.01;

private:
    void balance(std::size_t wire, double amps);

    const StudyPlan& plan_;
    std::vector<double> air_c_;
    std::vector<double> conductor_c_;
    std::vector<double> balance_amps_; ///< current of the last heat balance; -1: none yet
    std::vector<double> balance_c_;    ///< and what it gave
    WireId most_moved_;
    int rounds_ = 0;
};

} // namespace loomwright
