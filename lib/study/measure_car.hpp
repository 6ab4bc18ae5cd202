// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure.hpp"
#include "study/settled_state.hpp"

#include <memory>
#include <span>
#include <vector>

namespace loomwright {

/// One reading as the network sees it.
struct ProbePair {
    std::size_t state = 0; ///< into MeasuredCar::states
    int node = -1;
    int against = -1;
    double volts = 0.0;   ///< shown
    double meter_v = 0.0; ///< standard deviation
};

/// A suspect with a value.
struct Change {
    Suspect what;
    double value = 0.0;
};

/// A state of the car, with some things otherwise than planned, at its operating point.
struct ChangedState {
    bool is_solved = false;
    solve::Circuit circuit;
    std::vector<int> place; ///< by branch of the network: its branch of the circuit; -1: open
    solve::OperatingPoint point;
    std::vector<std::uint8_t> stand; ///< by trigger

    /// Between two nodes.
    [[nodiscard]] double volts(int node, int against) const {
        return StateCircuit::volts_across({.from = node, .to = against}, point);
    }
    [[nodiscard]] bool floats(int node) const {
        return point.floating[static_cast<std::size_t>(node)] != 0;
    }
};

/// The car in the states that were read, wires as warm as in the prediction.
class MeasuredCar {
public:
    MeasuredCar(const StudyInput& input, const Design& design,
                std::span<const MeterReading> readings);
    ~MeasuredCar();
    MeasuredCar(const MeasuredCar&) = delete;
    MeasuredCar& operator=(const MeasuredCar&) = delete;
    MeasuredCar(MeasuredCar&&) = delete;
    MeasuredCar& operator=(MeasuredCar&&) = delete;

    [[nodiscard]] std::size_t state_count() const { return states_.size(); }
    [[nodiscard]] const SettledState& settled(std::size_t state) const { return *states_[state]; }
    [[nodiscard]] const StudyPlan& plan() const { return plan_; }
    [[nodiscard]] const std::vector<ProbePair>& probes() const { return probes_; }
    [[nodiscard]] int black_lead() const { return black_lead_; }

    /// A state with changes: relays and loads as they would stand from rest with them.
    [[nodiscard]] ChangedState solve(std::size_t state, std::span<const Change> changes) const;

private:
    struct Solvers;
    void place_probes(std::span<const MeterReading> readings);
    [[nodiscard]] int node_of(const ProbePlace& place) const;
    [[nodiscard]] bool apply(std::size_t state, const Change& change, StateCircuit& circuit) const;
    [[nodiscard]] bool stands(std::size_t state, const StateCircuit& circuit,
                              const solve::OperatingPoint& point) const;

    StudyPlan plan_;
    std::vector<std::unique_ptr<SettledState>> states_;
    std::vector<std::vector<std::uint8_t>> rest_; ///< by state: how its triggers begin
    std::vector<ProbePair> probes_;
    int black_lead_ = -1;
    std::unique_ptr<Solvers> solvers_;
};

} // namespace loomwright
