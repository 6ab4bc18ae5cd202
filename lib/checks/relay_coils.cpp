// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// relay-pull-in: relays whose coil has current but too little voltage, and relays that hold but
// would not come in again as warm as they are.
//
//   U_in(T) = U_in(20 C) (1 + 0.00393 (T - 20 C))      a coil pulls at a current
//
// T from the air of the relay's place and its own watts (docs/method/operating-point.md).
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {
namespace {

/// A coil with less than this share of its pull-in voltage is switched off, or fed by a trickle
/// through a lamp: nobody wants it in.
constexpr double fed_share = 0.5;

struct Weakest {
    const StateSolution* state = nullptr;
    double volts = 0.0;
    double lacking_v = 0.0;
};

void note(Weakest& weakest, const StateSolution& solution, const DeviceState& is) {
    const double volts = std::abs(is.coil_volts);
    const double lacking = is.pull_in_v - volts;
    if (lacking > 0.0 && (weakest.state == nullptr || lacking > weakest.lacking_v)) {
        weakest = {&solution, volts, lacking};
    }
}

void add_weak(const CheckInput& input, std::size_t place, const Weakest& weakest, bool holds,
              Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& device = vehicle.devices[place];
    const DeviceState& is = weakest.state->devices[place];
    const std::string state = state_name(vehicle, *weakest.state);
    Finding& finding = findings.add(
        Rule::relay_pull_in, device.name, place_of(device),
        holds ? fmt::format("holds in {}, but once released it would not come in again: its coil, "
                            "at {}, has {} and wants {}",
                            state, show(Celsius(is.coil_c)), show(Volts(weakest.volts)),
                            show(Volts(is.pull_in_v)))
              : fmt::format("does not come in in {}: its coil, at {}, has {} and wants {}", state,
                            show(Celsius(is.coil_c)), show(Volts(weakest.volts)),
                            show(Volts(is.pull_in_v))),
        holds ? "mount it where it is cooler, lose less voltage on the way to its coil, or take a "
                "relay that comes in at less"
              : "find what takes its coil's voltage: a thin or long wire, a poor ground, another "
                "coil or lamp in the way; or take a relay that comes in at less");
    if (!holds) {
        finding.severity = Severity::fault;
    }
    finding.figures = {seen("voltage at the coil", weakest.volts, "V"),
                       least_of("comes in at", is.pull_in_v, "V"),
                       given("winding", is.coil_c, "C")};
    finding.source = "the relay's pull-in voltage at 20 C, copper by IEC 60028";
}

} // namespace

void check_relay_coils(const CheckInput& input, Findings& findings) {
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        const Device& device = input.study.vehicle.devices[i];
        if (device.as<Relay>() == nullptr && device.as<Starter>() == nullptr) {
            continue;
        }
        Weakest out;
        Weakest in;
        for (const StateSolution& solution : input.sizing.states) {
            if (!solution.converged) {
                continue;
            }
            const DeviceState& is = solution.devices[i];
            if (is.on) {
                // A starter drags its own voltage down once it is in, and what is in while cranking
                // came in before.
                if (device.as<Relay>() != nullptr &&
                    !is_cranking(input.study.vehicle, solution.state)) {
                    note(in, solution, is);
                }
            } else if (std::abs(is.coil_volts) >= fed_share * is.pull_in_v) {
                note(out, solution, is);
            }
        }
        if (out.state != nullptr) {
            add_weak(input, i, out, false, findings);
        } else if (in.state != nullptr) {
            add_weak(input, i, in, true, findings);
        }
    }
}

} // namespace loomwright
