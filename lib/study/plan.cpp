// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/plan.hpp"

#include "network/battery_rows.hpp"

#include "solve/heat.hpp"

#include <algorithm>

namespace loomwright {
namespace {

/// The most that a wire alone rises, K m/W.
double most_rise_k_m_per_w(const solve::WireBody& wire) {
    return solve::Skin(wire.outside_diameter_m, wire.emissivity).most_k_m_per_w() +
           solve::insulation_k_m_per_w(wire);
}

/// Half width of the band round zero in which a one-way load or a battery keeps the way it was.
constexpr double either_way_v = 0.05;
constexpr double battery_band_v = 1e-4;
/// The solver tells a load to be below its least voltage with this margin for rounding.
constexpr double let_go_share = 1e-9;

} // namespace

StudyPlan::StudyPlan(const StudyInput& study_input)
    : input(study_input), defaults(study_input.catalogue, study_input.vehicle),
      battery_rows(loomwright::battery_rows(study_input.vehicle, study_input.network)),
      bundles(study_input) {
    const std::size_t count = input.network.branches.size();
    elements.resize(count);
    gates.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        plan_branch(i);
    }
    plan_triggers();
    std::vector<int> coil_of_branch(count, -1);
    for (std::size_t k = 0; k < coils.size(); ++k) {
        coil_of_branch[static_cast<std::size_t>(coils[k].branch)] = static_cast<int>(k);
    }
    for (const Trigger& trigger : triggers) {
        coil_of_trigger.push_back(trigger.kind == Trigger::Kind::coil
                                      ? coil_of_branch[static_cast<std::size_t>(trigger.branch)]
                                      : -1);
    }
}

int StudyPlan::body_of(const WireDesign& wire) {
    const auto [place, is_new] = known_bodies_.try_emplace({wire.conductor, wire.insulation},
                                                           static_cast<int>(bodies.size()));
    if (is_new) {
        const solve::WireBody body = heat_body(input.catalogue, *wire.conductor, *wire.insulation);
        bodies.push_back({.wire = body, .most_k_m_per_w = most_rise_k_m_per_w(body)});
    }
    return place->second;
}

void StudyPlan::set_design(const Design& design) {
    wires.resize(design.wires.size());
    wire_changed.assign(wires.size(), 0);
    for (std::size_t i = 0; i < wires.size(); ++i) {
        const WireDesign& wire = design.wires[i];
        WirePlan& plan = wires[i];
        plan.r20_ohm = wire.r20_ohm();
        if (plan.conductor != wire.conductor || plan.insulation != wire.insulation) {
            plan.conductor = wire.conductor;
            plan.insulation = wire.insulation;
            plan.body = body_of(wire);
            wire_changed[i] = 1;
        }
    }
    bundles.set_design(design, wire_changed);
    for (const int index : protections) {
        const Branch& here = branch(index);
        elements[static_cast<std::size_t>(index)] = resistor_element(
            protection_ohm(*owner(here).as<Protection>(), design.ratings[here.device.index()],
                           input.catalogue, defaults));
    }
}

void StudyPlan::plan_branch(std::size_t index) {
    const Branch& here = input.network.branches[index];
    switch (here.kind) {
    case BranchKind::bond:
    case BranchKind::strap:
    case BranchKind::joint:
    case BranchKind::output:
        plan_joint(index);
        break;
    case BranchKind::protection:
        protections.push_back(static_cast<int>(index)); // its rating comes with the design
        break;
    case BranchKind::contact:
        plan_contact(index);
        break;
    case BranchKind::coil:
    case BranchKind::suppressor:
        plan_coil(index);
        break;
    case BranchKind::load:
        plan_load(index);
        break;
    case BranchKind::diode: {
        const auto* diode = owner(here).as<Diode>();
        elements[index] = diode_element(diode->drop.value(), diode->at.value(), defaults);
        break;
    }
    case BranchKind::resistor:
    case BranchKind::shunt:
        if (const auto* resistor = owner(here).as<Resistor>()) {
            elements[index] = resistor_element(resistor->resistance.value());
        } else {
            elements[index] = resistor_element(here.part == 1 ? defaults.alternator_exciter_ohm
                                                              : defaults.alternator_field_ohm);
        }
        break;
    case BranchKind::wire:
    case BranchKind::lead:
    case BranchKind::battery:
    case BranchKind::alternator:
    case BranchKind::charger:
        break; // what they are depends on the state
    }
}

void StudyPlan::plan_joint(std::size_t index) {
    const Branch& here = input.network.branches[index];
    const auto* ground = owner(here).as<Ground>();
    const auto* strap = owner(here).as<Strap>();
    double ohm = defaults.ground_bond_ohm;
    if (here.kind == BranchKind::joint) {
        ohm = defaults.connector_ohm;
    } else if (here.kind == BranchKind::output) {
        ohm = contact_ohms(owner(here), here.part, defaults).ohm;
    } else if (strap != nullptr) {
        ohm = strap->resistance ? strap->resistance->value() : defaults.strap_ohm;
    } else if (ground != nullptr && ground->bond) {
        ohm = ground->bond->value();
    }
    elements[index] = resistor_element(ohm);
}

void StudyPlan::plan_coil(std::size_t index) {
    const Branch& here = input.network.branches[index];
    const auto* relay = owner(here).as<Relay>();
    const auto* starter = owner(here).as<Starter>();
    Element& element = elements[index];
    if (here.kind == BranchKind::suppressor) {
        const bool is_diode = suppression_of(owner(here)) == Suppression::diode;
        element = is_diode ? diode_element(defaults.diode_drop_v, defaults.diode_a, defaults)
                           : resistor_element(defaults.suppression_ohm);
    } else {
        // Its temperature depends on the state: see StateCircuit.
        const bool is_given = starter != nullptr && starter->solenoid.value() > 0.0;
        const double solenoid_ohm =
            is_given ? starter->solenoid.value() : defaults.starter_solenoid_ohm;
        const PointId place = owner(here).at;
        coils.push_back(
            {.branch = static_cast<int>(index),
             .r20_ohm = relay != nullptr ? relay_coil_ohm(*relay, defaults) : solenoid_ohm,
             .rise_k_per_w = relay != nullptr ? defaults.coil_rise_k_per_w : 0.0,
             .zone = place.is_valid() ? input.vehicle.point(place).zone : ZoneId()});
        element = resistor_element(coils.back().r20_ohm);
    }
}

void StudyPlan::plan_contact(std::size_t index) {
    const Branch& here = input.network.branches[index];
    elements[index] = resistor_element(contact_ohms(owner(here), here.part, defaults).ohm);
}

void StudyPlan::plan_load(std::size_t index) {
    const Device& device = owner(input.network.branches[index]);
    Load load;
    if (const auto* plain = device.as<Load>()) {
        load = *plain;
    } else if (const auto* sensor = device.as<Sensor>(); sensor != nullptr && sensor->draws) {
        load.draws = *sensor->draws;
    } else if (const auto* starter = device.as<Starter>()) {
        elements[index] = starter_element(*starter, defaults);
        return;
    } else {
        return; // a controller's feed: see StateCircuit
    }
    elements[index] = load_element(load, defaults);
}

void StudyPlan::plan_triggers() {
    for (std::size_t d = 0; d < input.vehicle.devices.size(); ++d) {
        const DeviceId id(d);
        if (input.vehicle.device(id).as<Controller>() != nullptr) {
            plan_controller(id);
            continue;
        }
        for (const int index : input.network.device_branches[d]) {
            switch (branch(index).kind) {
            case BranchKind::coil:
                plan_pull_in(id, index);
                break;
            case BranchKind::load:
                plan_letting_go(id, index);
                break;
            case BranchKind::battery:
                battery_triggers.push_back(static_cast<int>(triggers.size()));
                triggers.push_back({.kind = Trigger::Kind::charging,
                                    .device = id,
                                    .branch = index,
                                    .on_v = battery_band_v,
                                    .off_v = -battery_band_v});
                break;
            default:
                break;
            }
        }
    }
}

void StudyPlan::plan_pull_in(DeviceId id, int coil) {
    double pull_in = defaults.starter_pull_in_v;
    double drop_out = defaults.starter_drop_out_v;
    if (const auto* relay = input.vehicle.device(id).as<Relay>()) {
        pull_in = relay->pulls_in ? relay->pulls_in->value() : defaults.relay_pull_in_v;
        drop_out = relay->drops_out ? relay->drops_out->value() : defaults.relay_drop_out_v;
    }
    for (const int other : input.network.device_branches[id.index()]) {
        if (branch(other).kind == BranchKind::contact) {
            gates[static_cast<std::size_t>(other)] = {.trigger = static_cast<int>(triggers.size()),
                                                      .when_on = branch(other).part == 0};
        }
    }
    triggers.push_back({.kind = Trigger::Kind::coil,
                        .device = id,
                        .branch = coil,
                        .on_v = pull_in,
                        .off_v = std::min(drop_out, pull_in)});
}

void StudyPlan::plan_letting_go(DeviceId id, int index) {
    const auto* load = input.vehicle.device(id).as<Load>();
    if (load == nullptr || (load->law != LoadLaw::constant_power && load->word != "led-lamp")) {
        return;
    }
    gates[static_cast<std::size_t>(index)] = {.trigger = static_cast<int>(triggers.size())};
    if (load->law == LoadLaw::constant_power) {
        const double least = working_volts(*load, defaults);
        triggers.push_back({.kind = Trigger::Kind::supply,
                            .device = id,
                            .branch = index,
                            .on_v = least,
                            .off_v = least * (1.0 - let_go_share)});
    } else {
        triggers.push_back({.kind = Trigger::Kind::forward,
                            .device = id,
                            .branch = index,
                            .on_v = either_way_v,
                            .off_v = -either_way_v,
                            .starts_on = true});
    }
}

void StudyPlan::plan_controller(DeviceId id) {
    const auto& made = *input.vehicle.device(id).as<Controller>();
    ControllerPlan plan;
    plan.device = id;
    plan.power_w = made.draws ? made.draws->current.value() * made.draws->at.value() : 0.0;
    plan.least_v = made.needs && made.needs->value() > 0.0 ? made.needs->value()
                                                           : defaults.electronics_least_v;
    plan.sleeps_a = made.sleeps ? made.sleeps->value() : 0.0;
    std::vector<int> switched;
    std::vector<int> live;
    for (const int index : input.network.device_branches[id.index()]) {
        if (branch(index).kind == BranchKind::load) {
            const auto terminal = static_cast<std::size_t>(branch(index).part);
            (input.network.always_live[id.index()][terminal] != 0 ? live : switched)
                .push_back(index);
        }
    }
    plan.has_switched_feed = !switched.empty();
    plan.working = plan.has_switched_feed ? switched : live;
    plan.memory = live.empty() ? switched : live;
    for (const int index : plan.working) {
        plan.triggers.push_back(static_cast<int>(triggers.size()));
        triggers.push_back({.kind = Trigger::Kind::supply,
                            .device = id,
                            .branch = index,
                            .on_v = plan.least_v,
                            .off_v = plan.least_v * (1.0 - let_go_share)});
    }
    controllers.push_back(std::move(plan));
}

} // namespace loomwright
