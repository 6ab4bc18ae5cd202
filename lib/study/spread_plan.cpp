// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What varies, by the rows of the table `spreads`: see docs/method/spread.md.
//
//   wire           R = R_nominal(T) x length x conductor      length by wire, conductor by size
//   contact, bond  R = R_nominal x f
//   fuse           R = R_element x f1 + R_holder x f2
//   load           I(v) = I_nominal(v) x f
//   battery        E, R of its charge, temperature and age, each drawn
//   regulator      U = U_nominal + dU, limit x f
#include "study/spread_plan.hpp"

#include "loom/routing.hpp"

#include <algorithm>
#include <utility>

namespace loomwright {

const char* contact_spread_row(const Device& device) {
    if (device.as<Switch>() != nullptr) {
        return "switch-contact";
    }
    return device.as<Starter>() != nullptr ? "starter-contact" : "relay-contact";
}

const char* load_spread_row(const Device& device) {
    if (device.as<Controller>() != nullptr) {
        return "electronics";
    }
    if (device.as<Starter>() != nullptr) {
        return "starter";
    }
    const auto* load = device.as<Load>();
    switch (load != nullptr ? load->law : LoadLaw::resistance) {
    case LoadLaw::lamp:
        return "lamp";
    case LoadLaw::constant_current:
        return "motor";
    case LoadLaw::constant_power:
        return "electronics";
    case LoadLaw::resistance:
        break;
    }
    return "heater";
}

SpreadPlan::SpreadPlan(const StudyPlan& plan, const SpreadTable& table, const State* state)
    : plan_(plan), table_(table), state_(state), conductor_(&table.row("conductor")),
      battery_volts_(&table.row("battery-voltage")), battery_charge_(&table.row("battery-charge")),
      battery_resistance_(&table.row("battery-resistance")),
      battery_temperature_(&table.row("battery-temperature")), air_spread_(&table.row("air")) {
    for (std::size_t i = 0; i < plan.input.network.branches.size(); ++i) {
        plan_branch(static_cast<int>(i));
    }
    for (Spool& spool : spools_) {
        spool.number = next();
    }
    air_ = next();
}

void SpreadPlan::add(int branch, Target target, const char* name, double share) {
    items_.push_back({.spread = &table_.row(name),
                      .number = next(),
                      .branch = branch,
                      .target = target,
                      .share = share});
}

void SpreadPlan::plan_branch(int branch) {
    const Branch& here = branch_of(branch);
    switch (here.kind) {
    case BranchKind::wire: {
        const LengthSource from = plan_.input.routing.wires[here.wire.index()].source;
        const bool is_known = from == LengthSource::measured || from == LengthSource::written ||
                              from == LengthSource::routed;
        add(branch, Target::resistance, is_known ? "wire-length" : "wire-length-estimated");
        add_to_spool(plan_.wires[here.wire.index()].conductor, false, branch);
        break;
    }
    case BranchKind::lead:
        plan_lead(branch);
        break;
    case BranchKind::bond:
        add(branch, Target::resistance, "ground-bond");
        break;
    case BranchKind::strap:
        add(branch, Target::resistance, "strap");
        break;
    case BranchKind::joint:
        add(branch, Target::resistance, "connector-contact");
        break;
    case BranchKind::output:
        add(branch, Target::resistance, "controller-output");
        break;
    case BranchKind::contact:
        add(branch, Target::resistance,
            contact_spread_row(plan_.input.vehicle.device(here.device)));
        break;
    case BranchKind::protection:
        plan_protection(branch);
        break;
    case BranchKind::coil:
        add(branch, Target::resistance, "coil");
        break;
    case BranchKind::load:
        plan_load(branch);
        break;
    case BranchKind::battery:
        plan_battery(branch);
        break;
    case BranchKind::alternator:
    case BranchKind::charger:
        add(branch, Target::emf, "regulator",
            plan_.input.vehicle.nominal.value() / spread_nominal_v);
        add(branch, Target::demand, "alternator-current");
        break;
    case BranchKind::suppressor:
    case BranchKind::diode:
    case BranchKind::resistor:
    case BranchKind::shunt:
        break; // taken as nominal
    }
}

void SpreadPlan::plan_protection(int branch) {
    const auto* made = plan_.input.vehicle.device(branch_of(branch).device).as<Protection>();
    const double siemens = plan_.elements[static_cast<std::size_t>(branch)].a;
    // A resistance of the user's own, or a link crimped in, has no holder.
    const bool has_holder = !made->resistance && !made->link;
    const double holder =
        has_holder ? std::min(plan_.defaults.fuse_holder_ohm * siemens, 1.0) : 0.0;
    add(branch, Target::resistance, "fuse", 1.0 - holder);
    add(branch, Target::resistance, "fuse-holder", holder);
}

void SpreadPlan::plan_load(int branch) {
    const Branch& here = branch_of(branch);
    const Device& device = plan_.input.vehicle.device(here.device);
    // The feeds of a controller carry parts of one draw.
    const auto is_same = [&](const Item& item) {
        return item.target == Target::demand && branch_of(item.branch).device == here.device;
    };
    const auto before = device.as<Controller>() != nullptr
                            ? std::ranges::find_if(items_.rbegin(), items_.rend(), is_same)
                            : items_.rend();
    if (before != items_.rend()) {
        Item item = *before;
        item.branch = branch;
        items_.push_back(item);
        return;
    }
    add(branch, Target::demand, load_spread_row(device));
}

void SpreadPlan::plan_lead(int branch) {
    const Branch& here = branch_of(branch);
    const Vehicle& vehicle = plan_.input.vehicle;
    const LeadRef ref = supplied_lead(vehicle, {.device = here.device, .terminal = here.part});
    const SuppliedHarness& harness = vehicle.supplied[static_cast<std::size_t>(ref.harness)];
    const SuppliedLead& lead = harness.leads[static_cast<std::size_t>(ref.lead)];
    add(branch, Target::resistance, "wire-length");
    add_to_spool(plan_.input.catalogue.find_conductor(lead.size), true, branch);
    WireRoute place;
    if (harness.from.is_valid()) {
        place.hottest = vehicle.point(harness.from).zone;
    }
    leads_.push_back({branch, air_of(vehicle, plan_.input.catalogue, place, state_).value()});
}

void SpreadPlan::add_to_spool(const Conductor* conductor, bool is_supplied, int branch) {
    auto found = std::ranges::find_if(spools_, [&](const Spool& spool) {
        return spool.conductor == conductor && spool.is_supplied == is_supplied;
    });
    if (found == spools_.end()) {
        spools_.push_back({.conductor = conductor, .is_supplied = is_supplied});
        found = spools_.end() - 1;
    }
    found->branches.push_back(branch);
}

void SpreadPlan::plan_battery(int branch) {
    const DeviceId id = branch_of(branch).device;
    const auto& battery = *plan_.input.vehicle.device(id).as<Battery>();
    const int in_row = std::max(plan_.battery_rows[id.index()], 1);
    batteries_.push_back(
        {.battery = &battery,
         .defaults = plan_.defaults.in_row(in_row),
         .charge = battery_charge(battery, state_),
         .temperature_c =
             battery_temperature_c(battery, plan_.defaults, plan_.input.vehicle.policy, state_),
         .volts_scale = plan_.input.vehicle.nominal.value() / spread_nominal_v / in_row,
         .number = next()});
    count_ += 3; // charge, resistance and temperature follow
}

BatteryValues SpreadPlan::battery_of(const BatteryPlan& plan, const BatteryValues& nominal,
                                     Draws& draws) const {
    const double volts = plan.volts_scale * draws.draw(*battery_volts_, plan.number);
    const double charge = draws.draw(*battery_charge_, plan.number + 1);
    const double factor = draws.draw(*battery_resistance_, plan.number + 2);
    const double warmth = draws.draw(*battery_temperature_, plan.number + 3);
    BatteryValues out = nominal;
    if (charge != 0.0 || warmth != 0.0) {
        out =
            battery_values(*plan.battery, plan.defaults, std::clamp(plan.charge + charge, 0.0, 1.0),
                           plan.temperature_c + warmth);
    }
    out.open_v += volts;
    out.ohm *= factor;
    out.charging_ohm *= factor;
    return out;
}

void SpreadPlan::apply(Draws& draws, const std::vector<BatteryValues>& nominal,
                       StateCircuit& circuit) const {
    std::vector<BranchVariation>& out = circuit.variation;
    out.assign(plan_.elements.size(), {});
    for (const Item& item : items_) {
        BranchVariation& here = out[static_cast<std::size_t>(item.branch)];
        const double drawn = draws.draw(*item.spread, item.number);
        switch (item.target) {
        case Target::resistance:
            here.resistance += item.share * (drawn - 1.0);
            break;
        case Target::demand:
            here.demand = drawn;
            break;
        case Target::emf:
            here.emf_v = item.share * drawn;
            break;
        }
    }
    for (const Spool& spool : spools_) {
        const double drawn = draws.draw(*conductor_, spool.number);
        for (const int branch : spool.branches) {
            out[static_cast<std::size_t>(branch)].resistance *= drawn;
            out[static_cast<std::size_t>(branch)].per_metre = drawn;
        }
    }
    circuit.air_shift_k = draws.draw(*air_spread_, air_);
    for (const Lead& lead : leads_) {
        const Celsius air(lead.air_c);
        out[static_cast<std::size_t>(lead.branch)].resistance *=
            resistance_at(1.0, air + Kelvins(circuit.air_shift_k)) / resistance_at(1.0, air);
    }
    for (std::size_t k = 0; k < batteries_.size(); ++k) {
        circuit.batteries[k] = battery_of(batteries_[k], nominal[k], draws);
    }
}

} // namespace loomwright
