// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The coil of a relay or starter, state by state.
//
//   T = T_air + k V I                       k kelvin for each watt; 0 for what works for moments
//   R(T) = R20 (1 + 0.00393 (T - 20 C))     copper by IEC 60028
//   V = I R(T)
//   U_in(T) = U_in(20 C) (1 + 0.00393 (T - 20 C))      a coil pulls at a current
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {
namespace {

/// A coil as it is built, by its ratings.
struct CoilRatings {
    double r20_ohm = 0.0;
    double rise_k_per_w = 0.0;
    double pulls_in_v = 0.0; ///< at 20 C
    std::string source;
};

CoilRatings coil_ratings(const Gathered& gathered, const Device& device) {
    const StudyDefaults& by = gathered.defaults;
    if (const auto* relay = device.as<Relay>()) {
        return {relay_coil_ohm(*relay, by), by.coil_rise_k_per_w,
                relay->pulls_in ? relay->pulls_in->value() : by.relay_pull_in_v,
                relay->pulls_in ? "the vehicle file" : "tables defaults, relay-pull-in"};
    }
    const auto* starter = device.as<Starter>();
    const bool is_given = starter != nullptr && starter->solenoid.value() > 0.0;
    return {is_given ? starter->solenoid.value() : by.starter_solenoid_ohm, 0.0,
            by.starter_pull_in_v, "tables defaults, starter-pull-in"};
}

/// Air round the coil, degrees Celsius.
double coil_air_c(const Gathered& gathered, const Device& device, const State* state) {
    if (state != nullptr && state->air) {
        return state->air->value();
    }
    const Vehicle& vehicle = gathered.input.study.vehicle;
    const ZoneId zone = device.at.is_valid() ? vehicle.point(device.at).zone : ZoneId();
    return zone.is_valid() ? vehicle.zone(zone).air.value() : gathered.defaults.coil_temperature_c;
}

void add_state(ProofSection& out, const CoilRatings& coil, const DeviceState& is, double air_c,
               const std::string& state) {
    const double ohm = is.coil_volts / is.coil_amps;
    const double volts = std::abs(is.coil_volts);
    const std::string over = fmt::format("(1 + 0.00393 x ({} - 20))", figure(is.coil_c));
    if (coil.rise_k_per_w > 0.0) {
        out.steps.push_back(
            {"T = T_air + k V I, the winding in " + state,
             fmt::format("{} + {} x {} x {}", figure(air_c), figure(coil.rise_k_per_w),
                         figure(volts), figure(std::abs(is.coil_amps))),
             figure(is.coil_c) + " C",
             "tables defaults, coil-rise; settled to 0.01 K; " +
                 std::string(from_operating_point)});
    } else {
        out.steps.push_back({"T = T_air, the winding in " + state, "it works for moments",
                             figure(is.coil_c) + " C", std::string(from_operating_point)});
    }
    out.steps.push_back({"R(T) = R20 (1 + 0.00393 (T - 20))",
                         fmt::format("{} x {}", figure(coil.r20_ohm), over), figure(ohm) + " ohm",
                         "copper by IEC 60028"});
    out.steps.push_back({"V = I R(T) in " + state,
                         fmt::format("{} x {}", figure(std::abs(is.coil_amps)), figure(ohm)),
                         figure(volts) + " V", std::string(from_operating_point)});
    out.steps.push_back({"U_in(T) = U_in(20 C) (1 + 0.00393 (T - 20))",
                         fmt::format("{} x {}", figure(coil.pulls_in_v), over),
                         figure(is.pull_in_v) + " V", coil.source + "; a coil pulls at a current"});
    out.steps.push_back({fmt::format("U_in(T) <= V in {}, where it is {}", state,
                                     is.on ? "pulled in" : "dropped out"),
                         fmt::format("{} <= {}", figure(is.pull_in_v), figure(volts)),
                         within(is.pull_in_v, volts),
                         is.on ? "what is in stays in down to its drop-out voltage"
                               : std::string(from_operating_point)});
}

} // namespace

ProofSection explain_coil(Gathered& gathered, DeviceId id) {
    const Vehicle& vehicle = gathered.input.study.vehicle;
    const Device& device = vehicle.device(id);
    const CoilRatings coil = coil_ratings(gathered, device);
    ProofSection out{"Coil", {}};
    std::vector<std::string> without;
    for (const StateSolution& solution : gathered.input.sizing.states) {
        const std::string name = state_name(vehicle, solution);
        const DeviceState& is = solution.devices[id.index()];
        if (!solution.converged || std::abs(is.coil_amps) <= negligible_a) {
            without.push_back(name);
            continue;
        }
        add_state(out, coil, is, coil_air_c(gathered, device, state_of(vehicle, solution.state)),
                  name);
    }
    if (!without.empty()) {
        out.steps.push_back({"current of the coil in " + list_of(without), "", "none",
                             std::string(from_operating_point)});
    }
    return out;
}

} // namespace loomwright
