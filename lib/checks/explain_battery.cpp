// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof of a battery: the equations of study/values.cpp with their numbers.
//
//   E = E(q) + slope (T - T_ref)
//   V = E - I R while it gives, E + I R_charge while it takes
//   I_most = (E - U_test) / R, down to the voltage of the cold cranking test (SAE J537)
//
//   E, V in V; I in A; R in ohm; q state of charge, 0..1; T in degrees Celsius
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double seconds_an_hour = 3600.0;

/// What a battery is in a state.
struct BatteryPlace {
    const Battery& battery;
    StudyDefaults defaults;
    double charge = 0.0;
    double celsius = 0.0;
    BatteryValues values;
};

BatteryPlace battery_in(Gathered& gathered, DeviceId id, StateId in) {
    const StudyInput& study = gathered.input.study;
    const Battery& battery = *study.vehicle.device(id).as<Battery>();
    const State* state = state_of(study.vehicle, in);
    const StudyDefaults defaults = gathered.defaults.in_row(gathered.battery_rows()[id.index()]);
    const double charge = battery_charge(battery, state);
    const double celsius = battery_temperature_c(battery, defaults, study.vehicle.policy, state);
    return {battery, defaults, charge, celsius, battery_values(battery, defaults, charge, celsius)};
}

void add_open_voltage(ProofSection& out, const BatteryPlace& at) {
    if (at.battery.open_voltage) {
        out.steps.push_back({"E, open-circuit voltage, as written", "",
                             show(Volts(at.values.open_v)), "the vehicle file"});
        return;
    }
    const double quarters = 4.0 * std::clamp(at.charge, 0.0, 1.0);
    const auto low = std::min(static_cast<std::size_t>(quarters), std::size_t{3});
    const double below = at.defaults.charge_v[low];
    const double above = at.defaults.charge_v[low + 1];
    const double by_charge = below + (quarters - static_cast<double>(low)) * (above - below);
    out.steps.push_back({"E(q) = E_k + (4 q - k) (E_k+1 - E_k), k quarters of a charge",
                         fmt::format("{} + (4 x {} - {}) x ({} - {})", figure(below),
                                     figure(at.charge), low, figure(above), figure(below)),
                         figure(by_charge) + " V", "tables defaults: battery-charge-0 to -100"});
    out.steps.push_back({"E = E(q) + slope (T - T_ref)",
                         fmt::format("{} + {} x ({} - {})", figure(by_charge),
                                     figure(at.defaults.battery_open_v_per_k), figure(at.celsius),
                                     figure(at.defaults.battery_c)),
                         figure(at.values.open_v) + " V",
                         "tables defaults: battery-open-circuit-slope, battery-temperature"});
}

void add_resistance(ProofSection& out, const BatteryPlace& at) {
    if (at.battery.resistance) {
        out.steps.push_back({"R while it gives, as written", "", figure(at.values.ohm) + " ohm",
                             "the vehicle file"});
        return;
    }
    const StudyDefaults& by = at.defaults;
    const double capacity_ah = at.battery.capacity.value() / seconds_an_hour;
    const double test_a = at.battery.cranking_amps ? at.battery.cranking_amps->value()
                                                   : capacity_ah * by.battery_cranking_per_ah;
    const double cold_ohm =
        (by.battery_cold_open_v() - by.battery_cranking_v) / std::max(test_a, 1.0);
    out.steps.push_back({"R_cold = (E_cold - U_test) / I_test",
                         fmt::format("({} - {}) / {}", figure(by.battery_cold_open_v()),
                                     figure(by.battery_cranking_v), figure(std::max(test_a, 1.0))),
                         figure(cold_ohm) + " ohm",
                         at.battery.cranking_amps
                             ? "the cold cranking test of SAE J537; cranking-amps"
                             : "the cold cranking test of SAE J537; tables defaults: "
                               "battery-cranking-per-ah"});
    out.steps.push_back(
        {"R = R_cold (1 + w (warm share - 1)) (1 + (flat share - 1) (1 - q)^2), "
         "w = min(1, (T - T_cold) / (T_warm - T_cold))",
         fmt::format("{} x (1 + min(1, ({} - {}) / ({} - {})) x ({} - 1)) x "
                     "(1 + ({} - 1) x (1 - {})^2)",
                     figure(cold_ohm), figure(at.celsius), figure(by.battery_cranking_c),
                     figure(by.battery_warm_c), figure(by.battery_cranking_c),
                     figure(by.battery_warm_share), figure(by.battery_flat_share),
                     figure(std::clamp(at.charge, 0.0, 1.0))),
         figure(at.values.ohm) + " ohm",
         "tables defaults: battery-warm-share, battery-flat-share; " +
             std::string(operating_point_page)});
}

void add_acceptance(ProofSection& out, const BatteryPlace& at) {
    const StudyDefaults& by = at.defaults;
    out.steps.push_back(
        {"R_charge = max((U_acc - E) / (a C), R), C in Ah, a = a_flat + q (a_full - a_flat)",
         fmt::format("max(({} - {}) / (({} + {} x ({} - {})) x {}), {})", figure(by.acceptance_v),
                     figure(at.values.open_v), figure(by.acceptance_flat), figure(at.charge),
                     figure(by.acceptance_full), figure(by.acceptance_flat),
                     figure(at.battery.capacity.value() / seconds_an_hour), figure(at.values.ohm)),
         figure(at.values.charging_ohm) + " ohm",
         "tables defaults: battery-acceptance-full, -flat, -voltage; " +
             std::string(operating_point_page)});
}

/// States in which a battery has one charge and one temperature, and so one E and R.
struct BatteryGroup {
    double charge = 0.0;
    double celsius = 0.0;
    std::vector<std::string> states;
    StateId first;
};

std::vector<BatteryGroup> battery_groups(Gathered& gathered, DeviceId id) {
    std::vector<BatteryGroup> out;
    for (const StateSolution& solution : gathered.input.sizing.states) {
        const BatteryPlace at = battery_in(gathered, id, solution.state);
        auto group = std::ranges::find_if(out, [&](const BatteryGroup& known) {
            return known.charge == at.charge && known.celsius == at.celsius;
        });
        if (group == out.end()) {
            group = out.insert(out.end(), {at.charge, at.celsius, {}, solution.state});
        }
        group->states.push_back(state_name(gathered.input.study.vehicle, solution));
    }
    return out;
}

} // namespace

void add_battery_in_state(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const StateSolution& solution = gathered.input.sizing.states[state];
    const DeviceState& is = solution.devices[id.index()];
    const std::string name = state_name(gathered.input.study.vehicle, solution);
    const BatteryPlace at = battery_in(gathered, id, solution.state);
    const bool gives = is.amps >= 0.0;
    out.steps.push_back(
        {fmt::format("{} in {}", gives ? "V = E - I R" : "V = E + I R_charge", name),
         fmt::format("{} {} {} x {}", figure(at.values.open_v), gives ? "-" : "+",
                     figure(std::abs(is.amps)),
                     figure(gives ? at.values.ohm : at.values.charging_ohm)),
         figure(is.volts) + " V",
         gives ? "it gives; operating point, " + std::string(operating_point_page)
               : "it is charged; operating point, " + std::string(operating_point_page)});
    out.steps.push_back(
        {"I_most = (E - U_test) / R in " + name,
         fmt::format("({} - {}) / {}", figure(at.values.open_v),
                     figure(at.defaults.battery_cranking_v), figure(at.values.ohm)),
         figure(battery_most_a(at.values, at.defaults)) + " A",
         "what it can give down to the voltage of the cold cranking test, SAE J537"});
    if (is.amps > negligible_a) {
        const double seconds = at.charge * at.battery.capacity.value() / is.amps;
        out.steps.push_back({"flat after q C / I in " + name,
                             fmt::format("{} x {} / {}", figure(at.charge),
                                         figure(at.battery.capacity.value()), figure(is.amps)),
                             show(Seconds(seconds)), "C in A s; docs/method/energy.md"});
    }
}

std::vector<ProofSection> prove_battery(Gathered& gathered, DeviceId id) {
    std::vector<ProofSection> out;
    for (const BatteryGroup& group : battery_groups(gathered, id)) {
        const BatteryPlace at = battery_in(gathered, id, group.first);
        out.push_back({fmt::format("At a charge of {} and {}, in {}", show_percent(at.charge),
                                   show(Celsius(at.celsius)), list_of(group.states)),
                       {}});
        add_open_voltage(out.back(), at);
        add_resistance(out.back(), at);
        add_acceptance(out.back(), at);
    }
    return out;
}

} // namespace loomwright
