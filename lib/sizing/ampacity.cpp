// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Ampacity of a wire in its place (docs/method/heat.md).
//
//   I_free      heat balance of the wire alone in still air of its hottest place, conductor at the
//               insulation's limit (lib/solve/heat.hpp)
//   I_handbook  = I_free x F(N, L) x c; N loaded wires in the fullest run on its way,
//               L = sum I / sum I_free over them: bundle curves of MIL-W-5088L, as FAA AC 43.13-1B
//               figure "bundle derating"; c what the cover of the run leaves, sqrt(P / P_open) of
//               the heat that brings the bundle's middle to the limit with and without it
//   I_skin      = sqrt(q / r(T_limit)); q is the wire's own heat at which it is at its limit in the
//               middle of the bundle: T_limit = T_s(P_n + q) + A P_n + B q (lib/solve/bundle_heat),
//               P_n the heat of the others, T_s the bundle's surface under its cover
//   I_z         = min(I_handbook, I_skin)
//
// The bundle has the least diameter it can have, sqrt(sum D^2). T_s(P) is tabled once for a run;
// between two points it is straight, within 0.1 %. Valid for steady currents.
#include "sizing/ampacity.hpp"

#include "base/display.hpp"
#include "sizing/limits.hpp"
#include "study/bundles.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double copper_k = 226.0;
constexpr double copper_beta = 234.5;

/// Place of a wire among those of a run, in the order of Routing::run_wires.
std::size_t place_in_run(const StudyInput& input, WireId wire, RunId run) {
    const std::vector<WireId>& members = input.routing.run_wires[run.index()];
    return static_cast<std::size_t>(std::ranges::find(members, wire) - members.begin());
}

/// A conductor in the middle of the bundle of a run, in the place of one of its wires.
solve::BundledWire in_place_of(const Catalogue& catalogue, const RunLoading& loading,
                               std::size_t place, const Conductor& conductor,
                               const Insulation& insulation) {
    const solve::WireBody body{.r20_ohm_per_m = conductor.r20_ohm_per_m,
                               .conductor_diameter_m = conductor.diameter.value(),
                               .outside_diameter_m =
                                   catalogue.outside_diameter(conductor, insulation).value(),
                               .insulation_w_per_m_k = insulation.conductivity_w_per_m_k};
    const double now = loading.wire_outside_m[place];
    const double bundle = loading.skin.diameter_m();
    const double others = std::max(0.0, bundle * bundle - now * now);
    return solve::wire_in_bundle(
        body, std::sqrt(others + body.outside_diameter_m * body.outside_diameter_m),
        std::min(loading.conductivity_w_per_m_k, insulation.conductivity_w_per_m_k));
}

/// Ampacity by the skin of one run's bundle: what the neighbours leave.
double skin_ampacity(const RunLoading& loading, std::size_t place, const solve::BundledWire& wire,
                     Celsius limit) {
    const double neighbours = loading.heat_w_per_m - loading.wire_heat_w_per_m[place];
    const double top = limit.value() - wire.neighbours_k_m_per_w * neighbours;
    const auto own = [&](const solve::Skin::Point& point) { return point.w_per_m - neighbours; };
    const auto reached = [&](const solve::Skin::Point& point) {
        return point.under_c + wire.own_k_m_per_w * own(point);
    };
    const auto& curve = loading.skin_curve;
    const auto high = std::ranges::lower_bound(curve, top, {}, reached);
    if (high == curve.begin()) {
        return 0.0;
    }
    if (high == curve.end()) {
        return std::sqrt(std::max(0.0, own(curve.back())) /
                         resistance_at(wire.r20_ohm_per_m, limit));
    }
    const auto low = high - 1;
    const double part = (top - reached(*low)) / (reached(*high) - reached(*low));
    const double left = own(*low) + part * (own(*high) - own(*low));
    return left > 0.0 ? std::sqrt(left / resistance_at(wire.r20_ohm_per_m, limit)) : 0.0;
}

std::string source_of(const Ampacity& ampacity) {
    const bool is_covered = !ampacity.cover.empty();
    if (!ampacity.fullest.is_valid()) {
        return "alone in still air";
    }
    if (ampacity.skin_a < ampacity.handbook_a) {
        return is_covered ? "heat balance of the bundle's skin under its cover"
                          : "heat balance of the bundle's skin";
    }
    if (ampacity.bundle_wires < 2) {
        return "alone in still air x what its cover leaves";
    }
    return is_covered ? "bundle curves of MIL-W-5088L x what the cover leaves"
                      : "bundle curves of MIL-W-5088L";
}

} // namespace

solve::WireBody wire_body(const Catalogue& catalogue, const Conductor& conductor,
                          const Insulation& insulation) {
    return heat_body(catalogue, conductor, insulation);
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
        if (!loading.is_shared()) {
            continue;
        }
        const std::size_t place = place_in_run(input, wire, run);
        const double share = loading.budget(out.limit_c).cover_share();
        const double handbook = out.free_air_a * loading.factor * share;
        const double skin = skin_ampacity(
            loading, place, in_place_of(input.catalogue, loading, place, conductor, insulation),
            insulation.limit);
        if (std::min(handbook, skin) < out.amps) {
            out.amps = std::min(handbook, skin);
            out.handbook_a = handbook;
            out.skin_a = skin;
            out.bundle_wires = loading.wires;
            out.bundle_loading = loading.loading;
            out.bundle_factor = loading.factor;
            out.cover = loading.cover;
            out.cover_share = share;
            out.outside_table = loading.outside_table;
            out.fullest = run;
        }
    }
    out.bundle_source = source_of(out);
    return out;
}

double rest_temperature_c(const StudyInput& input, WireId wire, RunId run,
                          const RunLoading& loading) {
    const std::size_t place = place_in_run(input, wire, run);
    const double heat = loading.heat_w_per_m - loading.wire_heat_w_per_m[place];
    const double outside = loading.wire_outside_m[place];
    const solve::WireBody body{.conductor_diameter_m = outside, .outside_diameter_m = outside};
    const solve::BundledWire bundled =
        solve::wire_in_bundle(body, loading.skin.diameter_m(), loading.conductivity_w_per_m_k);
    constexpr double far_above_k = 2000.0;
    double low = loading.air_c;
    double high = loading.air_c + far_above_k;
    for (int step = 0; step < 60; ++step) {
        const double skin_c = 0.5 * (low + high);
        (loading.skin.heat_w_per_m(skin_c, loading.air_c) < heat ? low : high) = skin_c;
    }
    return high + heat * bundled.neighbours_k_m_per_w;
}

std::string place_words(const Vehicle& vehicle, const Ampacity& ampacity) {
    std::string out = fmt::format("{} air", show(Celsius(ampacity.air_c)));
    if (ampacity.fullest.is_valid()) {
        const std::string& run = vehicle.run(ampacity.fullest).name;
        out += ampacity.bundle_wires > 1
                   ? fmt::format(", {} loaded wires in {}", ampacity.bundle_wires, run)
                   : fmt::format(", in {}", run);
    }
    return ampacity.cover.empty() ? out : fmt::format("{} under {}", out, ampacity.cover);
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
