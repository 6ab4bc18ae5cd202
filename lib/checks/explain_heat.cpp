// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The heat balance and the ampacity of one wire, each step with its numbers: the equations of
// docs/method/heat.md, written out at the solution, which can be put back into them.
#include "base/display.hpp"
#include "checks/proofs.hpp"
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
    "S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049 (memory)";

std::string n(double value, int digits = 5) {
    return show_number(value, digits);
}

/// The balance at a conductor temperature: what flows, the surface, and how the heat leaves it.
void prove_balance(ProofSection& out, const solve::WireBody& body, double conductor_c, double air_c,
                   double watts) {
    const double d = body.conductor_diameter_m;
    const double outside = body.outside_diameter_m;
    const double surface_c = conductor_c - watts * std::log(outside / d) /
                                               (2.0 * std::numbers::pi * body.insulation_w_per_m_k);
    out.steps.push_back(
        {"Ts = T - q ln(D/d) / (2 pi k)",
         fmt::format("{} - {} x ln({}/{}) / (2 pi x {})", n(conductor_c), n(watts),
                     n(outside * 1e3, 4), n(d * 1e3, 4), n(body.insulation_w_per_m_k)),
         n(surface_c) + " C", "conduction through a tube; k of tables insulation"});
    const double leaves = solve::surface_heat_w_per_m(outside, surface_c, air_c, body.emissivity);
    const double surface_k = surface_c + kelvin_offset;
    const double air_k = air_c + kelvin_offset;
    const double radiated = std::numbers::pi * outside * body.emissivity * stefan_boltzmann *
                            (std::pow(surface_k, 4) - std::pow(air_k, 4));
    out.steps.push_back({"q_rad = pi D e s (Ts^4 - Ta^4), kelvin",
                         fmt::format("pi x {} x {} x 5.6704e-8 x ({}^4 - {}^4)", n(outside, 4),
                                     n(body.emissivity), n(surface_k), n(air_k)),
                         n(radiated) + " W/m", "Stefan-Boltzmann; emissivity of tables defaults"});
    const double convected = leaves - radiated;
    const double excess = surface_c - air_c;
    const double h = excess > 0.0 ? convected / (std::numbers::pi * outside * excess) : 0.0;
    out.steps.push_back(
        {"q_conv = pi D h (Ts - Ta), h = Nu k_air / D",
         fmt::format("pi x {} x {} x ({} - {})", n(outside, 4), n(h), n(surface_c), n(air_c)),
         n(convected) + " W/m", std::string(correlation)});
    out.steps.push_back({"q_rad + q_conv = q", fmt::format("{} + {}", n(radiated), n(convected)),
                         fmt::format("{} W/m against {} W/m", n(leaves), n(watts)),
                         std::string(still_air)});
}

} // namespace

ProofSection prove_temperature(const CheckInput& input, WireId id) {
    const WireSizing& wire = input.sizing.wires[id.index()];
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const WireLoads loads = wire_loads(input.study, judged_states(input.sizing));
    const double amps = loads.steady_a[id.index()];
    ProofSection out{"Heat at its largest lasting current", {}};
    if (amps <= 0.0) {
        out.steps.push_back({"I", "", "no current in any state that lasts", "operating point"});
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
    out.steps.push_back({"r(T) = r20 (1 + 0.00393 (T - 20))",
                         fmt::format("{} mohm/m x (1 + 0.00393 x ({} - 20))",
                                     n(made.conductor->r20_ohm_per_m * 1e3), n(conductor_c)),
                         n(ohm_per_m * 1e3) + " mohm/m", "IEC 60028"});
    const double watts = amps * amps * ohm_per_m;
    out.steps.push_back({"q = I^2 r(T)",
                         fmt::format("{}^2 x {} mohm/m", n(amps), n(ohm_per_m * 1e3)),
                         n(watts) + " W/m", "Joule"});
    prove_balance(out, body, conductor_c, air_c, watts);
    out.steps.push_back(
        {"T alone in still air, against its class",
         fmt::format("{} <= {}", show(Celsius(conductor_c)), show(made.insulation->limit)),
         conductor_c <= made.insulation->limit.value() ? "holds" : "does not hold",
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

namespace {

/// The handbook's way: what the bundle's factor and the cover leave of the free-air current.
void prove_handbook(ProofSection& out, const CheckInput& input, const Ampacity& at,
                    const RunLoading& run) {
    out.steps.push_back(
        {"N, L: loaded wires in " + input.study.vehicle.run(at.fullest).name +
             " and sum I / sum I_free over them",
         "in " + state_name(input.study.vehicle, run.state),
         fmt::format("N = {}, L = {}", at.bundle_wires, show_percent(at.bundle_loading)),
         "a wire counts as loaded from a tenth of its free-air ampacity"});
    if (!at.cover.empty()) {
        const SkinBudget budget = run.budget(at.limit_c);
        out.steps.push_back(
            {"c = sqrt(P / P_open): heat of the bundle with its middle at the class, under " +
                 at.cover + " and open",
             fmt::format("sqrt({} / {})", n(std::min(budget.w_per_m, budget.open_w_per_m)),
                         n(budget.open_w_per_m)),
             n(at.cover_share, 4), "heat balance of the bundle; tables covers"});
    }
    out.steps.push_back(
        {at.cover.empty() ? "I_handbook = I_free x F(N, L)" : "I_handbook = I_free x F(N, L) x c",
         fmt::format("{} x {}{}", show(Amps(at.free_air_a)), n(at.bundle_factor, 4),
                     at.cover.empty() ? std::string() : " x " + n(at.cover_share, 4)),
         show(Amps(at.handbook_a)),
         at.outside_table ? "tables bundle-factors, its last row"
                          : "tables bundle-factors (MIL-W-5088L)"});
}

/// The way by the heat balance: what the skin gives off, less the heat of the others.
void prove_skin(ProofSection& out, const CheckInput& input, const Ampacity& at,
                const WireDesign& made, WireId id) {
    const RunLoading& run = input.sizing.runs[at.fullest.index()];
    const auto& members = input.study.routing.run_wires[at.fullest.index()];
    const auto place = static_cast<std::size_t>(std::ranges::find(members, id) - members.begin());
    const double neighbours = run.heat_w_per_m - run.wire_heat_w_per_m[place];
    const double ohm_per_m = resistance_at(made.conductor->r20_ohm_per_m, made.insulation->limit);
    const double own = at.skin_a * at.skin_a * ohm_per_m;
    const solve::BundledWire wire =
        solve::wire_in_bundle(wire_body(input.study.catalogue, *made.conductor, *made.insulation),
                              run.skin.diameter_m(), run.conductivity_w_per_m_k);
    const double surface_c =
        at.limit_c - wire.neighbours_k_m_per_w * neighbours - wire.own_k_m_per_w * own;
    out.steps.push_back({"P_n: heat of the other wires, theirs at their class", "",
                         n(neighbours) + " W/m", "currents of the state with the most heat"});
    out.steps.push_back(
        {"A = (1 + x ln x / (1 - x)) / (4 pi k), x = (D_i / D)^2; B = ln(D / D_i) / (2 pi k) + "
         "ln(D_i / d) / (2 pi k_i)",
         fmt::format("D = {} mm, D_i = {} mm, d = {} mm, k = {}, k_i = {}",
                     n(run.skin.diameter_m() * 1e3, 4), n(run.wire_outside_m[place] * 1e3, 4),
                     n(made.conductor->diameter.value() * 1e3, 4), n(run.conductivity_w_per_m_k),
                     n(made.insulation->conductivity_w_per_m_k)),
         fmt::format("A = {}, B = {} K m/W", n(wire.neighbours_k_m_per_w), n(wire.own_k_m_per_w)),
         "heat balance of the bundle, docs/method/heat.md"});
    if (own <= 0.0) {
        out.steps.push_back({"I_skin: T_s = T - A P_n gives off less than P_n",
                             fmt::format("{} - {} x {}", n(at.limit_c),
                                         n(wire.neighbours_k_m_per_w), n(neighbours)),
                             "0 A", "heat balance of the bundle"});
        return;
    }
    out.steps.push_back({"I_skin = sqrt(q / r(T)), q the wire's own heat",
                         fmt::format("sqrt({} / {} mohm/m)", n(own), n(ohm_per_m * 1e3)),
                         show(Amps(at.skin_a)), "heat balance of the bundle"});
    out.steps.push_back(
        {"T_s = T - A P_n - B q, and Q(T_s) = P_n + q within 0.5 %",
         fmt::format("{} - {} x {} - {} x {} = {} C, air {}{}", n(at.limit_c),
                     n(wire.neighbours_k_m_per_w), n(neighbours), n(wire.own_k_m_per_w), n(own),
                     n(surface_c), n(run.air_c),
                     run.cover.empty() ? std::string() : ", under " + run.cover),
         fmt::format("{} W/m against {} W/m", n(run.skin.heat_w_per_m(surface_c, run.air_c), 4),
                     n(neighbours + own, 4)),
         "heat balance of the bundle's skin; tables covers"});
}

} // namespace

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
        out.steps.push_back({"I_free = sqrt(q / r(T)), conductor at its class",
                             fmt::format("sqrt({} / {} mohm/m)", n(watts), n(ohm_per_m * 1e3)),
                             show(Amps(at.free_air_a)), std::string(still_air)});
    } else {
        out.steps.push_back(
            {"I_free",
             fmt::format("air {} >= class {}", show(Celsius(at.air_c)), show(Celsius(at.limit_c))),
             "0 A", "no heat can leave"});
    }
    if (at.fullest.is_valid()) {
        prove_handbook(out, input, at, input.sizing.runs[at.fullest.index()]);
        prove_skin(out, input, at, made, id);
    }
    out.steps.push_back({"Iz, the lower", "", show(Amps(at.amps)), at.bundle_source});
    if (wire.short_time_a > 0.0) {
        const Limit time = cranking_time(input.study, wire.worst_state);
        out.steps.push_back(
            {"for as long as cranking lasts: I = 226 sqrt(ln((234.5 + T) / (234.5 + air))) S / "
             "sqrt(t)",
             fmt::format("T = {}, air {}, S = {}, t = {} s; Iz where that is more", n(at.limit_c),
                         n(at.air_c), show(made.conductor->copper_area), n(time.value)),
             show(Amps(wire.short_time_a)), "IEC 60949; " + time.source});
    }
    out.steps.push_back(
        {"current <= ampacity",
         fmt::format("{} <= {}", show(Amps(wire.worst_amps)),
                     show(Amps(wire.short_time_a > 0.0 ? wire.short_time_a : at.amps))),
         wire.worst_amps <= std::max(wire.short_time_a, at.amps) ? "holds" : "does not hold",
         "in " + state_name(input.study.vehicle, wire.worst_state)});
    return out;
}

} // namespace loomwright
