// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// One conductor shorted to the metal of the car, followed until it is over.
//
// The currents of each stretch between two openings are steady: relays act at once beside fuses,
// and the warmth that the short makes is not counted in the resistances. A device opens when the
// shares of its opening time that have run, sum of dt / t(I), come to one (for a constant I^2 t the
// same as adding up I^2 t). The device whose longest time comes first opens; all whose shortest
// time comes before that are named beside it. It ends when nothing more is sure to open: then the
// current is gone, or it flows for good, and conductors come to rest or burn.
//
// While cranking it may end with the state (faults.cpp), where the conductors stand it so long.
#include "study/fault_shorts.hpp"

#include "study/currents.hpp"
#include "study/fault_devices.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double gone_share = 0.01; ///< of the first current: what is left is not the fault's
constexpr double gone_a = 0.01;

} // namespace

ShortRunner::ShortRunner(const FaultBase& base, const FaultHeat& heat, FaultCircuit& circuit,
                         std::span<const OpeningCurve> curves, double breaker_cooling_s)
    : base_(base), circuit_(circuit), wire_branch_(base.plan.input.network.wire_branch),
      breaker_cooling_s_(breaker_cooling_s), heat_run_(heat) {
    for (const int branch : base.plan.protections) {
        const DeviceId device =
            base.plan.input.network.branches[static_cast<std::size_t>(branch)].device;
        if (device.index() < curves.size() &&
            curves[device.index()].sure_a() != OpeningCurve::never) {
            guards_.push_back({.branch = branch,
                               .device = device,
                               .curve = &curves[device.index()],
                               .base_a = std::abs(base.amps(branch))});
        }
    }
}

/// How long each device has left at the currents that flow now.
void ShortRunner::look_at_guards() {
    for (Guard& guard : guards_) {
        guard.longest_s = guard.shortest_s = OpeningCurve::never;
        guard.amps = guard.is_open ? 0.0 : std::abs(circuit_.amps(guard.branch));
        if (is_raised_from(guard.amps, guard.base_a)) { // else the short is not why
            guard.longest_s = guard.curve->longest_s(guard.amps) * (1.0 - guard.worn);
            guard.shortest_s = guard.curve->shortest_s(guard.amps) * (1.0 - guard.worn_soonest);
        }
    }
}

ShortRunner::Guard* ShortRunner::next_to_open() {
    const auto first = std::ranges::min_element(guards_, {}, &Guard::longest_s);
    return first == guards_.end() || std::isinf(first->longest_s) ? nullptr : &*first;
}

void ShortRunner::pass_time(double seconds) {
    heat_run_.advance(circuit_, wire_branch_, seconds);
    now_s_ += seconds;
    for (Guard& guard : guards_) {
        if (!std::isinf(guard.longest_s) && guard.longest_s > 0.0) {
            guard.worn += (1.0 - guard.worn) * std::min(seconds / guard.longest_s, 1.0);
        }
        if (!std::isinf(guard.shortest_s) && guard.shortest_s > 0.0) {
            guard.worn_soonest +=
                (1.0 - guard.worn_soonest) * std::min(seconds / guard.shortest_s, 1.0);
        }
    }
}

/// Of a device that is the next to open, with the times as they are now.
FaultOpening ShortRunner::opening_of(const Guard& guard) const {
    FaultOpening out{.device = guard.device,
                     .amps = guard.amps,
                     .after_s = now_s_ + guard.longest_s,
                     .earliest_s = now_s_ + std::min(guard.shortest_s, guard.longest_s)};
    if (std::isinf(guard.shortest_s)) {
        out.earliest_s = now_s_; // nothing is known of its shortest time
    }
    for (const Guard& other : guards_) {
        if (&other != &guard && other.shortest_s < guard.longest_s) {
            out.or_else.push_back(other.device);
        }
    }
    return out;
}

/// Lets devices open until no more is sure to; false when a circuit on the way has no operating
/// point.
bool ShortRunner::follow(ShortEvent& event) {
    look_at_guards();
    for (Guard* guard = next_to_open(); guard != nullptr; guard = next_to_open()) {
        event.opens.push_back(opening_of(*guard));
        if (guard->curve->closes_again()) {
            duty_ = guard->longest_s / (guard->longest_s + breaker_cooling_s_);
            pass_time(guard->longest_s);
            return true;
        }
        pass_time(guard->longest_s);
        guard->is_open = true;
        circuit_.open(guard->branch);
        if (!circuit_.solve() || !circuit_.settle()) {
            return false;
        }
        look_at_guards();
    }
    return true;
}

ShortOutcome ShortRunner::outcome_of(const ShortEvent& event) const {
    const bool is_gone = event.last_a <= std::max(gone_share * event.first_a, gone_a);
    const bool has_ended = duty_ == 1.0 && is_gone;
    if (!has_ended && heat_run_.passes_short_time()) {
        return ShortOutcome::fire;
    }
    if (!has_ended && heat_run_.passes_class() && !is_stood_) {
        return ShortOutcome::overheats;
    }
    if (heat_run_.ever_passed_short_time()) {
        return ShortOutcome::too_late;
    }
    if (duty_ < 1.0) {
        return ShortOutcome::cycles;
    }
    if (!event.opens.empty() && is_gone) {
        return ShortOutcome::cleared;
    }
    const bool turns_nothing = event.dead.empty() && event.unexpected.empty();
    return event.opens.empty() && turns_nothing && !heat_run_.is_any_loaded()
               ? ShortOutcome::harmless
               : ShortOutcome::carried;
}

void ShortRunner::compare_devices(ShortEvent& event) {
    circuit_.read(devices_);
    const Vehicle& vehicle = base_.plan.input.vehicle;
    for (std::size_t i = 0; i < devices_.size(); ++i) {
        const DeviceState& before = base_.solution.devices[i];
        if (!is_worker(vehicle.devices[i])) {
            continue;
        }
        if (has_died(vehicle.devices[i], before, devices_[i])) {
            event.dead.emplace_back(i);
        } else if (devices_[i].on && !before.on) {
            event.unexpected.emplace_back(i);
        }
    }
    for (std::size_t k = 0; k < circuit_.let_go().size(); ++k) {
        const Trigger& trigger = base_.plan.triggers[k];
        const std::size_t device = trigger.device.index();
        if (circuit_.let_go()[k] != 0 && trigger.kind == Trigger::Kind::supply &&
            base_.solution.devices[device].on && devices_[device].on &&
            std::ranges::find(event.resets, trigger.device) == event.resets.end()) {
            event.resets.push_back(trigger.device);
        }
    }
    event.welded = circuit_.held();
}

/// Through the short; what is only rounding counts as nothing.
double ShortRunner::short_a() const {
    const double amps = std::abs(circuit_.joined_amps());
    return amps <= nothing_a ? 0.0 : amps;
}

/// True when the state ends the short in time for every conductor.
bool ShortRunner::is_stood_while_it_lasts() const {
    if (std::isinf(lasts_s_) || now_s_ >= lasts_s_) {
        return false;
    }
    HeatRun until_then = heat_run_;
    until_then.advance(circuit_, wire_branch_, lasts_s_ - now_s_, duty_);
    return !until_then.ever_passed_short_time();
}

/// What goes on for good, or as long as the state lasts, and the verdict.
void ShortRunner::end(ShortEvent& event) {
    event.last_a = short_a();
    is_stood_ = is_stood_while_it_lasts();
    heat_run_.advance(circuit_, wire_branch_, is_stood_ ? lasts_s_ - now_s_ : OpeningCurve::never,
                      duty_);
    heat_run_.tell(event);
    if (is_stood_) {
        event.overheated.clear(); // for so short a time they stand more than their class
    }
    event.is_solved = circuit_.let_outputs_go();
    if (!event.is_solved) {
        return;
    }
    compare_devices(event);
    event.outcome = outcome_of(event);
    const bool is_over =
        event.outcome == ShortOutcome::cleared || event.outcome == ShortOutcome::too_late;
    event.over_after_s = is_over                                   ? now_s_
                         : event.outcome == ShortOutcome::harmless ? 0.0
                                                                   : OpeningCurve::never;
}

void ShortRunner::run(int metal, double short_ohm, double lasts_s, ShortEvent& event) {
    circuit_.reset();
    heat_run_.begin();
    now_s_ = 0.0;
    lasts_s_ = lasts_s;
    is_stood_ = false;
    duty_ = 1.0;
    for (Guard& guard : guards_) {
        guard.worn = guard.worn_soonest = 0.0;
        guard.is_open = false;
    }
    circuit_.join(event.node, metal, 1.0 / short_ohm);
    event.is_solved = circuit_.solve() && circuit_.settle_sources();
    event.fault_a = event.is_solved ? short_a() : 0.0;
    if (event.fault_a == 0.0) {
        return; // what carries nothing turns nothing over
    }
    event.is_solved = circuit_.settle();
    event.first_a = event.is_solved ? short_a() : 0.0;
    event.is_solved = event.is_solved && follow(event);
    if (event.is_solved) {
        end(event);
    }
}

} // namespace loomwright
