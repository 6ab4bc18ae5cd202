// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/device_reader.hpp"

#include "network/ground.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double delivers_a = 1e-6; ///< less than this is rounding, not delivery

/// Reads the state of each device from the voltages and currents of its branches.
class DeviceReader {
public:
    DeviceReader(const StudyPlan& plan, const StateCircuit& circuit, const BranchReadings& branches,
                 std::vector<DeviceState>& out)
        : plan_(plan), circuit_(circuit), readings_(branches), out_(out) {}

    void read() {
        const Vehicle& vehicle = plan_.input.vehicle;
        out_.assign(vehicle.devices.size(), {});
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
            if (housing.is_valid() && out_[i].on) {
                out_[housing.index()].on = true;
            }
        }
    }

private:
    [[nodiscard]] const Branch& branch(int index) const {
        return plan_.input.network.branches[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] double amps(int index) const { return readings_.amps(index); }
    [[nodiscard]] double volts(int index) const { return readings_.volts(index); }
    [[nodiscard]] const std::vector<int>& branches() const {
        return plan_.input.network.device_branches[id_.index()];
    }
    [[nodiscard]] DeviceState& here() { return out_[id_.index()]; }

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
        const bool conducts = readings_.conducts(index);
        // Electronics are let go by a margin of rounding below their least voltage.
        const double least = law == LoadLaw::constant_power ? least_v * (1.0 - 1e-6) : least_v;
        here().on = conducts && across >= least;
        if (circuit_.is_turned(id_)) {
            here().on = here().amps > delivers_a; // else it gives, or only turns
        }
    }
    void read(const Controller&) {}
    void read(const Ground&) { take(BranchKind::bond); }
    void read(const Strap&) { take(BranchKind::strap); }
    void read(const Splice&) {}
    void read(const Stud&) {}
    void read(const Connector&) { take(BranchKind::joint); }
    void read(const Diode&) { take(BranchKind::diode); }
    void read(const Resistor&) {
        if (take(BranchKind::shunt) < 0) {
            take(BranchKind::resistor);
        }
    }
    void read(const Unit&) {}

    void read_coil(std::size_t index, bool is_pulled_in) {
        const Trigger& trigger = plan_.triggers[index];
        DeviceState& device = out_[trigger.device.index()];
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
            here().volts = bare_controller_volts(plan_, plan, readings_);
            here().on = here().volts >= plan.least_v;
        }
    }

    const StudyPlan& plan_;
    const StateCircuit& circuit_;
    const BranchReadings& readings_;
    std::vector<DeviceState>& out_;
    DeviceId id_;
};

} // namespace

double bare_controller_volts(const StudyPlan& plan, const ControllerPlan& controller,
                             const BranchReadings& branches) {
    const auto& made = *plan.input.vehicle.device(controller.device).as<Controller>();
    const auto& nodes = plan.input.network.terminal_nodes[controller.device.index()];
    int ground = -1;
    for (std::size_t t = 0; t < made.parts.size(); ++t) {
        ground = made.parts[t].part == TerminalPart::ground ? nodes[t] : ground;
    }
    ground = ground < 0 ? case_node(plan.input.network, controller.device) : ground;
    double best = 0.0;
    for (std::size_t t = 0; ground >= 0 && t < made.parts.size(); ++t) {
        if (made.parts[t].part == TerminalPart::feed) {
            best = std::max(best, branches.volts_between(nodes[t], ground));
        }
    }
    return best;
}

void read_devices(const StudyPlan& plan, const StateCircuit& circuit,
                  const BranchReadings& branches, std::vector<DeviceState>& out) {
    DeviceReader(plan, circuit, branches, out).read();
}

} // namespace loomwright
