// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of batteries, alternators and chargers: the equations of study/values.cpp and the laws
// of docs/method/operating-point.md, with their numbers.
//
//   battery     E = E(q) + slope (T - T_ref);  V = E - I R while it gives, E + I R_charge while it
//               takes
//   alternator  V = U - I R until I is all that it can give
//
//   E, U, V in V; I in A; R in ohm; q state of charge, 0..1; T in degrees Celsius
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::string_view page = "docs/method/operating-point.md";
constexpr double seconds_an_hour = 3600.0;
constexpr double nothing_a = 1e-6;
/// A current this near to a limit is the limit.
constexpr double at_limit = 1.0 - 1e-6;

std::string n(double value, int digits = 5) {
    return figure(value, digits);
}

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
                         fmt::format("{} + (4 x {} - {}) x ({} - {})", n(below), n(at.charge), low,
                                     n(above), n(below)),
                         n(by_charge) + " V", "tables defaults: battery-charge-0 to -100"});
    out.steps.push_back(
        {"E = E(q) + slope (T - T_ref)",
         fmt::format("{} + {} x ({} - {})", n(by_charge), n(at.defaults.battery_open_v_per_k),
                     n(at.celsius), n(at.defaults.battery_c)),
         n(at.values.open_v) + " V",
         "tables defaults: battery-open-circuit-slope, battery-temperature"});
}

void add_resistance(ProofSection& out, const BatteryPlace& at) {
    if (at.battery.resistance) {
        out.steps.push_back(
            {"R while it gives, as written", "", n(at.values.ohm) + " ohm", "the vehicle file"});
        return;
    }
    const StudyDefaults& by = at.defaults;
    const double capacity_ah = at.battery.capacity.value() / seconds_an_hour;
    const double test_a = at.battery.cranking_amps ? at.battery.cranking_amps->value()
                                                   : capacity_ah * by.battery_cranking_per_ah;
    const double cold_ohm =
        (by.battery_cold_open_v() - by.battery_cranking_v) / std::max(test_a, 1.0);
    out.steps.push_back({"R_cold = (E_cold - U_test) / I_test",
                         fmt::format("({} - {}) / {}", n(by.battery_cold_open_v()),
                                     n(by.battery_cranking_v), n(std::max(test_a, 1.0))),
                         n(cold_ohm) + " ohm",
                         at.battery.cranking_amps
                             ? "the cold cranking test of SAE J537; cranking-amps"
                             : "the cold cranking test of SAE J537; tables defaults: "
                               "battery-cranking-per-ah"});
    out.steps.push_back(
        {"R = R_cold (1 + w (warm share - 1)) (1 + (flat share - 1) (1 - q)^2), "
         "w = min(1, (T - T_cold) / (T_warm - T_cold))",
         fmt::format("{} x (1 + min(1, ({} - {}) / ({} - {})) x ({} - 1)) x "
                     "(1 + ({} - 1) x (1 - {})^2)",
                     n(cold_ohm), n(at.celsius), n(by.battery_cranking_c), n(by.battery_warm_c),
                     n(by.battery_cranking_c), n(by.battery_warm_share), n(by.battery_flat_share),
                     n(std::clamp(at.charge, 0.0, 1.0))),
         n(at.values.ohm) + " ohm",
         "tables defaults: battery-warm-share, battery-flat-share; " + std::string(page)});
}

void add_acceptance(ProofSection& out, const BatteryPlace& at) {
    const StudyDefaults& by = at.defaults;
    out.steps.push_back(
        {"R_charge = max((U_acc - E) / (a C), R), C in Ah, a = a_flat + q (a_full - a_flat)",
         fmt::format("max(({} - {}) / (({} + {} x ({} - {})) x {}), {})", n(by.acceptance_v),
                     n(at.values.open_v), n(by.acceptance_flat), n(at.charge),
                     n(by.acceptance_full), n(by.acceptance_flat),
                     n(at.battery.capacity.value() / seconds_an_hour), n(at.values.ohm)),
         n(at.values.charging_ohm) + " ohm",
         "tables defaults: battery-acceptance-full, -flat, -voltage; " + std::string(page)});
}

/// Current and voltage of a source in a state, and what the two follow.
struct SourceInState {
    std::string name; ///< of the state
    double amps = 0.0;
    double volts = 0.0;
};

SourceInState source_in(const Gathered& gathered, DeviceId id, std::size_t state) {
    const StateSolution& solution = gathered.input.sizing.states[state];
    const DeviceState& is = solution.devices[id.index()];
    return {state_name(gathered.input.study.vehicle, solution), is.amps, is.volts};
}

void add_battery(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const SourceInState is = source_in(gathered, id, state);
    const BatteryPlace at = battery_in(gathered, id, gathered.input.sizing.states[state].state);
    const bool gives = is.amps >= 0.0;
    out.steps.push_back(
        {fmt::format("{} in {}", gives ? "V = E - I R" : "V = E + I R_charge", is.name),
         fmt::format("{} {} {} x {}", n(at.values.open_v), gives ? "-" : "+", n(std::abs(is.amps)),
                     n(gives ? at.values.ohm : at.values.charging_ohm)),
         n(is.volts) + " V",
         gives ? "it gives; operating point, " + std::string(page)
               : "it is charged; operating point, " + std::string(page)});
    if (is.amps > nothing_a) {
        const double seconds = at.charge * at.battery.capacity.value() / is.amps;
        out.steps.push_back(
            {"flat after q C / I in " + is.name,
             fmt::format("{} x {} / {}", n(at.charge), n(at.battery.capacity.value()), n(is.amps)),
             show(Seconds(seconds)), "C in A s; docs/method/energy.md"});
    }
}

/// An alternator that does not turn, a charger that is not plugged in.
bool is_at_rest(const Gathered& gathered, DeviceId id, const StateSolution& solution) {
    const Device& device = gathered.input.study.vehicle.device(id);
    if (device.as<Alternator>() != nullptr) {
        return solution.devices[id.index()].most_a <= 0.0;
    }
    const auto& branches = gathered.input.study.network.device_branches[id.index()];
    return device.as<Charger>() != nullptr && std::ranges::none_of(branches, [&](int at) {
               return solution.closed[static_cast<std::size_t>(at)] != 0;
           });
}

void add_rest(ProofSection& out, const Device& device, const std::string& states) {
    out.steps.push_back(
        {"I given in " + states,
         device.as<Charger>() != nullptr ? "it is not plugged in" : "the engine does not turn it",
         "none", "the vehicle file, states"});
}

/// How its current and voltage in a state come about, for a source with a regulator and a limit.
void add_regulated(ProofSection& out, const SourceInState& is, double most_a, double regulates_v,
                   double ohm) {
    if (most_a > 0.0) {
        out.steps.push_back(
            {"share = I / I_most in " + is.name, fmt::format("{} / {}", n(is.amps), n(most_a)),
             show_percent(is.amps / most_a), "operating point, " + std::string(page)});
    }
    if (most_a > 0.0 && is.amps >= most_a * at_limit) {
        out.steps.push_back({"V at its limit in " + is.name,
                             fmt::format("{} and no more: what batteries and loads make of it",
                                         show(Amps(is.amps))),
                             n(is.volts) + " V", "its limit decides; " + std::string(page)});
    } else if (is.amps > nothing_a) {
        out.steps.push_back({"V = U - I R in " + is.name,
                             fmt::format("{} - {} x {}", n(regulates_v), n(is.amps), n(ohm)),
                             n(is.volts) + " V", "its regulator decides; " + std::string(page)});
    } else {
        out.steps.push_back({"V, with nothing given, in " + is.name,
                             "the voltage is over its own of " + n(regulates_v) + " V",
                             n(is.volts) + " V", "others decide; " + std::string(page)});
    }
}

/// What an alternator can give: limit x its share in warm air.
void add_alternator_limit(ProofSection& out, const Gathered& gathered, DeviceId id,
                          const State& state, double most_a) {
    const StudyInput& study = gathered.input.study;
    const Alternator& made = *study.vehicle.device(id).as<Alternator>();
    const StudyDefaults& by = gathered.defaults;
    const bool is_idle = state.engine == EngineCondition::idle;
    const double rated = made.rated.value();
    const double share =
        made.when_hot && rated > 0.0 ? made.when_hot->value() / rated : by.alternator_hot_share;
    const std::string at_speed =
        !is_idle       ? n(rated)
        : made.at_idle ? n(made.at_idle->value())
                       : fmt::format("({} x {})", n(rated), n(by.alternator_idle_share));
    const double speed_a = !is_idle       ? rated
                           : made.at_idle ? made.at_idle->value()
                                          : rated * by.alternator_idle_share;
    const double air = device_air(study, id, &state).value();
    const double heat = (air - by.alternator_cool_c) / (by.alternator_hot_c - by.alternator_cool_c);
    const double kept = 1.0 - (1.0 - share) * std::max(heat, 0.0);
    const std::string source =
        fmt::format("{}; tables defaults: alternator-cool, -hot, -hot-share, -idle-share",
                    is_idle ? "at idle" : "at speed");
    if (std::abs(kept * speed_a - most_a) > 1e-9 * speed_a) {
        out.steps.push_back({"I_most = the least share x I_n in " + state.name,
                             fmt::format("{} x {}", n(most_a / speed_a), at_speed),
                             show(Amps(most_a)), source});
        return;
    }
    out.steps.push_back(
        {fmt::format(
             "I_most = I_n (1 - (1 - hot share) max(0, (T - T_cool) / (T_hot - T_cool))) in {}",
             state.name),
         fmt::format("{} x (1 - (1 - {}) x max(0, ({} - {}) / ({} - {})))", at_speed, n(share),
                     n(air), n(by.alternator_cool_c), n(by.alternator_hot_c),
                     n(by.alternator_cool_c)),
         show(Amps(most_a)), source});
}

void add_alternator(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const StudyInput& study = gathered.input.study;
    const StateSolution& solution = gathered.input.sizing.states[state];
    const Alternator& made = *study.vehicle.device(id).as<Alternator>();
    const SourceInState is = source_in(gathered, id, state);
    const double most_a = solution.devices[id.index()].most_a;
    const State* written = state_of(study.vehicle, solution.state);
    if (is_at_rest(gathered, id, solution) || written == nullptr) {
        add_rest(out, study.vehicle.device(id), is.name);
        return;
    }
    add_alternator_limit(out, gathered, id, *written, most_a);
    add_regulated(out, is, most_a, made.regulates.value(),
                  made.resistance ? made.resistance->value() : gathered.defaults.alternator_ohm);
}

void add_charger(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const StateSolution& solution = gathered.input.sizing.states[state];
    const Charger& made = *gathered.input.study.vehicle.device(id).as<Charger>();
    const SourceInState is = source_in(gathered, id, state);
    if (is_at_rest(gathered, id, solution)) {
        add_rest(out, gathered.input.study.vehicle.device(id), is.name);
        return;
    }
    add_regulated(out, is, made.limit.value(), made.regulates.value(),
                  gathered.defaults.charger_ohm);
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

void add_source_in_state(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const Device& device = gathered.input.study.vehicle.device(id);
    if (device.as<Battery>() != nullptr) {
        add_battery(out, gathered, id, state);
    } else if (device.as<Alternator>() != nullptr) {
        add_alternator(out, gathered, id, state);
    } else if (device.as<Charger>() != nullptr) {
        add_charger(out, gathered, id, state);
    }
}

std::vector<ProofSection> explain_source(Gathered& gathered, DeviceId id) {
    std::vector<ProofSection> out;
    const Device& device = gathered.input.study.vehicle.device(id);
    if (device.as<Battery>() != nullptr) {
        for (const BatteryGroup& group : battery_groups(gathered, id)) {
            const BatteryPlace at = battery_in(gathered, id, group.first);
            out.push_back({fmt::format("At a charge of {} and {}, in {}", show_percent(at.charge),
                                       show(Celsius(at.celsius)), list_of(group.states)),
                           {}});
            add_open_voltage(out.back(), at);
            add_resistance(out.back(), at);
            add_acceptance(out.back(), at);
        }
    }
    ProofSection states{"In each state", {}};
    std::vector<std::string> at_rest;
    for (std::size_t s = 0; s < gathered.input.sizing.states.size(); ++s) {
        const StateSolution& solution = gathered.input.sizing.states[s];
        if (solution.converged && is_at_rest(gathered, id, solution)) {
            at_rest.push_back(state_name(gathered.input.study.vehicle, solution));
        } else if (solution.converged) {
            add_source_in_state(states, gathered, id, s);
        }
    }
    if (!at_rest.empty()) {
        add_rest(states, device, list_of(at_rest));
    }
    out.push_back(std::move(states));
    return out;
}

} // namespace loomwright
