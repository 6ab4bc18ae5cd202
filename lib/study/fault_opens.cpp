// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// One conductor, contact, protective device, ground or strap opened.
//
// Dead is what was at work in the state and is no longer. A device is unexpected when it works and
// did not, or when current passes a load that was off, or that it now passes the other way, at a
// share of its rated voltage that is more than leakage. Its current is followed from device to
// device: up to the source that gives it, down to that source's other post. A source that takes
// over from another does what it is there for.
//
// What was opened may leave its current another way home: a starter's, through the thin ground of a
// controller. Conductors warm until the first protective device is sure to open, cranking as long
// as it is taken to last, else for good; what goes on behind that device is not followed.
#include "study/fault_opens.hpp"

#include "study/currents.hpp"
#include "study/fault_devices.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace loomwright {
namespace {

constexpr double moved_v = 0.1; ///< a controller's supply that moves less is not told of

bool is_cranking(const FaultBase& base) {
    const StateId id = base.solution.state;
    return id.is_valid() && base.plan.input.vehicle.state(id).engine == EngineCondition::cranking;
}

/// How long the state goes on: cranking for `crank-time`, anything else for good.
double lasting_s(const FaultBase& base) {
    if (is_cranking(base)) {
        return base.plan.input.catalogue.default_value("crank-time").value;
    }
    return OpeningCurve::never;
}

} // namespace

OpenRunner::OpenRunner(const FaultBase& base, const FaultHeat& heat, FaultCircuit& circuit,
                       std::span<const OpeningCurve> curves, double breaker_cooling_s,
                       double sneak_share)
    : base_(base), circuit_(circuit), curves_(curves), breaker_cooling_s_(breaker_cooling_s),
      lasts_s_(lasting_s(base)), heat_run_(heat) {
    for (const Device& device : base.plan.input.vehicle.devices) {
        const auto* load = device.as<Load>();
        const auto* sensor = device.as<Sensor>();
        double volts = std::numeric_limits<double>::infinity();
        if (load != nullptr) {
            volts = sneak_share * rated_volts(load->draws, base.plan.defaults);
        } else if (sensor != nullptr && sensor->draws) {
            volts = sneak_share * rated_volts(*sensor->draws, base.plan.defaults);
        }
        sneak_v_.push_back(volts);
    }
    for (std::size_t i = 0; i < base.plan.controllers.size(); ++i) {
        has_one_without_current_ =
            has_one_without_current_ ||
            (base.is_awake[i] != 0 && base.plan.controllers[i].working.empty());
    }
    const StateId state = base.solution.state;
    if (state.is_valid()) {
        for (const Turning& turning : base.plan.input.vehicle.state(state).turning) {
            turned_.push_back(turning.device);
        }
    }
}

int OpenRunner::busiest_load(std::size_t device) const {
    int best = -1;
    for (const int branch : base_.plan.input.network.device_branches[device]) {
        const BranchKind kind =
            base_.plan.input.network.branches[static_cast<std::size_t>(branch)].kind;
        const bool counts = kind == BranchKind::load || kind == BranchKind::coil;
        if (counts &&
            (best < 0 || std::abs(circuit_.amps(branch)) > std::abs(circuit_.amps(best)))) {
            best = branch;
        }
    }
    return best;
}

std::vector<int> OpenRunner::way_of(int branch) const {
    const Network& network = base_.plan.input.network;
    std::vector<double> amps(network.branches.size());
    for (std::size_t i = 0; i < amps.size(); ++i) {
        amps[i] = circuit_.amps(static_cast<int>(i));
    }
    const StateId id = base_.solution.state;
    const State* state = id.is_valid() ? &base_.plan.input.vehicle.state(id) : nullptr;
    return way_through(network, std::move(amps), turned_branches(network, state), branch);
}

void OpenRunner::look_for_sneak(std::size_t device, OpenCase& open) {
    if (std::ranges::find(turned_, DeviceId(device)) != turned_.end()) {
        return; // whether it gives or takes, something else turns it
    }
    if (gives_current(base_.plan.input.vehicle.devices[device])) {
        return; // no current wakes a source: it gives where another no longer holds the voltage
    }
    const DeviceState& before = base_.solution.devices[device];
    const DeviceState& now = devices_[device];
    const bool wakes = now.on && !before.on;
    const bool passes = std::abs(now.volts) >= sneak_v_[device] && now.amps != 0.0;
    const bool was_still = std::abs(before.volts) < sneak_v_[device];
    const bool is_turned = before.volts * now.volts < 0.0;
    if (!wakes && !(passes && (was_still || is_turned))) {
        return;
    }
    UnexpectedDevice found{.device = DeviceId(device),
                           .volts = now.volts,
                           .amps = now.amps,
                           .volts_before = before.volts,
                           .is_on = now.on,
                           .is_reversed = now.volts < 0.0 && now.amps < 0.0};
    const int branch = busiest_load(device);
    if (branch >= 0) {
        const BranchKind kind =
            base_.plan.input.network.branches[static_cast<std::size_t>(branch)].kind;
        if (kind == BranchKind::coil) { // what pulls it in, not what its contact carries
            found.volts = now.coil_volts;
            found.amps = now.coil_amps;
            found.volts_before = before.coil_volts;
            found.is_reversed = now.coil_volts < 0.0 && now.coil_amps < 0.0;
        }
        found.way = way_of(branch);
    }
    open.unexpected.push_back(std::move(found));
}

void OpenRunner::compare_controllers(OpenCase& open) const {
    for (const ControllerPlan& controller : base_.plan.controllers) {
        const DeviceState& before = base_.solution.devices[controller.device.index()];
        const DeviceState& now = devices_[controller.device.index()];
        if (std::abs(now.volts - before.volts) >= moved_v || now.on != before.on) {
            open.controllers.push_back({.device = controller.device,
                                        .volts = now.volts,
                                        .volts_before = before.volts,
                                        .needs_v = controller.least_v,
                                        .is_on = now.on});
        }
    }
}

void OpenRunner::compare(OpenCase& open) {
    circuit_.read(devices_);
    const Vehicle& vehicle = base_.plan.input.vehicle;
    for (std::size_t i = 0; i < devices_.size(); ++i) {
        if (!is_worker(vehicle.devices[i])) {
            continue;
        }
        if (has_died(vehicle.devices[i], base_.solution.devices[i], devices_[i])) {
            open.dead.emplace_back(i);
        }
        look_for_sneak(i, open);
    }
    compare_controllers(open);
    open.chattering = circuit_.held();
}

bool OpenRunner::is_raised(int branch) const {
    return is_raised_from(std::abs(circuit_.amps(branch)), std::abs(base_.amps(branch)));
}

void OpenRunner::look_for_heat(OpenCase& open) {
    const Network& network = base_.plan.input.network;
    double seconds = lasts_s_;
    double duty = 0.0; // of the current after that
    for (const int branch : base_.plan.protections) {
        const std::size_t device =
            network.branches[static_cast<std::size_t>(branch)].device.index();
        if (device >= curves_.size() || !is_raised(branch)) {
            continue;
        }
        const double after_s = curves_[device].longest_s(std::abs(circuit_.amps(branch)));
        if (after_s < seconds) {
            seconds = after_s;
            duty = curves_[device].closes_again() ? after_s / (after_s + breaker_cooling_s_) : 0.0;
        }
    }
    heat_run_.begin();
    heat_run_.advance(circuit_, network.wire_branch, seconds);
    if (duty > 0.0 && seconds < lasts_s_) {
        heat_run_.advance(circuit_, network.wire_branch, lasts_s_ - seconds, duty);
    }
    open.overheated = heat_run_.overheated();
    const bool is_short = std::isfinite(lasts_s_) || (std::isfinite(seconds) && duty == 0.0);
    std::erase_if(open.overheated, [&](const HotConductor& hot) {
        // For so short a time a conductor stands more than its class.
        const double limit_c = is_short ? hot.short_time_c : hot.class_c;
        const double before_c = base_.solution.wires[hot.wire.index()].conductor_c;
        return hot.peak_c <= limit_c || before_c > limit_c; // else not the open's doing
    });
    for (HotConductor& hot : open.overheated) {
        hot.amps = std::abs(circuit_.amps(network.wire_branch[hot.wire.index()]));
    }
}

void OpenRunner::run(OpenCase& open) {
    open.amps_before = base_.amps(open.branch);
    if (std::abs(open.amps_before) <= nothing_a && !has_one_without_current_) {
        return; // what carries nothing is missed by nobody
    }
    circuit_.reset();
    circuit_.open(open.branch);
    open.is_solved = circuit_.solve() && circuit_.settle() && circuit_.let_outputs_go();
    if (open.is_solved) {
        compare(open);
        look_for_heat(open);
    }
}

} // namespace loomwright
