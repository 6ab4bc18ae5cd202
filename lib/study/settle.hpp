// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/state_circuit.hpp"
#include "study/wire_heat.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// How the settling of one state ended.
struct Settled {
    bool is_solved = false;
    std::string failure;
    int failure_node = -1;
    std::vector<DeviceId> chattering;
    std::vector<WireId> runaways;
    solve::OperatingPoint point;
    int iterations = 0;
};

/// Settles triggers, voltages and wire temperatures of one state together.
class Settler {
public:
    Settler(const StudyPlan& plan, StateCircuit& circuit, WireHeat& heat, solve::Solver& solver)
        : plan_(plan), circuit_(circuit), heat_(heat), solver_(solver) {}

    /// From the circuit and the temperatures as they stand; `start` are voltages near the answer,
    /// or empty.
    [[nodiscard]] Settled settle(std::vector<double> start);

private:
    [[nodiscard]] bool solve_once(Settled& out);
    [[nodiscard]] bool is_let_go(const solve::OperatingPoint& point) const;
    [[nodiscard]] std::vector<std::size_t> unsettled(const solve::OperatingPoint& point) const;
    [[nodiscard]] bool settle_triggers(Settled& out);
    [[nodiscard]] bool flip_together(Settled& out);
    [[nodiscard]] bool flip_in_turn(Settled& out);
    void settle_heat(Settled& out);
    void report_collapse(Settled& out) const;
    void report_chattering(const std::vector<std::size_t>& flips, Settled& out) const;

    const StudyPlan& plan_;
    StateCircuit& circuit_;
    WireHeat& heat_;
    solve::Solver& solver_;
};

} // namespace loomwright
