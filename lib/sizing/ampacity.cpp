// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Ampacity of a wire in its place (docs/method/sizing.md, docs/method/heat.md).
//
//   I_free      heat balance of the wire alone in still air of its hottest place, conductor at the
//               insulation's limit (lib/solve/heat.hpp)
//   I_handbook  = I_free x F(N, L); N loaded wires in the fullest run on its way, L = sum I / sum
//   I_free
//               over them: bundle curves of MIL-W-5088L, as FAA AC 43.13-1B figure "bundle
//               derating"
//   I_skin      = sqrt((P - P_neighbours) / r(T_limit)); P is the heat that leaves through the
//   bundle's
//               skin when its middle is at the limit: uniform heat in a round bundle gives
//               T_skin = T_limit - P / (4 pi k), and Q(D, T_skin, air) = P
//   I_z         = min(I_handbook, I_skin)
//
// D is the least diameter the bundle can have, sqrt(sum d^2); k is the conductivity of the
// insulation alone, without the help of the copper in it: both on the safe side. Valid for steady
// currents.
#include "sizing/ampacity.hpp"

#include "sizing/limits.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomwright {
namespace {

constexpr double copper_k = 226.0;
constexpr double copper_beta = 234.5;

double hottest_run_air(const StudyInput& input, RunId run) {
    WireRoute route;
    route.hottest = input.routing.run_zones[run.index()];
    double air = air_of(input.vehicle, input.catalogue, route, nullptr).value();
    for (const State& state : input.vehicle.states) {
        air = std::max(air, air_of(input.vehicle, input.catalogue, route, &state).value());
    }
    return air;
}

/// Heat that leaves the skin when the middle of the bundle is at `limit_c`: bisection on
/// P = Q(D, limit - P / (4 pi k), air), whose right side falls as P grows.
double skin_heat_w_per_m(double diameter_m, double conductivity, double limit_c, double air_c) {
    if (limit_c <= air_c || diameter_m <= 0.0) {
        return 0.0;
    }
    const double per_kelvin = 4.0 * std::numbers::pi * conductivity;
    double low = 0.0;
    double high = per_kelvin * (limit_c - air_c);
    for (int step = 0; step < 40 && high - low > 1e-6 * high; ++step) {
        const double middle = 0.5 * (low + high);
        const double leaving =
            solve::surface_heat_w_per_m(diameter_m, limit_c - middle / per_kelvin, air_c, 0.9);
        (leaving > middle ? low : high) = middle;
    }
    return low;
}

/// Loading of one run in one state.
RunLoading loading_in_state(const StudyInput& input, const Design& design,
                            const std::vector<WireId>& wires, const std::vector<double>& free_air,
                            const StateSolution& solution) {
    RunLoading out;
    out.state = solution.state;
    double carried = 0.0;
    double could_carry = 0.0;
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

void add_skin(const Catalogue& catalogue, const Design& design, const std::vector<WireId>& wires,
              RunLoading& loading) {
    double square_sum = 0.0;
    double conductivity = 1.0;
    for (const WireId wire : wires) {
        const WireDesign& made = design.wires[wire.index()];
        const double d = catalogue.outside_diameter(*made.conductor, *made.insulation).value();
        square_sum += d * d;
        conductivity = std::min(conductivity, made.insulation->conductivity_w_per_m_k);
    }
    loading.diameter = Metres(std::sqrt(square_sum));
    loading.conductivity_w_per_m_k = conductivity;
    for (const WireId wire : wires) {
        const double limit = design.wires[wire.index()].insulation->limit.value();
        const auto same = [&](const auto& row) { return row.first == limit; };
        if (std::ranges::none_of(loading.skin_budget, same)) {
            loading.skin_budget.emplace_back(
                limit,
                skin_heat_w_per_m(loading.diameter.value(), conductivity, limit, loading.air_c));
        }
    }
}

/// Place of a wire among those of a run, in the order of Routing::run_wires.
std::size_t place_in_run(const StudyInput& input, WireId wire, RunId run) {
    const std::vector<WireId>& members = input.routing.run_wires[run.index()];
    return static_cast<std::size_t>(std::ranges::find(members, wire) - members.begin());
}

/// Ampacity by the skin of one run's bundle: what the neighbours leave of the budget.
double skin_ampacity(const RunLoading& loading, std::size_t place, const Conductor& conductor,
                     const Insulation& insulation) {
    const double limit = insulation.limit.value();
    const auto found =
        std::ranges::find(loading.skin_budget, limit, &std::pair<double, double>::first);
    const double budget = found == loading.skin_budget.end() ? 0.0 : found->second;
    const double left = budget - (loading.heat_w_per_m - loading.wire_heat_w_per_m[place]);
    return left > 0.0 ? std::sqrt(left / resistance_at(conductor.r20_ohm_per_m, insulation.limit))
                      : 0.0;
}

} // namespace

solve::WireBody wire_body(const Catalogue& catalogue, const Conductor& conductor,
                          const Insulation& insulation) {
    solve::WireBody body;
    body.r20_ohm_per_m = conductor.r20_ohm_per_m;
    body.conductor_diameter_m = conductor.diameter.value();
    body.outside_diameter_m = catalogue.outside_diameter(conductor, insulation).value();
    body.insulation_w_per_m_k = insulation.conductivity_w_per_m_k;
    return body;
}

WirePlaces::WirePlaces(const StudyInput& input) : input_(input) {
    for (std::size_t i = 0; i < input.routing.wires.size(); ++i) {
        const WireRoute& route = input.routing.wires[i];
        Celsius air = air_of(input.vehicle, input.catalogue, route, nullptr);
        for (const State& state : input.vehicle.states) {
            if (state.air) {
                air = std::max(air, air_of(input.vehicle, input.catalogue, route, &state));
            }
        }
        air_c_.push_back(air.value());
        const Insulation* insulation = insulation_of(input, input.vehicle.wires[i]);
        const auto is_same = [&](const Row& row) {
            return row.insulation == insulation && row.air_c == air.value();
        };
        const auto found = std::ranges::find_if(rows_, is_same);
        row_of_wire_.push_back(static_cast<std::size_t>(found - rows_.begin()));
        if (found == rows_.end()) {
            rows_.push_back({insulation, air.value(), {}});
        }
    }
}

double WirePlaces::free_air_a(WireId wire, const Conductor& conductor) {
    Row& row = rows_[row_of_wire_[wire.index()]];
    const auto conductors = input_.catalogue.conductors(conductor.size.standard);
    std::vector<double>& amps = row.amps[static_cast<std::size_t>(conductor.size.standard)];
    amps.resize(conductors.size(), -1.0);
    double& here = amps[static_cast<std::size_t>(&conductor - conductors.data())];
    if (here < 0.0) {
        here = solve::free_air_ampacity_a(wire_body(input_.catalogue, conductor, *row.insulation),
                                          row.insulation->limit.value(), row.air_c);
    }
    return here;
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
        if (out[run].wires > 1) {
            add_skin(input.catalogue, design, wires, out[run]);
        }
    }
    return out;
}

Ampacity ampacity_of(const StudyInput& input, WirePlaces& places, WireId wire,
                     const Conductor& conductor, const Insulation& insulation,
                     const std::vector<RunLoading>& runs) {
    Ampacity out;
    out.air_c = places.air_c(wire);
    out.limit_c = insulation.limit.value();
    out.free_air_a = places.free_air_a(wire, conductor);
    out.handbook_a = out.free_air_a;
    out.amps = out.free_air_a;
    for (const RunId run : input.routing.wires[wire.index()].runs) {
        const RunLoading& loading = runs[run.index()];
        if (loading.wires < 2) {
            continue;
        }
        const std::size_t place = place_in_run(input, wire, run);
        const double handbook = out.free_air_a * loading.factor;
        const double skin = skin_ampacity(loading, place, conductor, insulation);
        if (std::min(handbook, skin) < out.amps) {
            out.amps = std::min(handbook, skin);
            out.handbook_a = handbook;
            out.skin_a = skin;
            out.bundle_wires = loading.wires;
            out.bundle_loading = loading.loading;
            out.bundle_factor = loading.factor;
            out.outside_table = loading.outside_table;
            out.fullest = run;
        }
    }
    out.bundle_source = !out.fullest.is_valid()       ? "alone in still air"
                        : out.skin_a < out.handbook_a ? "heat balance of the bundle's skin"
                                                      : "bundle curves of MIL-W-5088L";
    return out;
}

double rest_temperature_c(const StudyInput& input, WireId wire, RunId run,
                          const RunLoading& loading) {
    const double own = loading.wire_heat_w_per_m[place_in_run(input, wire, run)];
    const double heat = loading.heat_w_per_m - own;
    constexpr double far_above_k = 2000.0;
    double low = loading.air_c;
    double high = loading.air_c + far_above_k;
    for (int step = 0; step < 60; ++step) {
        const double skin_c = 0.5 * (low + high);
        const double leaving =
            solve::surface_heat_w_per_m(loading.diameter.value(), skin_c, loading.air_c, 0.9);
        (leaving < heat ? low : high) = skin_c;
    }
    return high + heat / (4.0 * std::numbers::pi * loading.conductivity_w_per_m_k);
}

Ampacity ampacity_in_place(const StudyInput& input, const Design& design, WireId wire,
                           const std::vector<RunLoading>& runs) {
    const WireDesign& made = design.wires[wire.index()];
    WirePlaces places(input);
    return ampacity_of(input, places, wire, *made.conductor, *made.insulation, runs);
}

double adiabatic_k(double from_c, double to_c) {
    return to_c > from_c
               ? copper_k * std::sqrt(std::log((copper_beta + to_c) / (copper_beta + from_c)))
               : 0.0;
}

double short_time_ampacity(const Conductor& conductor, double air_c, double limit_c,
                           double seconds) {
    return adiabatic_k(air_c, limit_c) * conductor.copper_area.value() * 1e6 / std::sqrt(seconds);
}

} // namespace loomwright
