// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What the wires of each run carry together, and what the skin of their bundle gives off
// (docs/method/heat.md, "In a bundle").
#include "sizing/ampacity.hpp"
#include "sizing/limits.hpp"
#include "study/bundles.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomwright {
namespace {

double hottest_run_air(const StudyInput& input, RunId run) {
    WireRoute route;
    route.hottest = input.routing.run_zones[run.index()];
    double air = air_of(input.vehicle, input.catalogue, route, nullptr).value();
    for (const State& state : input.vehicle.states) {
        air = std::max(air, air_of(input.vehicle, input.catalogue, route, &state).value());
    }
    return air;
}

/// Loading of one run in one state.
RunLoading loading_in_state(const StudyInput& input, const Design& design,
                            const std::vector<WireId>& wires, const std::vector<double>& free_air,
                            const StateSolution& solution) {
    RunLoading out;
    out.state = solution.state;
    out.heat_state = solution.state;
    double carried = 0.0;
    double could_carry = 0.0;
    out.wire_heat_w_per_m.reserve(wires.size());
    for (const WireId wire : wires) {
        const WireDesign& made = design.wires[wire.index()];
        const double amps = std::abs(solution.wires[wire.index()].amps);
        const double ohm_per_m =
            resistance_at(made.conductor->r20_ohm_per_m, made.insulation->limit);
        out.wire_heat_w_per_m.push_back(amps * amps * ohm_per_m);
        out.heat_w_per_m += out.wire_heat_w_per_m.back();
        const double could = free_air[wire.index()];
        if (amps > 0.0 && amps >= loaded_share * could) {
            ++out.wires;
            carried += amps;
            could_carry += could;
        }
    }
    out.loading = could_carry > 0.0 ? carried / could_carry : 0.0;
    if (out.wires > 1) {
        const int last = input.catalogue.bundle_factor_last_row();
        out.outside_table = out.wires > last;
        out.factor =
            input.catalogue.bundle_factor(std::min(out.wires, last), std::min(out.loading, 1.0))
                .value_or(1.0);
    }
    return out;
}

/// The handbook's figures of the state with the lowest factor, and the heat of that with the most.
void keep_worst(RunLoading& worst, RunLoading here) {
    if (here.heat_w_per_m >= worst.heat_w_per_m) {
        worst.heat_w_per_m = here.heat_w_per_m;
        worst.heat_state = here.heat_state;
        worst.wire_heat_w_per_m = std::move(here.wire_heat_w_per_m);
    }
    if (here.factor < worst.factor || (here.factor == worst.factor && here.wires > worst.wires)) {
        worst.wires = here.wires;
        worst.loading = here.loading;
        worst.factor = here.factor;
        worst.outside_table = here.outside_table;
        worst.state = here.state;
    }
}

/// Heat by the surface of the bundle: closer together near the air's temperature.
std::vector<solve::Skin::Point> skin_curve(const solve::Skin& skin, double air_c, double top_c) {
    constexpr int steps = 32;
    const solve::Skin bare = skin.bare();
    std::vector<solve::Skin::Point> out;
    out.reserve(steps + 1);
    out.push_back({.under_c = air_c, .w_per_m = 0.0});
    for (int i = 1; i <= steps && out.back().under_c < top_c; ++i) {
        const double part = static_cast<double>(i) / steps;
        solve::Skin::Point point =
            skin.at_outside(air_c + (top_c - air_c) * part * std::sqrt(part), air_c);
        if (skin.is_covered()) {
            point.w_per_m = std::min(point.w_per_m, bare.heat_w_per_m(point.under_c, air_c));
        }
        out.push_back(point);
    }
    return out;
}

void add_skin(const StudyInput& input, const Design& design, RunId run, RunLoading& loading) {
    const BundleBody body = bundle_body(input, design, run);
    loading.skin = body.skin;
    loading.conductivity_w_per_m_k = body.conductivity_w_per_m_k;
    const double middle = 1.0 / (4.0 * std::numbers::pi * body.conductivity_w_per_m_k);
    double top = loading.air_c;
    loading.wire_outside_m.reserve(input.routing.run_wires[run.index()].size());
    for (const WireId wire : input.routing.run_wires[run.index()]) {
        const WireDesign& made = design.wires[wire.index()];
        loading.wire_outside_m.push_back(
            input.catalogue.outside_diameter(*made.conductor, *made.insulation).value());
        const double limit = made.insulation->limit.value();
        top = std::max(top, limit);
        if (std::ranges::find(loading.budgets, limit, &SkinBudget::limit_c) ==
            loading.budgets.end()) {
            const double open =
                body.skin.bare().heat_to_limit_w_per_m(middle, limit, loading.air_c);
            const double heat = body.skin.is_covered()
                                    ? body.skin.heat_to_limit_w_per_m(middle, limit, loading.air_c)
                                    : open;
            loading.budgets.push_back({.limit_c = limit, .w_per_m = heat, .open_w_per_m = open});
        }
    }
    loading.skin_curve = skin_curve(body.skin, loading.air_c, top);
}

} // namespace

double SkinBudget::cover_share() const {
    return w_per_m < open_w_per_m ? std::sqrt(w_per_m / open_w_per_m) : 1.0;
}

SkinBudget RunLoading::budget(double limit_c) const {
    const auto found = std::ranges::find(budgets, limit_c, &SkinBudget::limit_c);
    return found == budgets.end() ? SkinBudget{.limit_c = limit_c} : *found;
}

std::vector<RunLoading> run_loadings(const StudyInput& input, const Design& design,
                                     const std::vector<const StateSolution*>& states) {
    WirePlaces places(input);
    return run_loadings(input, places, design, states);
}

std::vector<RunLoading> run_loadings(const StudyInput& input, WirePlaces& places,
                                     const Design& design,
                                     const std::vector<const StateSolution*>& states) {
    std::vector<double> free_air;
    free_air.reserve(design.wires.size());
    for (std::size_t i = 0; i < design.wires.size(); ++i) {
        const WireDesign& made = design.wires[i];
        free_air.push_back(places.free_air_a(WireId(i), *made.conductor));
    }
    std::vector<RunLoading> out(input.vehicle.runs.size());
    for (std::size_t run = 0; run < out.size(); ++run) {
        const std::vector<WireId>& wires = input.routing.run_wires[run];
        out[run].wire_heat_w_per_m.assign(wires.size(), 0.0);
        for (const StateSolution* state : states) {
            const State* named = state_of(input.vehicle, state->state);
            if (!state->converged ||
                (named != nullptr && named->engine == EngineCondition::cranking)) {
                continue;
            }
            RunLoading here = loading_in_state(input, design, wires, free_air, *state);
            keep_worst(out[run], std::move(here));
        }
        out[run].air_c = hottest_run_air(input, RunId(run));
        if (input.catalogue.find_cover(input.vehicle.runs[run].cover) != nullptr) {
            out[run].cover = input.vehicle.runs[run].cover;
        }
        if (out[run].is_shared() && !wires.empty()) {
            add_skin(input, design, RunId(run), out[run]);
        }
    }
    return out;
}

} // namespace loomwright
