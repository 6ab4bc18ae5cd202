// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/results.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double delivers_a = 1e-6; ///< less than this is rounding, not delivery
/// The solver's own floor: where no current flows at all, what it leaves behind is rounding.
constexpr double nothing_a = 1e-18;

double or_nothing(double amps) {
    return std::abs(amps) <= nothing_a ? 0.0 : amps;
}

/// Reads the state of each device from the voltages and currents of its branches.
class DeviceReader {
public:
    DeviceReader(const StudyPlan& plan, const StateCircuit& circuit,
                 const solve::OperatingPoint& point, StateSolution& out)
        : plan_(plan), circuit_(circuit), point_(point), out_(out) {}

    void read() {
        const Vehicle& vehicle = plan_.input.vehicle;
        out_.devices.resize(vehicle.devices.size());
        for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
            id_ = DeviceId(i);
            std::visit([this](const auto& spec) { read(spec); }, vehicle.devices[i].spec);
        }
        for (const ControllerPlan& plan : plan_.controllers) {
            read_controller(plan);
        }
        for (std::size_t k = 0; k < plan_.triggers.size(); ++k) {
            const Trigger& trigger = plan_.triggers[k];
            if (trigger.kind == Trigger::Kind::coil) {
                read_coil(k, circuit_.is_on[k] != 0);
            }
        }
        for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
            const DeviceId housing = vehicle.devices[i].housing;
            if (housing.is_valid() && out_.devices[i].on) {
                out_.devices[housing.index()].on = true;
            }
        }
    }

private:
    [[nodiscard]] const Branch& branch(int index) const {
        return plan_.input.network.branches[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] double amps(int index) const {
        return out_.branch_amps[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] double volts(int index) const {
        return StateCircuit::volts_across(branch(index), point_);
    }
    [[nodiscard]] const std::vector<int>& branches() const {
        return plan_.input.network.device_branches[id_.index()];
    }
    [[nodiscard]] DeviceState& here() { return out_.devices[id_.index()]; }

    /// The device's branch of a kind that carries most; -1 when it has none.
    [[nodiscard]] int busiest(BranchKind kind) const {
        int best = -1;
        for (const int index : branches()) {
            if (branch(index).kind == kind &&
                (best < 0 || std::abs(amps(index)) > std::abs(amps(best)))) {
                best = index;
            }
        }
        return best;
    }
    /// Takes voltage and current from the busiest branch of a kind.
    int take(BranchKind kind) {
        const int index = busiest(kind);
        if (index >= 0) {
            here().volts = volts(index);
            here().amps = amps(index);
        }
        return index;
    }
    void take_source(BranchKind kind) {
        if (take(kind) >= 0) {
            here().amps = 0.0 - here().amps;
            here().on = here().amps > delivers_a;
        }
    }

    void read(const Battery&) { take_source(BranchKind::battery); }
    void read(const Alternator&) {
        take_source(BranchKind::alternator);
        here().most_a = circuit_.alternator_most_a(id_);
    }
    void read(const Charger&) { take_source(BranchKind::charger); }
    void read(const Starter&) { take(BranchKind::load); }
    void read(const Protection&) { take(BranchKind::protection); }
    void read(const Relay&) {
        take(BranchKind::contact);
        for (const int index : branches()) {
            if (branch(index).kind == BranchKind::contact && branch(index).part == 0) {
                here().volts = volts(index);
            }
        }
    }
    void read(const Flasher&) { take(BranchKind::contact); }
    void read(const Switch&) {
        take(BranchKind::contact);
        here().on = circuit_.position[id_.index()] != 0;
    }
    void read(const Load& load) { read_load(working_volts(load, plan_.defaults), load.law); }
    void read(const Sensor& sensor) {
        if (sensor.draws) {
            Load load;
            load.draws = *sensor.draws;
            read_load(working_volts(load, plan_.defaults), load.law);
        }
    }
    void read_load(double least_v, LoadLaw law) {
        const int index = take(BranchKind::load);
        if (index < 0) {
            return;
        }
        const bool is_one_way = plan_.gates[static_cast<std::size_t>(index)].trigger >= 0;
        const double across = is_one_way ? here().volts : std::abs(here().volts);
        const bool conducts = circuit_.conducts[static_cast<std::size_t>(index)] != 0;
        // Electronics are let go by a margin of rounding below their least voltage.
        const double least = law == LoadLaw::constant_power ? least_v * (1.0 - 1e-6) : least_v;
        here().on = conducts && across >= least;
    }
    void read(const Controller&) {}
    void read(const Ground&) { take(BranchKind::bond); }
    void read(const Strap&) { take(BranchKind::strap); }
    void read(const Splice&) {}
    void read(const Stud&) {}
    void read(const Connector&) { take(BranchKind::joint); }
    void read(const Diode&) { take(BranchKind::diode); }
    void read(const Resistor&) { take(BranchKind::resistor); }
    void read(const Unit&) {}

    void read_coil(std::size_t index, bool is_pulled_in) {
        const Trigger& trigger = plan_.triggers[index];
        DeviceState& device = out_.devices[trigger.device.index()];
        device.coil_volts = volts(trigger.branch);
        device.coil_amps = amps(trigger.branch);
        device.coil_c = circuit_.coil_c(index);
        device.pull_in_v = circuit_.pull_in_v(index);
        device.on = is_pulled_in;
    }

    void read_controller(const ControllerPlan& plan) {
        id_ = plan.device;
        bool is_fed = false;
        bool is_first = true;
        for (std::size_t k = 0; k < plan.working.size(); ++k) {
            is_fed = is_fed || circuit_.is_on[static_cast<std::size_t>(plan.triggers[k])] != 0;
            const double across = volts(plan.working[k]);
            here().volts = is_first ? across : std::max(here().volts, across);
            is_first = false;
        }
        for (const int index : branches()) {
            if (branch(index).kind == BranchKind::load) {
                here().amps += amps(index);
            }
        }
        here().on = is_fed && circuit_.is_awake(plan);
        if (plan.working.empty()) {
            read_bare_controller(plan);
        }
    }

    /// A controller whose draw is not given: judged by the voltage at its feeds.
    void read_bare_controller(const ControllerPlan& plan) {
        const auto& made = *plan_.input.vehicle.device(id_).as<Controller>();
        const auto& nodes = plan_.input.network.terminal_nodes[id_.index()];
        int ground = -1;
        for (std::size_t t = 0; t < made.parts.size(); ++t) {
            ground = made.parts[t].part == TerminalPart::ground ? nodes[t] : ground;
        }
        for (std::size_t t = 0; ground >= 0 && t < made.parts.size(); ++t) {
            if (made.parts[t].part == TerminalPart::feed) {
                here().volts =
                    std::max(here().volts,
                             StateCircuit::volts_across({.from = nodes[t], .to = ground}, point_));
            }
        }
        here().on = here().volts >= plan.least_v;
    }

    const StudyPlan& plan_;
    const StateCircuit& circuit_;
    const solve::OperatingPoint& point_;
    StateSolution& out_;
    DeviceId id_;
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
    DeviceReader(plan, circuit, settled.point, out).read();
    out.node_volts = std::move(settled.point.volts);
    out.floating = std::move(settled.point.floating);
    return out;
}

} // namespace loomwright
