// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Relays and loads after a fault. They stand as in the state at rest when the fault comes, and are
// turned over as in settle.cpp: all that does not stand as its voltage asks, together, until
// nothing changes; where a set comes back, one at a time. What still comes round in a circle goes
// on and off for good: such a relay is taken to stay in, electronics to be dead.
//
// A relay that lets go with more current in its contact than that is made for does not break it:
// the contact is taken for welded, which is the safe side of a short. Outputs of controllers stand
// as the state sets them while a fault lasts; of a controller that was awake and finds no way back
// they open at the end.
//
// An alternator feeds its own field by way of D+. Where D+ is asked for more than twice the field's
// current its voltage is gone, and with it the alternator's.
//
// Wires and coils keep the temperatures, and so the resistances, of the state at rest.
#include "study/fault_circuit.hpp"

#include "base/at.hpp"
#include "study/results.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

constexpr int round_limit = 200;
constexpr int source_rounds = 8;      ///< batteries side by side may turn each other over
constexpr double field_share = 2.0;   ///< of the field's current at the regulated voltage
constexpr double welding_share = 2.0; ///< of its current before, where no rating is given
constexpr double welding_more_a = 1.0;

bool is_same(const std::optional<Element>& a, const std::optional<Element>& b) {
    return a.has_value() == b.has_value() &&
           (!a || (a->law == b->law && a->a == b->a && a->b == b->b && a->c == b->c));
}

} // namespace

FaultBase::FaultBase(const StudyPlan& study_plan, StateId which)
    : SettledState(study_plan, which),
      solution(make_solution(plan, circuit, heat, settled, which)) {
    if (!solution.converged) {
        return;
    }
    find_moved();
    find_controllers();
    find_exciters();
    find_welding();
    lay_out();
}

void FaultBase::find_moved() {
    moved_by.resize(plan.triggers.size());
    for (std::size_t i = 0; i < plan.gates.size(); ++i) {
        if (plan.gates[i].trigger >= 0) {
            moved_by[at(plan.gates[i].trigger)].push_back(static_cast<int>(i));
        }
    }
    for (const int trigger : plan.battery_triggers) {
        moved_by[at(trigger)].push_back(plan.triggers[at(trigger)].branch);
    }
    for (const ControllerPlan& controller : plan.controllers) {
        for (const int trigger : controller.triggers) {
            auto& moved = moved_by[at(trigger)];
            moved.insert(moved.end(), controller.working.begin(), controller.working.end());
            moved.insert(moved.end(), controller.memory.begin(), controller.memory.end());
        }
    }
}

void FaultBase::find_controllers() {
    for (const ControllerPlan& controller : plan.controllers) {
        std::vector<int>& own = outputs.emplace_back();
        for (const int index : plan.input.network.device_branches[controller.device.index()]) {
            if (plan.input.network.branches[at(index)].kind == BranchKind::output &&
                circuit.is_set(at(index))) {
                own.push_back(index);
            }
        }
        is_awake.push_back(solution.devices[controller.device.index()].on ? 1 : 0);
    }
}

void FaultBase::find_exciters() {
    const Network& network = plan.input.network;
    for (std::size_t i = 0; i < network.branches.size(); ++i) {
        const Branch& here = network.branches[i];
        if (here.kind != BranchKind::resistor || here.part != 1 || solution.closed[i] == 0) {
            continue;
        }
        const auto* made = plan.input.vehicle.device(here.device).as<Alternator>();
        for (const int other : network.device_branches[here.device.index()]) {
            if (made != nullptr && network.branches[at(other)].kind == BranchKind::alternator) {
                exciters.push_back({.branch = static_cast<int>(i),
                                    .alternator = other,
                                    .most_a = field_share * made->regulates.value() /
                                              plan.defaults.alternator_field_ohm});
            }
        }
    }
}

void FaultBase::find_welding() {
    welding_a.assign(plan.triggers.size(), HUGE_VAL);
    for (std::size_t i = 0; i < plan.triggers.size(); ++i) {
        if (plan.triggers[i].kind != Trigger::Kind::coil) {
            continue;
        }
        const auto* relay = plan.input.vehicle.device(plan.triggers[i].device).as<Relay>();
        double at_rest_a = 0.0;
        for (const int contact : moved_by[i]) {
            at_rest_a = std::max(at_rest_a, std::abs(amps(contact)));
        }
        welding_a[i] = relay != nullptr && relay->contact
                           ? relay->contact->value()
                           : welding_share * at_rest_a + welding_more_a;
    }
}

void FaultBase::lay_out() {
    const std::vector<Branch>& branches = plan.input.network.branches;
    std::vector<std::uint8_t> may_come(branches.size(), 0);
    for (const std::vector<int>& moved : moved_by) {
        for (const int index : moved) {
            may_come[at(index)] = branches[at(index)].from != branches[at(index)].to ? 1 : 0;
        }
    }
    solve::Circuit whole;
    whole.node_count = plan.input.network.node_count();
    whole.reference = plan.input.network.reference;
    std::vector<std::uint8_t> in_force;
    place.assign(branches.size(), -1);
    for (std::size_t i = 0; i < branches.size(); ++i) {
        const std::optional<Element> element = circuit.standing(i);
        if (!element && may_come[i] == 0) {
            continue;
        }
        const Element made = element.value_or(Element{});
        place[i] = static_cast<int>(elements.size());
        elements.push_back(element);
        in_force.push_back(element ? 1 : 0);
        whole.add(made.law, branches[i].from, branches[i].to, made.a, made.b, made.c);
    }
    solver_base.emplace(whole, std::move(in_force), solution.node_volts);
    if (!solver_base->is_solved()) {
        solver_base.reset();
    }
}

FaultCircuit::FaultCircuit(const FaultBase& base)
    : base_(base), circuit_(base.circuit), solver_(*base.solver_base), elements_(base.elements),
      is_opened_(base.place.size(), 0), is_dead_(base.plan.controllers.size(), 0),
      is_unexcited_(base.exciters.size(), 0), pinned_(base.plan.triggers.size(), 0),
      let_go_(base.plan.triggers.size(), 0) {}

void FaultCircuit::reset() {
    solver_.reset();
    for (const int index : touched_) {
        elements_[at(index)] = base_.elements[at(index)];
    }
    for (const int branch : opened_) {
        is_opened_[at(branch)] = 0;
    }
    touched_.clear();
    opened_.clear();
    if (has_turned_) {
        circuit_.is_on = base_.circuit.is_on;
        circuit_.follow_triggers();
        std::ranges::fill(is_dead_, 0);
        std::ranges::fill(is_unexcited_, 0);
        std::ranges::fill(pinned_, 0);
        std::ranges::fill(let_go_, 0);
        has_turned_ = false;
    }
}

void FaultCircuit::join(int node, int other, double siemens) {
    solver_.bridge(node, other, siemens);
}

/// Takes a branch of the network to how it stands now.
void FaultCircuit::apply(int branch) {
    const int place = base_.place[at(branch)];
    if (place < 0) {
        return;
    }
    const std::optional<Element> element =
        is_opened_[at(branch)] != 0 ? std::nullopt : circuit_.standing(at(branch));
    if (is_same(element, elements_[at(place)])) {
        return;
    }
    elements_[at(place)] = element;
    touched_.push_back(place);
    if (element) {
        solver_.put(place, element->law, element->a, element->b, element->c);
    } else {
        solver_.open(place);
    }
}

void FaultCircuit::open(int branch) {
    is_opened_[at(branch)] = 1;
    opened_.push_back(branch);
    apply(branch);
}

std::vector<std::size_t> FaultCircuit::unsettled() const {
    std::vector<std::size_t> out;
    for (std::size_t i = 0; i < base_.plan.triggers.size(); ++i) {
        if (pinned_[i] == 0 && circuit_.wants_change(i, volts(base_.plan.triggers[i].branch))) {
            out.push_back(i);
        }
    }
    return out;
}

void FaultCircuit::turn_over(std::span<const std::size_t> triggers) {
    has_turned_ = true;
    for (const std::size_t trigger : triggers) {
        circuit_.is_on[trigger] ^= 1U;
        if (circuit_.is_on[trigger] == 0 && base_.circuit.is_on[trigger] != 0) {
            let_go_[trigger] = 1;
        }
    }
    circuit_.follow_triggers();
    for (const std::size_t trigger : triggers) {
        for (const int branch : base_.moved_by[trigger]) {
            apply(branch);
        }
    }
}

bool FaultCircuit::is_controller_awake(std::size_t index) const {
    const ControllerPlan& controller = base_.plan.controllers[index];
    if (controller.working.empty()) {
        return bare_controller_volts(base_.plan, controller, *this) >= controller.least_v;
    }
    return circuit_.is_awake(controller) &&
           std::ranges::any_of(controller.triggers,
                               [this](int trigger) { return circuit_.is_on[at(trigger)] != 0; });
}

bool FaultCircuit::let_outputs_go() {
    bool has_moved = true;
    while (has_moved) {
        has_moved = false;
        for (std::size_t i = 0; i < base_.plan.controllers.size(); ++i) {
            if (base_.outputs[i].empty() || base_.is_awake[i] == 0 || is_dead_[i] != 0 ||
                is_controller_awake(i)) {
                continue;
            }
            is_dead_[i] = 1;
            has_turned_ = has_moved = true;
            for (const int branch : base_.outputs[i]) {
                open(branch);
            }
        }
        if (has_moved && (!solver_.solve() || !settle())) {
            return false;
        }
    }
    return true;
}

/// Takes the field from alternators whose D+ is pulled down; false when none lost it.
bool FaultCircuit::follow_fields() {
    bool has_moved = false;
    for (std::size_t i = 0; i < base_.exciters.size(); ++i) {
        const FaultBase::Exciter& exciter = base_.exciters[i];
        if (is_unexcited_[i] == 0 && std::abs(amps(exciter.branch)) > exciter.most_a) {
            is_unexcited_[i] = 1;
            has_turned_ = has_moved = true;
            open(exciter.branch);
            open(exciter.alternator);
        }
    }
    return has_moved;
}

/// Holds the relays among these that cannot break what flows in their contacts; false when there
/// are none.
bool FaultCircuit::weld(std::vector<std::size_t>& flips) {
    const auto is_welded = [this](std::size_t trigger) {
        if (base_.plan.triggers[trigger].kind != Trigger::Kind::coil ||
            circuit_.is_on[trigger] == 0) {
            return false;
        }
        return std::ranges::any_of(base_.moved_by[trigger], [&](int contact) {
            return base_.plan.gates[at(contact)].when_on &&
                   std::abs(amps(contact)) > base_.welding_a[trigger];
        });
    };
    bool has_any = false;
    for (const std::size_t trigger : flips) {
        if (is_welded(trigger)) {
            pinned_[trigger] = 1;
            has_turned_ = has_any = true;
        }
    }
    std::erase_if(flips, [this](std::size_t trigger) { return pinned_[trigger] != 0; });
    return has_any;
}

void FaultCircuit::pin(std::size_t trigger) {
    pinned_[trigger] = 1;
    std::uint8_t rests = base_.circuit.is_on[trigger];
    if (base_.plan.triggers[trigger].kind == Trigger::Kind::coil) {
        rests = 1;
    } else if (base_.plan.triggers[trigger].kind == Trigger::Kind::supply) {
        rests = 0;
    }
    if (circuit_.is_on[trigger] != rests) {
        turn_over({&trigger, 1});
    }
}

/// Pins what turned over since a stand came up that has come back, and what now would.
void FaultCircuit::pin_loop(std::span<const Stand> seen, std::span<const std::size_t> flips) {
    for (std::size_t i = 0; i < base_.plan.triggers.size(); ++i) {
        const bool turned = std::ranges::any_of(
            seen, [&](const Stand& stand) { return stand[i] != circuit_.is_on[i]; });
        if (pinned_[i] == 0 && (turned || std::ranges::find(flips, i) != flips.end())) {
            pin(i);
        }
    }
}

/// Turns over what does not stand as its voltage asks, or holds what goes round in a circle.
bool FaultCircuit::take_turn(std::vector<Stand>& seen, std::vector<std::size_t>& flips,
                             bool& in_turn) {
    const auto before = std::ranges::find(seen, circuit_.is_on);
    if (before == seen.end()) {
        seen.push_back(circuit_.is_on);
        flips.resize(in_turn ? 1 : flips.size());
        turn_over(flips);
        return true;
    }
    if (in_turn) {
        pin_loop({before, seen.end()}, flips);
    }
    const bool has_moved = in_turn;
    in_turn = true;
    seen.clear();
    return has_moved;
}

bool FaultCircuit::settle() {
    std::vector<Stand> seen;
    bool in_turn = false;
    for (int round = 0; round < round_limit; ++round) {
        std::vector<std::size_t> flips = unsettled();
        if (!flips.empty() && weld(flips) && flips.empty()) {
            continue;
        }
        const bool has_moved = flips.empty() ? follow_fields() : take_turn(seen, flips, in_turn);
        if (flips.empty() && !has_moved) {
            return true;
        }
        if (has_moved && !solver_.solve()) {
            return false;
        }
    }
    return true;
}

bool FaultCircuit::settle_sources() {
    for (int round = 0; round < source_rounds; ++round) {
        std::vector<std::size_t> flips = unsettled();
        std::erase_if(flips, [this](std::size_t trigger) {
            const Trigger::Kind kind = base_.plan.triggers[trigger].kind;
            return kind != Trigger::Kind::charging && kind != Trigger::Kind::forward;
        });
        if (flips.empty()) {
            return true;
        }
        turn_over(flips);
        if (!solver_.solve()) {
            return false;
        }
    }
    return true;
}

double FaultCircuit::amps(int branch) const {
    const int place = base_.place[at(branch)];
    return place < 0 ? 0.0 : solver_.amps(place);
}

double FaultCircuit::volts(int branch) const {
    const Branch& here = base_.plan.input.network.branches[at(branch)];
    return solver_.volts_between(here.from, here.to);
}

double FaultCircuit::volts_between(int from, int to) const {
    return solver_.volts_between(from, to);
}

bool FaultCircuit::conducts(int branch) const {
    const int place = base_.place[at(branch)];
    return place >= 0 && solver_.is_in_force(place);
}

void FaultCircuit::read(std::vector<DeviceState>& out) const {
    read_devices(base_.plan, circuit_, *this, out);
}

std::vector<DeviceId> FaultCircuit::held() const {
    std::vector<DeviceId> out;
    for (std::size_t i = 0; i < pinned_.size(); ++i) {
        const Trigger& trigger = base_.plan.triggers[i];
        if (pinned_[i] != 0 && trigger.kind == Trigger::Kind::coil) {
            out.push_back(trigger.device);
        }
    }
    return out;
}

} // namespace loomwright
