// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The heat balance and the ampacity of one wire, each step with its numbers: the equations of
// docs/method/heat.md, written out at the solution, which can be put back into them.
#include "base/display.hpp"
#include "checks/answered_states.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "solve/bundle_heat.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomwright {
namespace {

constexpr double kelvin_offset = 273.15;
constexpr double stefan_boltzmann = 5.670374419e-8;
constexpr std::string_view still_air =
    "heat of a horizontal wire in still air, docs/method/heat.md";
constexpr std::string_view correlation =
    "S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049 (memory); air by "
    "docs/method/heat.md";

/// A temperature that another, so many kelvin away, is taken from: a wire may be a thousandth of a
/// kelvin over its air. Its zeros are kept, they count.
std::string exact(double celsius, double apart_k) {
    const int magnitude = apart_k > 0.0 ? static_cast<int>(std::floor(std::log10(apart_k))) : 0;
    return fmt::format("{:.{}f}", celsius, std::clamp(3 - magnitude, 2, 9));
}

/// The balance at a conductor temperature: what flows, the surface, and how the heat leaves it.
void prove_balance(ProofSection& out, const solve::WireBody& body, double conductor_c, double air_c,
                   double watts) {
    const double d = body.conductor_diameter_m;
    const double outside = body.outside_diameter_m;
    const double surface_c = conductor_c - watts * std::log(outside / d) /
                                               (2.0 * std::numbers::pi * body.insulation_w_per_m_k);
    const double excess = surface_c - air_c;
    const std::string surface = exact(surface_c, excess);
    const std::string air = exact(air_c, excess);
    out.steps.push_back(
        {"Ts = T - q ln(D/d) / (2 pi k)",
         fmt::format("{} - {} x ln({} / {}) / (2 pi x {})", exact(conductor_c, excess),
                     figure(watts), figure(outside * 1e3), figure(d * 1e3),
                     figure(body.insulation_w_per_m_k)),
         surface + " C", "conduction through a tube; k and D of tables insulation"});
    const double leaves = solve::surface_heat_w_per_m(outside, surface_c, air_c, body.emissivity);
    const double surface_k = surface_c + kelvin_offset;
    const double air_k = air_c + kelvin_offset;
    const double radiated = std::numbers::pi * outside * body.emissivity * stefan_boltzmann *
                            (std::pow(surface_k, 4) - std::pow(air_k, 4));
    out.steps.push_back(
        {"q_rad = pi D e s (Ts^4 - Ta^4), kelvin",
         fmt::format("pi x {} x {} x 5.6704e-8 x ({}^4 - {}^4)", figure(outside),
                     figure(body.emissivity), exact(surface_k, excess), exact(air_k, excess)),
         figure(radiated) + " W/m", "Stefan-Boltzmann; emissivity of tables defaults"});
    const double convected = leaves - radiated;
    const double h = excess > 0.0 ? convected / (std::numbers::pi * outside * excess) : 0.0;
    out.steps.push_back(
        {"h = Nu k_air / D",
         fmt::format("D = {} mm, Ts = {} C, Ta = {} C", figure(outside * 1e3), surface, air),
         figure(h) + " W/(m2 K)", std::string(correlation)});
    out.steps.push_back(
        {"q_conv = pi D h (Ts - Ta)",
         fmt::format("pi x {} x {} x ({} - {})", figure(outside), figure(h), surface, air),
         figure(convected) + " W/m", "Newton"});
    out.steps.push_back({"q_rad + q_conv = q",
                         fmt::format("{} + {}", figure(radiated), figure(convected)),
                         fmt::format("{} W/m against {} W/m", figure(leaves), figure(watts)),
                         std::string(still_air)});
}

} // namespace

ProofSection prove_temperature(const CheckInput& input, WireId id) {
    return prove_temperature(input, wire_loads(input.study, judged_states(input.sizing)), id);
}

ProofSection prove_temperature(const CheckInput& input, const WireLoads& loads, WireId id) {
    const WireSizing& wire = input.sizing.wires[id.index()];
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const double amps = loads.steady_a[id.index()];
    ProofSection out{"Heat at its largest lasting current", {}};
    if (amps <= 0.0) {
        const AnsweredStates states = answered_states(input.study, input.sizing);
        out.steps.push_back({"I", "",
                             states.is_any ? "no current in any state that lasts" : states.none(),
                             "operating point"});
        return out;
    }
    const solve::WireBody body =
        wire_body(input.study.catalogue, *made.conductor, *made.insulation);
    const double air_c = wire.ampacity.air_c;
    const double conductor_c = solve::conductor_temperature_c(body, amps, air_c);
    out.steps.push_back({"I, in " + state_name(input.study.vehicle, loads.steady_state[id.index()]),
                         "", show(Amps(amps)), "operating point, docs/method/operating-point.md"});
    out.steps.push_back({"air round it, hottest place and state", "", show(Celsius(air_c)),
                         "the vehicle file, zones and states"});
    if (!std::isfinite(conductor_c)) {
        out.steps.push_back(
            {"T", "", "beyond 1000 C: the heat cannot leave", std::string(still_air)});
        return out;
    }
    const double ohm_per_m = resistance_at(made.conductor->r20_ohm_per_m, Celsius(conductor_c));
    out.steps.push_back(
        {"r(T) = r20 (1 + 0.00393 (T - 20))",
         fmt::format("{} mohm/m x (1 + 0.00393 x ({} - 20))",
                     figure(made.conductor->r20_ohm_per_m * 1e3), figure(conductor_c)),
         figure(ohm_per_m * 1e3) + " mohm/m", "IEC 60028"});
    const double watts = amps * amps * ohm_per_m;
    out.steps.push_back({"q = I^2 r(T)",
                         fmt::format("{}^2 x {} mohm/m", figure(amps), figure(ohm_per_m * 1e3)),
                         figure(watts) + " W/m", "Joule"});
    prove_balance(out, body, conductor_c, air_c, watts);
    out.steps.push_back(
        {"T alone in still air, against its class",
         fmt::format("{} <= {}", show(Celsius(conductor_c)), show(made.insulation->limit)),
         within(Celsius(conductor_c), made.insulation->limit),
         made.insulation->limit_origin.source});
    for (const StateSolution* state : judged_states(input.sizing)) {
        if (state->state == loads.steady_state[id.index()] && state->converged) {
            const WireState& settled = state->wires[id.index()];
            out.steps.push_back(
                {"T settled in that state: hottest place on its way, with the wires and the cover "
                 "there",
                 fmt::format("air {}", show(Celsius(settled.air_c))),
                 show(Celsius(settled.conductor_c)), "heat of the bundle, docs/method/heat.md"});
            break;
        }
    }
    return out;
}

ProofSection prove_ampacity(const CheckInput& input, WireId id) {
    const WireSizing& wire = input.sizing.wires[id.index()];
    const Ampacity& at = wire.ampacity;
    const WireDesign& made = input.sizing.design.wires[id.index()];
    ProofSection out{"Ampacity in its place", {}};
    if (at.free_air_a > 0.0) {
        const double ohm_per_m =
            resistance_at(made.conductor->r20_ohm_per_m, made.insulation->limit);
        const double watts = at.free_air_a * at.free_air_a * ohm_per_m;
        prove_balance(out, wire_body(input.study.catalogue, *made.conductor, *made.insulation),
                      at.limit_c, at.air_c, watts);
        out.steps.push_back(
            {"r(T) = r20 (1 + 0.00393 (T - 20)), conductor at its class",
             fmt::format("{} mohm/m x (1 + 0.00393 x ({} - 20))",
                         figure(made.conductor->r20_ohm_per_m * 1e3), figure(at.limit_c)),
             figure(ohm_per_m * 1e3) + " mohm/m", "IEC 60028"});
        out.steps.push_back(
            {"I_free = sqrt(q / r(T)), conductor at its class",
             fmt::format("sqrt({} / {} mohm/m)", figure(watts), figure(ohm_per_m * 1e3)),
             show(Amps(at.free_air_a)), std::string(still_air)});
    } else {
        out.steps.push_back(
            {"I_free, none: the class is no higher than the air",
             fmt::format("{} <= {}", show(Celsius(at.limit_c)), show(Celsius(at.air_c))), "0 A",
             "no heat can leave"});
    }
    if (at.fullest.is_valid()) {
        add_bundle(out, input, id);
    }
    out.steps.push_back({"Iz, the lowest",
                         at.fullest.is_valid()
                             ? fmt::format("min({}, {}, {})", figure(at.free_air_a),
                                           figure(at.handbook_a), figure(at.skin_a))
                             : figure(at.free_air_a),
                         show(Amps(at.amps)), at.bundle_source});
    if (wire.short_time_a > 0.0) {
        const Limit time = cranking_time(input.study, wire.worst_state);
        out.steps.push_back(
            {"for as long as cranking lasts: I = 226 sqrt(ln((234.5 + T) / (234.5 + air))) S / "
             "sqrt(t), or Iz where that is more",
             fmt::format("max(226 x sqrt(ln((234.5 + {}) / (234.5 + {}))) x {} / sqrt({}), {})",
                         figure(at.limit_c), figure(at.air_c),
                         figure(made.conductor->copper_area.value() * 1e6), figure(time.value),
                         figure(at.amps)),
             show(Amps(wire.short_time_a)), "IEC 60949; " + time.source});
    }
    const AnsweredStates states = answered_states(input.study, input.sizing);
    if (!states.is_any) {
        out.steps.push_back({"current <= ampacity", "", states.none(), "operating point"});
        return out;
    }
    const double allowed = std::max(wire.short_time_a, at.amps);
    out.steps.push_back({"current <= ampacity, in " +
                             (wire.worst_state.is_valid() || input.study.vehicle.states.empty()
                                  ? busiest_state_name(input.study.vehicle, wire.worst_state)
                                  : states.every),
                         fmt::format("{} <= {}", show(Amps(wire.worst_amps)), show(Amps(allowed))),
                         within(wire.worst_amps, allowed),
                         "operating point; heat of the wire in its place, above"});
    return out;
}

} // namespace loomwright
