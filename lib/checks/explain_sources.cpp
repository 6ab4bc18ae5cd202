// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of alternators and chargers, and of all sources state by state: the equations of
// study/values.cpp and the laws of docs/method/operating-point.md, with their numbers.
//
//   V = U - I R until I is all that it can give
//
//   U, V in V; I in A; R in ohm; T in degrees Celsius
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// A current, or a voltage, this near to a limit is the limit.
constexpr double at_limit = 1.0 - 1e-6;

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
        out.steps.push_back({"share = I / I_most in " + is.name,
                             fmt::format("{} / {}", figure(is.amps), figure(most_a)),
                             show_percent(is.amps / most_a),
                             "operating point, " + std::string(operating_point_page)});
    }
    if (most_a > 0.0 && is.amps >= most_a * at_limit) {
        out.steps.push_back({"V at its limit in " + is.name,
                             fmt::format("{} and no more: what batteries and loads make of it",
                                         show(Amps(is.amps))),
                             figure(is.volts) + " V",
                             "its limit decides; " + std::string(operating_point_page)});
    } else if (is.amps > negligible_a) {
        out.steps.push_back(
            {"V = U - I R in " + is.name,
             fmt::format("{} - {} x {}", figure(regulates_v), figure(is.amps), figure(ohm)),
             figure(is.volts) + " V",
             "its regulator decides; " + std::string(operating_point_page)});
    } else if (is.volts * at_limit <= regulates_v) {
        out.steps.push_back({"V, with nothing given, in " + is.name,
                             "nothing draws on it: its own of " + figure(regulates_v) + " V",
                             figure(is.volts) + " V",
                             "its regulator decides; " + std::string(operating_point_page)});
    } else {
        out.steps.push_back({"V, with nothing given, in " + is.name,
                             "the voltage is over its own of " + figure(regulates_v) + " V",
                             figure(is.volts) + " V",
                             "others decide; " + std::string(operating_point_page)});
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
        !is_idle       ? figure(rated)
        : made.at_idle ? figure(made.at_idle->value())
                       : fmt::format("({} x {})", figure(rated), figure(by.alternator_idle_share));
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
                             fmt::format("{} x {}", figure(most_a / speed_a), at_speed),
                             show(Amps(most_a)), source});
        return;
    }
    out.steps.push_back(
        {fmt::format(
             "I_most = I_n (1 - (1 - hot share) max(0, (T - T_cool) / (T_hot - T_cool))) in {}",
             state.name),
         fmt::format("{} x (1 - (1 - {}) x max(0, ({} - {}) / ({} - {})))", at_speed, figure(share),
                     figure(air), figure(by.alternator_cool_c), figure(by.alternator_hot_c),
                     figure(by.alternator_cool_c)),
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

} // namespace

void add_source_in_state(ProofSection& out, Gathered& gathered, DeviceId id, std::size_t state) {
    const Device& device = gathered.input.study.vehicle.device(id);
    if (device.as<Battery>() != nullptr) {
        add_battery_in_state(out, gathered, id, state);
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
        out = prove_battery(gathered, id);
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
