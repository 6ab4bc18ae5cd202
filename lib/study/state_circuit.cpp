// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/state_circuit.hpp"

#include "study/currents.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr int positions_a_block = 64;
constexpr double coil_tolerance_k = 0.01;

/// R(T) / R20 of copper.
double warmth(double celsius) {
    return resistance_at(1.0, Celsius(celsius));
}

bool is_turning(EngineCondition engine) {
    return engine == EngineCondition::idle || engine == EngineCondition::running;
}

/// Temperature of a coil that has long stood at a voltage v: the rise x of
///   x = k v^2 / (R20 (w + alpha x)),   w = 1 + alpha (T_air - 20 C),
/// k kelvin for each watt, alpha that of copper.
double warm_coil_c(const CoilPlan& coil, double air_c, double volts) {
    const double alpha = warmth(21.0) - warmth(20.0);
    const double cool = std::max(warmth(air_c), 0.0);
    const double heat = coil.rise_k_per_w * volts * volts / coil.r20_ohm;
    const double root = std::sqrt(cool * cool + 4.0 * alpha * heat);
    return air_c + 2.0 * heat / std::max(cool + root, 1e-300);
}

/// A law with no demand joins nothing and is left out.
bool is_nothing(const Element& element) {
    switch (element.law) {
    case solve::Law::conductance:
    case solve::Law::constant_current:
    case solve::Law::constant_power:
    case solve::Law::lamp:
        return element.a <= 0.0;
    case solve::Law::limited_source:
        return element.c <= 0.0;
    case solve::Law::source:
    case solve::Law::diode:
        return false;
    }
    return false;
}

/// The element with a sample's factors; one that a factor does not suit is left as it is.
Element varied(Element element, const BranchVariation& by) {
    switch (element.law) {
    case solve::Law::conductance:
        element.a *= by.demand / by.resistance;
        break;
    case solve::Law::source:
        element.b /= by.resistance;
        break;
    case solve::Law::limited_source:
        element.a += by.emf_v;
        element.b /= by.resistance;
        element.c *= by.demand;
        break;
    case solve::Law::constant_current:
    case solve::Law::constant_power:
    case solve::Law::lamp:
        element.a *= by.demand;
        break;
    case solve::Law::diode:
        break;
    }
    return element;
}

} // namespace

StateCircuit::StateCircuit(const StudyPlan& plan, const State* state)
    : plan_(plan), state_(state),
      engine_(state != nullptr ? state->engine : EngineCondition::stopped),
      elements_(plan.elements), is_set_(plan.elements.size(), 1) {
    const Vehicle& vehicle = plan.input.vehicle;
    level.assign(vehicle.devices.size(), 1.0);
    position.assign(vehicle.devices.size(), 0);
    for (const Zone& zone : vehicle.zones) {
        zone_air_c_.push_back(zone.air.value());
    }
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        if (vehicle.devices[i].as<Charger>() != nullptr) {
            level[i] = 0.0; // a charger works only in states that plug it in
        }
    }
    apply_settings();
    apply_levels();
    set_turned();
    set_sources();
    set_leads();
    set_contacts();
}

void StateCircuit::take_design() {
    for (const int index : plan_.protections) {
        elements_[static_cast<std::size_t>(index)] =
            plan_.elements[static_cast<std::size_t>(index)];
    }
}

void StateCircuit::put_to_rest() {
    is_on.clear();
    for (const Trigger& trigger : plan_.triggers) {
        is_on.push_back(trigger.starts_on ? 1 : 0);
    }
    coil_c_.clear();
    for (const CoilPlan& coil : plan_.coils) {
        coil_c_.push_back(coil_air_of(coil));
    }
}

void StateCircuit::follow(const StateCircuit& before) {
    is_on = before.is_on;
    coil_c_ = before.coil_c_;
    for (std::size_t k = 0; k < coil_c_.size(); ++k) { // what the air gained, they gained
        coil_c_[k] += coil_air_of(plan_.coils[k]) - before.coil_air_of(plan_.coils[k]);
    }
}

void StateCircuit::set_charge(DeviceId battery, double charge) {
    for (std::size_t k = 0; k < batteries.size(); ++k) {
        const auto trigger = static_cast<std::size_t>(plan_.battery_triggers[k]);
        if (plan_.triggers[trigger].device == battery) {
            batteries[k] = values_of(battery, charge);
        }
    }
}

void StateCircuit::set_starting(DeviceId device) {
    for (const int index : plan_.input.network.device_branches[device.index()]) {
        if (branch(static_cast<std::size_t>(index)).kind != BranchKind::load) {
            continue;
        }
        const Device& made = plan_.input.vehicle.device(device);
        Element& element = elements_[static_cast<std::size_t>(index)];
        if (is_turned(device)) {
            continue; // it is not at rest
        }
        if (const auto* load = made.as<Load>(); load != nullptr && element.a > 0.0) {
            element = starting_element(*load, plan_.defaults);
        } else if (const auto* starter = made.as<Starter>()) {
            element = starting_element(*starter, plan_.defaults);
        }
    }
}

double StateCircuit::place_air_c(DeviceId device) const {
    const PointId place = plan_.input.vehicle.device(device).at;
    return air_c(place.is_valid() ? plan_.input.vehicle.point(place).zone : ZoneId());
}

double StateCircuit::coil_air_of(const CoilPlan& coil) const {
    const bool is_known = coil.zone.is_valid() || (state_ != nullptr && state_->air);
    return is_known ? air_c(coil.zone) : plan_.defaults.coil_temperature_c;
}

double StateCircuit::coil_air_c(std::size_t trigger) const {
    const int coil = plan_.coil_of_trigger[trigger];
    return coil < 0 ? plan_.defaults.coil_temperature_c
                    : coil_air_of(plan_.coils[static_cast<std::size_t>(coil)]);
}

double StateCircuit::coil_c(std::size_t trigger) const {
    const int coil = plan_.coil_of_trigger[trigger];
    return coil < 0 ? plan_.defaults.coil_temperature_c : coil_c_[static_cast<std::size_t>(coil)];
}

double StateCircuit::alternator_most_a(DeviceId device) const {
    const auto* made = plan_.input.vehicle.device(device).as<Alternator>();
    return made != nullptr && is_turning(engine_)
               ? alternator_limit_a(*made, plan_.defaults, engine_, place_air_c(device))
               : 0.0;
}

BatteryValues StateCircuit::values_of(DeviceId battery, double charge) const {
    const auto& made = *plan_.input.vehicle.device(battery).as<Battery>();
    const double celsius =
        battery_temperature_c(made, plan_.defaults, plan_.input.vehicle.policy, state_);
    return battery_values(made, plan_.defaults.in_row(plan_.battery_rows[battery.index()]), charge,
                          celsius);
}

double StateCircuit::air_c(ZoneId zone) const {
    if (state_ != nullptr && state_->air) {
        return state_->air->value() + air_shift_k;
    }
    return (zone.is_valid() ? zone_air_c_[zone.index()] : plan_.defaults.air_c) + air_shift_k;
}

void StateCircuit::apply_settings() {
    const Network& network = plan_.input.network;
    for (std::size_t i = 0; i < is_set_.size(); ++i) {
        if (branch(i).kind == BranchKind::output) {
            is_set_[i] = 0;
        }
    }
    if (state_ == nullptr) {
        return;
    }
    for (const Setting& setting : state_->settings) {
        const std::size_t device = setting.device.index();
        if (setting.position >= 0) {
            position[device] = setting.position;
        }
        if (setting.terminal >= 0) {
            for (const int index : network.device_branches[device]) {
                const auto at = static_cast<std::size_t>(index);
                if (branch(at).kind == BranchKind::output && branch(at).part == setting.terminal) {
                    is_set_[at] = setting.level > 0.0 ? 1 : 0;
                }
            }
        } else if (setting.is_level) {
            level[device] = std::max(setting.level, 0.0);
        }
    }
}

void StateCircuit::apply_levels() {
    for (std::size_t i = 0; i < elements_.size(); ++i) {
        if (branch(i).kind == BranchKind::load) {
            elements_[i].a *= level[branch(i).device.index()];
        }
    }
}

void StateCircuit::set_turned() {
    if (state_ == nullptr) {
        return;
    }
    for (const Turning& turning : state_->turning) {
        const auto& load = *plan_.input.vehicle.device(turning.device).as<Load>();
        for (const int index : turned_branches(plan_.input.network, turning)) {
            elements_[static_cast<std::size_t>(index)] =
                turned_element(load, plan_.defaults, turning.speed);
        }
    }
}

bool StateCircuit::is_turned(DeviceId device) const {
    return state_ != nullptr &&
           std::ranges::find(state_->turning, device, &Turning::device) != state_->turning.end();
}

void StateCircuit::set_sources() {
    const bool turns = is_turning(engine_);
    for (std::size_t i = 0; i < elements_.size(); ++i) {
        const Branch& here = branch(i);
        if (here.kind == BranchKind::battery) {
            const auto& battery = *plan_.input.vehicle.device(here.device).as<Battery>();
            batteries.push_back(values_of(here.device, battery_charge(battery, state_)));
        } else if (here.kind == BranchKind::alternator) {
            const auto& made = *plan_.input.vehicle.device(here.device).as<Alternator>();
            const double ohm =
                made.resistance ? made.resistance->value() : plan_.defaults.alternator_ohm;
            elements_[i] = {.law = solve::Law::limited_source,
                            .a = made.regulates.value(),
                            .b = resistor_element(ohm).a,
                            .c = alternator_most_a(here.device)};
            is_set_[i] = turns ? 1 : 0;
        } else if (here.kind == BranchKind::charger) {
            const auto& made = *plan_.input.vehicle.device(here.device).as<Charger>();
            elements_[i] = {.law = solve::Law::limited_source,
                            .a = made.regulates.value(),
                            .b = resistor_element(plan_.defaults.charger_ohm).a,
                            .c = made.limit.value()};
            is_set_[i] = level[here.device.index()] > 0.0 ? 1 : 0;
        } else if (here.kind == BranchKind::resistor && here.part != 0) {
            is_set_[i] =
                (here.part == 1) == turns ? 1 : 0; // exciter while it turns, else the field
        }
    }
}

void StateCircuit::set_leads() {
    const Vehicle& vehicle = plan_.input.vehicle;
    for (std::size_t i = 0; i < elements_.size(); ++i) {
        if (branch(i).kind != BranchKind::lead) {
            continue;
        }
        const LeadRef ref =
            supplied_lead(vehicle, {.device = branch(i).device, .terminal = branch(i).part});
        const SuppliedHarness& harness = vehicle.supplied[static_cast<std::size_t>(ref.harness)];
        const SuppliedLead& lead = harness.leads[static_cast<std::size_t>(ref.lead)];
        const Conductor* conductor = plan_.input.catalogue.find_conductor(lead.size);
        const double r20 =
            conductor != nullptr ? conductor->r20_ohm_per_m * lead.length.value() : 0.0;
        const ZoneId zone = harness.from.is_valid() ? vehicle.point(harness.from).zone : ZoneId();
        elements_[i] = resistor_element(resistance_at(r20, Celsius(air_c(zone))));
    }
}

void StateCircuit::set_contacts() {
    for (std::size_t i = 0; i < elements_.size(); ++i) {
        const Branch& here = branch(i);
        if (here.kind != BranchKind::contact || plan_.gates[i].trigger >= 0) {
            continue;
        }
        const Device& device = plan_.input.vehicle.device(here.device);
        const std::size_t index = here.device.index();
        if (device.as<Switch>() != nullptr) {
            const int at = position[index];
            const bool in_block = at / positions_a_block == here.part;
            is_set_[i] =
                in_block && ((here.positions >> (at % positions_a_block)) & 1U) != 0 ? 1 : 0;
        } else if (device.as<Flasher>() != nullptr) {
            is_set_[i] = level[index] > 0.0 ? 1 : 0;
        }
    }
}

int StateCircuit::fed_count(const ControllerPlan& plan) const {
    int fed = 0;
    for (const int trigger : plan.triggers) {
        fed += is_on[static_cast<std::size_t>(trigger)];
    }
    return fed;
}

bool StateCircuit::is_awake(const ControllerPlan& plan) const {
    return plan.has_switched_feed ? fed_count(plan) > 0 : engine_ != EngineCondition::stopped;
}

void StateCircuit::set_controllers() {
    for (const ControllerPlan& plan : plan_.controllers) {
        const int fed = fed_count(plan);
        const bool awake = is_awake(plan);
        const double share = level[plan.device.index()];
        for (const int index : plan.memory) {
            const auto at = static_cast<std::size_t>(index);
            elements_[at] = {.law = solve::Law::constant_current,
                             .a = share * plan.sleeps_a / static_cast<double>(plan.memory.size()),
                             .b = plan_.defaults.electronics_least_v};
            is_set_[at] = 1;
        }
        for (std::size_t k = 0; k < plan.working.size(); ++k) {
            const auto at = static_cast<std::size_t>(plan.working[k]);
            const bool is_fed = is_on[static_cast<std::size_t>(plan.triggers[k])] != 0;
            if (!plan.has_switched_feed && !awake) {
                continue; // asleep on the feeds it also works from
            }
            elements_[at] = {.law = solve::Law::constant_power,
                             .a = share * plan.power_w / std::max(fed, 1),
                             .b = plan.least_v};
            is_set_[at] = awake && is_fed ? 1 : 0;
        }
    }
}

void StateCircuit::set_batteries() {
    for (std::size_t k = 0; k < batteries.size(); ++k) {
        const auto trigger = static_cast<std::size_t>(plan_.battery_triggers[k]);
        const BatteryValues& values = batteries[k];
        const double ohm = is_on[trigger] != 0 ? values.charging_ohm : values.ohm;
        elements_[static_cast<std::size_t>(plan_.triggers[trigger].branch)] = {
            .law = solve::Law::source, .a = values.open_v, .b = resistor_element(ohm).a};
    }
}

void StateCircuit::set_coils() {
    for (std::size_t k = 0; k < plan_.coils.size(); ++k) {
        const CoilPlan& coil = plan_.coils[k];
        elements_[static_cast<std::size_t>(coil.branch)] =
            resistor_element(coil.r20_ohm * warmth(coil_c_[k]));
    }
}

void StateCircuit::follow_triggers() {
    set_controllers();
    set_batteries();
}

bool StateCircuit::is_joined(std::size_t index) const {
    const Gate gate = plan_.gates[index];
    const bool is_open =
        gate.trigger >= 0 && (is_on[static_cast<std::size_t>(gate.trigger)] != 0) != gate.when_on;
    return is_set_[index] != 0 && !is_open && branch(index).from != branch(index).to;
}

Element StateCircuit::element(std::size_t index) const {
    const Branch& here = branch(index);
    const Element element = here.kind == BranchKind::wire
                                ? resistor_element(wire_ohm[here.wire.index()])
                                : elements_[index];
    return variation.empty() ? element : varied(element, variation[index]);
}

std::optional<Element> StateCircuit::standing(std::size_t index) const {
    if (!is_joined(index)) {
        return std::nullopt;
    }
    const Element here = element(index);
    return is_nothing(here) ? std::nullopt : std::optional(here);
}

void StateCircuit::build() {
    follow_triggers();
    set_coils();
    circuit_.node_count = plan_.input.network.node_count();
    circuit_.reference = plan_.input.network.reference;
    circuit_branch_.clear();
    const std::size_t count = elements_.size();
    for (auto* array : {&circuit_.a, &circuit_.b, &circuit_.c}) {
        array->clear();
        array->reserve(count);
    }
    circuit_.from.clear();
    circuit_.to.clear();
    circuit_.law.clear();
    circuit_.from.reserve(count);
    circuit_.to.reserve(count);
    circuit_.law.reserve(count);
    place_.assign(count, -1);
    conducts.assign(count, 0);
    for (std::size_t i = 0; i < count; ++i) {
        if (!is_joined(i)) {
            continue;
        }
        const Element here = element(i);
        if (is_nothing(here)) {
            continue;
        }
        conducts[i] = 1;
        place_[i] = static_cast<int>(circuit_.branch_count());
        circuit_branch_.push_back(static_cast<int>(i));
        circuit_.add(here.law, branch(i).from, branch(i).to, here.a, here.b, here.c);
    }
}

void StateCircuit::update_wires() {
    const std::vector<int>& branches = plan_.input.network.wire_branch;
    for (std::size_t i = 0; i < wire_ohm.size(); ++i) {
        const auto branch = static_cast<std::size_t>(branches[i]);
        const int place = place_[branch];
        if (place >= 0) {
            const Element element = resistor_element(wire_ohm[i]);
            circuit_.a[static_cast<std::size_t>(place)] =
                variation.empty() ? element.a : varied(element, variation[branch]).a;
        }
    }
}

bool StateCircuit::update_coils(const solve::OperatingPoint& point) {
    bool has_moved = false;
    for (std::size_t k = 0; k < plan_.coils.size(); ++k) {
        const CoilPlan& coil = plan_.coils[k];
        const auto at = static_cast<std::size_t>(coil.branch);
        const int place = place_[at];
        if (place < 0 || coil.rise_k_per_w == 0.0) {
            continue;
        }
        const double celsius =
            warm_coil_c(coil, coil_air_of(coil), volts_across(branch(at), point));
        if (std::abs(celsius - coil_c_[k]) <= coil_tolerance_k) {
            continue;
        }
        has_moved = true;
        coil_c_[k] = celsius;
        elements_[at] = resistor_element(coil.r20_ohm * warmth(celsius));
        circuit_.a[static_cast<std::size_t>(place)] =
            variation.empty() ? elements_[at].a : varied(elements_[at], variation[at]).a;
    }
    return has_moved;
}

std::vector<double> StateCircuit::branch_amps(const solve::OperatingPoint& point) const {
    std::vector<double> out(place_.size(), 0.0);
    for (std::size_t k = 0; k < circuit_branch_.size(); ++k) {
        out[static_cast<std::size_t>(circuit_branch_[k])] = point.amps[k];
    }
    return out;
}

double StateCircuit::volts_across(const Branch& branch, const solve::OperatingPoint& point) {
    const auto from = static_cast<std::size_t>(branch.from);
    const auto to = static_cast<std::size_t>(branch.to);
    if (point.floating[from] != 0 || point.floating[to] != 0) {
        return 0.0;
    }
    return (point.volts[from] - point.volts[to]) + (point.volts_low[from] - point.volts_low[to]);
}

double StateCircuit::threshold_v(std::size_t trigger) const {
    const Trigger& here = plan_.triggers[trigger];
    return (is_on[trigger] != 0 ? here.off_v : here.on_v) * coil_warmth(trigger);
}

double StateCircuit::pull_in_v(std::size_t trigger) const {
    return plan_.triggers[trigger].on_v * coil_warmth(trigger);
}

/// A coil pulls at a current: the voltage for it rises with the winding's resistance.
double StateCircuit::coil_warmth(std::size_t trigger) const {
    return plan_.triggers[trigger].kind == Trigger::Kind::coil ? warmth(coil_c(trigger)) : 1.0;
}

double StateCircuit::rest_warmth(std::size_t trigger) const {
    return plan_.triggers[trigger].kind == Trigger::Kind::coil ? warmth(coil_air_c(trigger)) : 1.0;
}

bool StateCircuit::wants_change(std::size_t trigger, const solve::OperatingPoint& point) const {
    return wants_change(
        trigger,
        volts_across(branch(static_cast<std::size_t>(plan_.triggers[trigger].branch)), point));
}

bool StateCircuit::wants_change(std::size_t trigger, double volts) const {
    const Trigger& here = plan_.triggers[trigger];
    if (here.kind == Trigger::Kind::coil) {
        volts = std::abs(volts);
    } else if (here.kind == Trigger::Kind::charging) {
        volts -= elements_[static_cast<std::size_t>(here.branch)].a;
    }
    const double threshold = threshold_v(trigger);
    return is_on[trigger] != 0 ? volts < threshold : volts >= threshold;
}

} // namespace loomwright
