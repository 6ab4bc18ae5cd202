// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The ampacity of a wire among others, both ways of docs/method/heat.md ("In a bundle"), each step
// with its numbers.
#include "base/display.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "solve/bundle_heat.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::string_view bundle_balance = "heat balance of the bundle, docs/method/heat.md";

/// "1.2 + 3.4 + 0.5".
std::string sum_of(const std::vector<std::string>& terms) {
    return terms.empty() ? "0" : fmt::format("{}", fmt::join(terms, " + "));
}

const StateSolution* judged_state(const Sizing& sizing, StateId state) {
    const auto found = std::ranges::find(sizing.states, state, &StateSolution::state);
    return found == sizing.states.end()
               ? nullptr
               : &sizing.judged(static_cast<std::size_t>(found - sizing.states.begin()));
}

/// N and L: which wires of the run count as loaded, and how loaded they are together.
void add_loading(ProofSection& out, const CheckInput& input, const Ampacity& at,
                 const RunLoading& run) {
    const Vehicle& vehicle = input.study.vehicle;
    const StateSolution* state = judged_state(input.sizing, run.state);
    if (state == nullptr || run.wires == 0) {
        return;
    }
    std::vector<std::string> names;
    std::vector<std::string> carried;
    std::vector<std::string> could_carry;
    for (const WireId wire : input.study.routing.run_wires[at.fullest.index()]) {
        const double amps = std::abs(state->wires[wire.index()].amps);
        const double could = input.sizing.wires[wire.index()].ampacity.free_air_a;
        if (amps > 0.0 && amps >= loaded_share * could) {
            names.push_back(vehicle.wire(wire).number);
            carried.push_back(figure(amps, 4));
            could_carry.push_back(figure(could, 4));
        }
    }
    const std::string where =
        fmt::format("{} in {}", vehicle.run(at.fullest).name, state_name(vehicle, run.state));
    out.steps.push_back({"N, wires with a tenth of I_free or more in " + where, list_of(names),
                         std::to_string(run.wires), "operating point; I_free of each"});
    out.steps.push_back({"L = sum I / sum I_free over them",
                         fmt::format("({}) / ({})", sum_of(carried), sum_of(could_carry)),
                         show_percent(run.loading), "operating point; I_free of each"});
}

/// The handbook's way: what the bundle's factor and the cover leave of the free-air current.
void add_handbook(ProofSection& out, const CheckInput& input, const Ampacity& at,
                  const RunLoading& run) {
    add_loading(out, input, at, run);
    out.steps.push_back({"F(N, L)",
                         fmt::format("N = {}, L = {}", run.wires, show_percent(run.loading)),
                         figure(at.bundle_factor),
                         at.outside_table ? "tables bundle-factors, its last row"
                                          : "tables bundle-factors (MIL-W-5088L)"});
    if (!at.cover.empty()) {
        const SkinBudget budget = run.budget(at.limit_c);
        out.steps.push_back(
            {"P: heat of the bundle with its middle at the class, under " + at.cover + " and open",
             "",
             fmt::format("{} W/m and {} W/m", figure(std::min(budget.w_per_m, budget.open_w_per_m)),
                         figure(budget.open_w_per_m)),
             "heat balance of the bundle, docs/method/heat.md; tables covers"});
        out.steps.push_back(
            {"c = sqrt(P / P_open)",
             fmt::format("sqrt({} / {})", figure(std::min(budget.w_per_m, budget.open_w_per_m)),
                         figure(budget.open_w_per_m)),
             figure(at.cover_share), std::string(bundle_balance)});
    }
    out.steps.push_back(
        {at.cover.empty() ? "I_handbook = I_free x F(N, L)" : "I_handbook = I_free x F(N, L) x c",
         fmt::format("{} x {}{}", show(Amps(at.free_air_a)), figure(at.bundle_factor),
                     at.cover.empty() ? std::string() : " x " + figure(at.cover_share)),
         show(Amps(at.handbook_a)), "MIL-W-5088L; cover by the heat balance"});
}

/// D = sqrt(sum D_i^2): wires of one diameter that lie beside one another are told together.
std::string bundle_diameter(const RunLoading& run) {
    std::vector<std::string> terms;
    const auto& all = run.wire_outside_m;
    for (std::size_t i = 0; i < all.size();) {
        std::size_t end = i;
        while (end < all.size() && all[end] == all[i]) {
            ++end;
        }
        const std::string square = figure(all[i] * 1e3) + "^2";
        terms.push_back(end - i > 1 ? fmt::format("{} x {}", end - i, square) : square);
        i = end;
    }
    return fmt::format("sqrt({})", sum_of(terms));
}

/// The heat of a run's other wires, each I^2 r with the conductor at its class.
std::string neighbour_heats(const RunLoading& run, std::size_t place) {
    std::vector<std::string> terms;
    for (std::size_t i = 0; i < run.wire_heat_w_per_m.size(); ++i) {
        if (i != place && run.wire_heat_w_per_m[i] > 0.0) {
            terms.push_back(figure(run.wire_heat_w_per_m[i]));
        }
    }
    return sum_of(terms);
}

/// What the place of a wire in its bundle makes of heat: x, A and B.
void add_place(ProofSection& out, const RunLoading& run, const WireDesign& made, double outside_m,
               const solve::BundledWire& wire) {
    const double bundle_mm = run.skin.diameter_m() * 1e3;
    const double outside_mm = outside_m * 1e3;
    const double x = std::pow(outside_mm / bundle_mm, 2);
    const std::string k = figure(run.conductivity_w_per_m_k);
    out.steps.push_back({"D = sqrt(sum D_i^2), the bundle", bundle_diameter(run),
                         figure(bundle_mm) + " mm",
                         "the least it can be; D_i of tables insulation"});
    out.steps.push_back({"x = (D_i / D)^2",
                         fmt::format("({} / {})^2", figure(outside_mm), figure(bundle_mm)),
                         figure(x, 7), std::string(bundle_balance)});
    // Of a wire that is alone in its run nothing is left over for others.
    out.steps.push_back(
        {"A = (1 + x ln x / (1 - x)) / (4 pi k)",
         x < 1.0 ? fmt::format("(1 + {0} x ln({0}) / (1 - {0})) / (4 pi x {1})", figure(x, 7), k)
                 : "0",
         figure(wire.neighbours_k_m_per_w) + " K m/W", std::string(bundle_balance)});
    out.steps.push_back({"B = ln(D / D_i) / (2 pi k) + ln(D_i / d) / (2 pi k_i)",
                         fmt::format("ln({} / {}) / (2 pi x {}) + ln({} / {}) / (2 pi x {})",
                                     figure(bundle_mm), figure(outside_mm), k, figure(outside_mm),
                                     figure(made.conductor->diameter.value() * 1e3),
                                     figure(made.insulation->conductivity_w_per_m_k)),
                         figure(wire.own_k_m_per_w) + " K m/W", std::string(bundle_balance)});
}

/// The way by the heat balance: what the skin gives off, less the heat of the others.
void add_skin(ProofSection& out, const CheckInput& input, const Ampacity& at,
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
    add_place(out, run, made, run.wire_outside_m[place], wire);
    out.steps.push_back({"P_n: heat of the other wires, I^2 r of each at its class, in " +
                             state_name(input.study.vehicle, run.heat_state),
                         neighbour_heats(run, place), figure(neighbours) + " W/m",
                         "currents of the state with the most heat, not cranking"});
    const double surface_c =
        at.limit_c - wire.neighbours_k_m_per_w * neighbours - wire.own_k_m_per_w * own;
    if (own <= 0.0) {
        out.steps.push_back({"I_skin: at T_s = T - A P_n the skin gives off no more than P_n",
                             fmt::format("{} - {} x {}", figure(at.limit_c),
                                         figure(wire.neighbours_k_m_per_w), figure(neighbours)),
                             figure(surface_c) + " C", std::string(bundle_balance)});
        return;
    }
    out.steps.push_back({"I_skin = sqrt(q / r(T)), q the wire's own heat",
                         fmt::format("sqrt({} / {} mohm/m)", figure(own), figure(ohm_per_m * 1e3)),
                         show(Amps(at.skin_a)), std::string(bundle_balance)});
    out.steps.push_back({"T_s = T - A P_n - B q",
                         fmt::format("{} - {} x {} - {} x {}", figure(at.limit_c),
                                     figure(wire.neighbours_k_m_per_w), figure(neighbours),
                                     figure(wire.own_k_m_per_w), figure(own)),
                         figure(surface_c) + " C", std::string(bundle_balance)});
    out.steps.push_back({fmt::format("Q(T_s): what the skin gives off{} in air of {}",
                                     run.cover.empty() ? std::string() : " under " + run.cover,
                                     show(Celsius(run.air_c))),
                         fmt::format("D = {} mm, T_s = {} C", figure(run.skin.diameter_m() * 1e3),
                                     figure(surface_c)),
                         figure(run.skin.heat_w_per_m(surface_c, run.air_c)) + " W/m",
                         "heat balance of the bundle's skin, docs/method/heat.md; tables covers"});
    out.steps.push_back({"P_n + q, which Q(T_s) is within 0.5 %",
                         fmt::format("{} + {}", figure(neighbours), figure(own)),
                         figure(neighbours + own) + " W/m", std::string(bundle_balance)});
}

} // namespace

void add_bundle(ProofSection& out, const CheckInput& input, WireId id) {
    const Ampacity& at = input.sizing.wires[id.index()].ampacity;
    add_handbook(out, input, at, input.sizing.runs[at.fullest.index()]);
    add_skin(out, input, at, input.sizing.design.wires[id.index()], id);
}

} // namespace loomwright
