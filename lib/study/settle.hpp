// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/pattern_shelf.hpp"
#include "study/shelves.hpp"
#include "study/state_circuit.hpp"
#include "study/wire_heat.hpp"

#include <algorithm>
#include <string>
#include <vector>

namespace loomwright {

/// How the settling of one state ended.
struct Settled {
    bool is_solved = false;
    std::string failure;
    int failure_node = -1;
    std::vector<std::vector<DeviceId>> chattering; ///< loops, as in StateSolution
    std::vector<WireId> runaways;
    solve::OperatingPoint point;
    int iterations = 0;
};

/// Solvers for the patterns that one state goes through on its way to rest. Kept from call to call,
/// each finds its pattern again and needs no new order of elimination.
class SolverChain {
public:
    /// A large circuit makes do with one solver: its factors are large too.
    explicit SolverChain(const StudyInput& input)
        : most_(input.network.node_count() > 20'000 ? 1 : 8),
          patterns_(shelf_of<solve::PatternShelf>(input)) {}

    /// Back to the first pattern.
    void rewind() { at_ = 0; }
    /// On to the next pattern.
    void advance() { at_ = std::min(at_ + 1, most_ - 1); }
    [[nodiscard]] solve::Solver& current() {
        while (at_ >= solvers_.size()) {
            solvers_.emplace_back(patterns_);
        }
        return solvers_[at_];
    }

private:
    std::size_t most_;
    solve::PatternShelf* patterns_;
    std::size_t at_ = 0;
    std::vector<solve::Solver> solvers_;
};

/// Settles triggers, voltages and wire temperatures of one state together.
class Settler {
public:
    Settler(const StudyPlan& plan, StateCircuit& circuit, WireHeat& heat, SolverChain& solvers)
        : plan_(plan), circuit_(circuit), heat_(heat), solvers_(solvers) {}

    /// From the circuit and the temperatures as they stand; `start` are voltages near the answer,
    /// or empty.
    [[nodiscard]] Settled settle(std::vector<double> start);
    /// The same for a moment too short to warm anything.
    [[nodiscard]] Settled settle_cold(std::vector<double> start);

private:
    [[nodiscard]] bool solve_once(Settled& out);
    [[nodiscard]] bool is_let_go(const solve::OperatingPoint& point) const;
    [[nodiscard]] std::vector<std::size_t> unsettled(const solve::OperatingPoint& point) const;
    [[nodiscard]] bool settle_triggers(Settled& out);
    [[nodiscard]] bool flip_together(Settled& out);
    [[nodiscard]] bool flip_in_turn(Settled& out);
    [[nodiscard]] bool update_heat(Settled& out);
    void settle_heat(Settled& out);
    [[nodiscard]] std::size_t in_turn_rounds() const;
    void report_collapse(Settled& out) const;
    void report_chattering(const std::vector<std::vector<std::size_t>>& loops, Settled& out) const;

    const StudyPlan& plan_;
    StateCircuit& circuit_;
    WireHeat& heat_;
    SolverChain& solvers_;
};

} // namespace loomwright
