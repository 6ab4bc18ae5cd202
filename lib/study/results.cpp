// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/results.hpp"

#include "study/device_reader.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// The solver's own floor: where no current flows at all, what it leaves behind is rounding.
constexpr double solver_floor_a = 1e-18;

double or_nothing(double amps) {
    return std::abs(amps) <= solver_floor_a ? 0.0 : amps;
}

/// The branches of a circuit solved whole.
class SolvedBranches final : public BranchReadings {
public:
    SolvedBranches(const StudyPlan& plan, const StateCircuit& circuit,
                   const solve::OperatingPoint& point, const std::vector<double>& amps)
        : plan_(plan), circuit_(circuit), point_(point), amps_(amps) {}

    [[nodiscard]] double amps(int branch) const override {
        return amps_[static_cast<std::size_t>(branch)];
    }
    [[nodiscard]] double volts(int branch) const override {
        return StateCircuit::volts_across(
            plan_.input.network.branches[static_cast<std::size_t>(branch)], point_);
    }
    [[nodiscard]] double volts_between(int from, int to) const override {
        return StateCircuit::volts_across({.from = from, .to = to}, point_);
    }
    [[nodiscard]] bool conducts(int branch) const override {
        return circuit_.conducts[static_cast<std::size_t>(branch)] != 0;
    }

private:
    const StudyPlan& plan_;
    const StateCircuit& circuit_;
    const solve::OperatingPoint& point_;
    const std::vector<double>& amps_;
};

void read_wires(const StudyPlan& plan, const StateCircuit& circuit, const WireHeat& heat,
                const solve::OperatingPoint& point, StateSolution& out) {
    out.wires.resize(plan.wires.size());
    for (std::size_t i = 0; i < out.wires.size(); ++i) {
        const int branch = plan.input.network.wire_branch[i];
        const auto at = static_cast<std::size_t>(branch);
        out.wires[i] = {.amps = out.branch_amps[at],
                        .drop_v =
                            StateCircuit::volts_across(plan.input.network.branches[at], point),
                        .ohm = 1.0 / resistor_element(circuit.wire_ohm[i]).a,
                        .conductor_c = heat.conductor_c()[i],
                        .air_c = heat.air_c()[i]};
    }
}

/// Arrays of the right length that say nothing.
void leave_blank(const StudyPlan& plan, const WireHeat& heat, StateSolution& out) {
    out.node_volts.assign(plan.input.network.node_names.size(), 0.0);
    out.floating.assign(out.node_volts.size(), 1);
    out.branch_amps.assign(plan.input.network.branches.size(), 0.0);
    out.devices.resize(plan.input.vehicle.devices.size());
    out.wires.resize(plan.wires.size());
    for (std::size_t i = 0; i < out.wires.size(); ++i) {
        out.wires[i].air_c = heat.air_c()[i];
        out.wires[i].conductor_c = heat.air_c()[i];
        out.wires[i].ohm = resistance_at(plan.wires[i].r20_ohm, Celsius(heat.air_c()[i]));
    }
}

} // namespace

StateSolution make_solution(const StudyPlan& plan, const StateCircuit& circuit,
                            const WireHeat& heat, Settled settled, StateId state) {
    StateSolution out;
    out.state = state;
    out.converged = settled.is_solved;
    out.failure = std::move(settled.failure);
    out.failure_node = settled.failure_node;
    out.chattering = std::move(settled.chattering);
    out.runaways = std::move(settled.runaways);
    out.iterations = settled.iterations;
    out.closed = circuit.conducts;
    out.circuit = circuit.circuit();
    out.circuit_branch = circuit.circuit_branch();
    if (!out.converged) {
        leave_blank(plan, heat, out);
        return out;
    }
    out.imbalance_a = or_nothing(settled.point.imbalance_a);
    out.source_current_a = or_nothing(settled.point.source_current_a);
    out.power_error = out.source_current_a > 0.0 ? settled.point.power_error : 0.0;
    out.branch_amps = circuit.branch_amps(settled.point);
    std::ranges::transform(out.branch_amps, out.branch_amps.begin(), or_nothing);
    read_wires(plan, circuit, heat, settled.point, out);
    read_devices(plan, circuit, SolvedBranches(plan, circuit, settled.point, out.branch_amps),
                 out.devices);
    out.node_volts = std::move(settled.point.volts);
    out.floating = std::move(settled.point.floating);
    return out;
}

} // namespace loomwright
