// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/unmet.hpp"

#include "sizing/limits.hpp"
#include "study/currents.hpp"
#include "study/values.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

bool is_load_branch(const Branch& branch) {
    return branch.kind == BranchKind::load || branch.kind == BranchKind::coil;
}

/// The branch of a device, of those that work, with most current; -1: it has none.
int busiest_branch(const Network& network, const StateSolution& solution, DeviceId device) {
    int busiest = -1;
    double most = 0.0;
    for (const int index : network.device_branches[device.index()]) {
        const auto place = static_cast<std::size_t>(index);
        const double amps = std::abs(solution.branch_amps[place]);
        if (is_load_branch(network.branches[place]) && (busiest < 0 || amps > most)) {
            busiest = index;
            most = amps;
        }
    }
    return busiest;
}

/// True for a load with so much of its rated voltage that it is no leakage.
bool gets_current(const StudyInput& study, const StateSolution& solution, DeviceId device) {
    const auto* load = study.vehicle.device(device).as<Load>();
    const double rated_v = load != nullptr && load->draws.at.value() > 0.0
                               ? load->draws.at.value()
                               : study.vehicle.nominal.value();
    const double share = study.catalogue.default_value("sneak-share").value;
    return load != nullptr && std::abs(solution.devices[device.index()].volts) >= share * rated_v;
}

/// A device that works, or gets current, and should not, in one state.
Unmet woken(const Network& network, const StateSolution& solution, const Given<DeviceId>& expected,
            const State& state) {
    const DeviceState& is = solution.devices[expected.value.index()];
    Unmet out{expected.value, false, {state.name}, expected.where, is.volts, is.amps, {}, is.on};
    const int busiest = busiest_branch(network, solution, expected.value);
    if (busiest < 0) {
        return out;
    }
    const auto place = static_cast<std::size_t>(busiest);
    const double amps = solution.branch_amps[place];
    const std::vector<int> turned = turned_branches(network, &state);
    std::vector<int> way = way_through(network, solution.branch_amps, turned, busiest);
    const bool is_shared = std::ranges::any_of(way, [&](int index) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        return is_load_branch(branch) && branch.device != expected.value;
    });
    if (is_shared || amps < 0.0) {
        const Branch& branch = network.branches[place];
        out.volts = solution.node_volts[static_cast<std::size_t>(branch.from)] -
                    solution.node_volts[static_cast<std::size_t>(branch.to)];
        out.amps = amps;
        out.sneak = std::move(way);
    }
    return out;
}

/// See Unmet::ballast.
DeviceId ballast_of(const StudyInput& study, const StateSolution& solution, const State& state,
                    DeviceId device) {
    const Network& network = study.network;
    const auto* load = study.vehicle.device(device).as<Load>();
    const int busiest = busiest_branch(network, solution, device);
    if (load == nullptr || busiest < 0) {
        return {};
    }
    const double needs_v = working_volts(*load, StudyDefaults(study.catalogue, study.vehicle));
    const double has_v = std::abs(solution.devices[device.index()].volts);
    const std::vector<int> turned = turned_branches(network, &state);
    for (const int index : way_through(network, solution.branch_amps, turned, busiest)) {
        const Branch& branch = network.branches[static_cast<std::size_t>(index)];
        const double takes_v = std::abs(solution.node_volts[static_cast<std::size_t>(branch.from)] -
                                        solution.node_volts[static_cast<std::size_t>(branch.to)]);
        if (branch.kind == BranchKind::resistor && has_v < needs_v && has_v + takes_v >= needs_v) {
            return branch.device;
        }
    }
    return {};
}

void note_unmet(std::vector<Unmet>& unmet, Unmet here) {
    for (Unmet& row : unmet) {
        if (row.device == here.device && row.should_be_on == here.should_be_on &&
            row.sneak == here.sneak) { // another way is another cause
            row.states.push_back(here.states.front());
            return;
        }
    }
    unmet.push_back(std::move(here));
}

} // namespace

std::vector<Unmet> unmet_expectations(const StudyInput& study, const Sizing& sizing) {
    std::vector<Unmet> unmet;
    for (const StateSolution& solution : sizing.states) {
        const State* state = state_of(study.vehicle, solution.state);
        if (state == nullptr || !solution.converged) {
            continue;
        }
        for (const auto& expected : state->expect_on) {
            const DeviceState& is = solution.devices[expected.value.index()];
            if (!is.on) {
                Unmet row{expected.value, true, {state->name}, expected.where, is.volts,
                          is.amps,        {},   false};
                row.coil_volts = std::abs(is.coil_volts);
                row.pull_in_v = is.pull_in_v;
                row.ballast = ballast_of(study, solution, *state, expected.value);
                note_unmet(unmet, std::move(row));
            }
        }
        for (const auto& expected : state->expect_off) {
            const DeviceState& is = solution.devices[expected.value.index()];
            if (is.on || gets_current(study, solution, expected.value)) {
                note_unmet(unmet, woken(study.network, solution, expected, *state));
            }
        }
    }
    return unmet;
}

} // namespace loomwright
