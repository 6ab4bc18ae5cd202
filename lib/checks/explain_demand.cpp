// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a load takes in each state: the law of its kind with its numbers
// (docs/method/operating-point.md).
//
//   resistance        I = level I0 V / V0
//   constant current  I = level I0            above its knee
//   constant power    I = level P / V         P = I0 V0
//   lamp              I = level I0 (V / V0)^0.55
//
//   I0 at V0 as the file has them; level the share of its demand that a state sets
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// What a law gives must be what was solved; else the state has something else in mind with it.
constexpr double same_current = 1e-6;

/// A load as its law sees it.
struct Demanded {
    LoadLaw law = LoadLaw::resistance;
    double amps = 0.0;
    double volts = 0.0; ///< at which it takes those
    double level = 1.0;
};

/// The law with its numbers at a voltage.
struct LawStep {
    std::string formula;
    std::string with;
    double amps = 0.0;
};

LawStep law_at(const Demanded& it, double volts) {
    const std::string level = it.level == 1.0 ? "" : figure(it.level) + " x ";
    const std::string symbol = it.level == 1.0 ? "" : "level ";
    const double scale = it.level * it.amps;
    switch (it.law) {
    case LoadLaw::resistance:
        return {
            fmt::format("I = {}I0 V / V0", symbol),
            fmt::format("{}{} x {} / {}", level, figure(it.amps), figure(volts), figure(it.volts)),
            scale * volts / it.volts};
    case LoadLaw::constant_current:
        return {fmt::format("I = {}I0", symbol), level + figure(it.amps), scale};
    case LoadLaw::constant_power:
        return {
            fmt::format("I = {}I0 V0 / V", symbol),
            fmt::format("{}{} x {} / {}", level, figure(it.amps), figure(it.volts), figure(volts)),
            scale * it.volts / volts};
    case LoadLaw::lamp:
        return {fmt::format("I = {}I0 (V / V0)^0.55", symbol),
                fmt::format("{}{} x ({} / {})^0.55", level, figure(it.amps), figure(volts),
                            figure(it.volts)),
                scale * std::pow(volts / it.volts, 0.55)};
    }
    return {};
}

std::optional<Demanded> demanded_by(const Gathered& gathered, const Device& device) {
    const auto of = [&](LoadLaw law, const Demand& draws) {
        return Demanded{law, draws.current.value(),
                        draws.at.value() > 0.0 ? draws.at.value() : gathered.defaults.rated_v, 1.0};
    };
    if (const auto* load = device.as<Load>()) {
        return of(load->law, load->draws);
    }
    if (const auto* starter = device.as<Starter>()) {
        return of(LoadLaw::constant_current, starter->draws);
    }
    const auto* sensor = device.as<Sensor>();
    return sensor != nullptr && sensor->draws
               ? std::optional(of(LoadLaw::resistance, *sensor->draws))
               : std::nullopt;
}

double level_in(const Vehicle& vehicle, DeviceId id, StateId in) {
    const State* state = state_of(vehicle, in);
    double level = 1.0;
    for (std::size_t k = 0; state != nullptr && k < state->settings.size(); ++k) {
        const Setting& setting = state->settings[k];
        if (setting.device == id && setting.is_level) {
            level = setting.level;
        }
    }
    return level;
}

void add_state(ProofSection& out, const std::optional<Demanded>& demanded, const DeviceState& is,
               const std::string& state) {
    const double volts = std::abs(is.volts);
    const std::string words = is.on ? "it works" : "it does not work";
    if (demanded && volts > 0.0 && demanded->volts > 0.0) {
        const LawStep law = law_at(*demanded, volts);
        if (std::abs(law.amps - std::abs(is.amps)) <= same_current * std::abs(is.amps)) {
            out.steps.push_back({fmt::format("{} in {}", law.formula, state), law.with,
                                 show(Amps(law.amps)),
                                 fmt::format("{} at {}; operating point, {}", words,
                                             show(Volts(volts)), operating_point_page)});
            return;
        }
    }
    out.steps.push_back({fmt::format("current taken in {}", state),
                         fmt::format("at {}", show(Volts(is.volts))), show(Amps(is.amps)),
                         fmt::format("{}; operating point, {}", words, operating_point_page)});
}

} // namespace

ProofSection explain_demand(Gathered& gathered, DeviceId id) {
    const Vehicle& vehicle = gathered.input.study.vehicle;
    std::optional<Demanded> demanded = demanded_by(gathered, vehicle.device(id));
    ProofSection out{"Current in each state", {}};
    for (const StateSolution& solution : gathered.input.sizing.states) {
        const DeviceState& is = solution.devices[id.index()];
        if (!solution.converged || std::abs(is.amps) <= negligible_a) {
            continue;
        }
        if (demanded) {
            demanded->level = level_in(vehicle, id, solution.state);
        }
        add_state(out, demanded, is, state_name(vehicle, solution));
    }
    if (out.steps.empty()) {
        const AnsweredStates states = answered_states(gathered.input.study, gathered.input.sizing);
        out.steps.push_back({"current taken in " + states.every, "", states.none(),
                             "operating point, " + std::string(operating_point_page)});
    }
    return out;
}

} // namespace loomwright
