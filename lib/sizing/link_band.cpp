// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The time-current band of a fusible link, from its own conductor (docs/method/curves.md).
//
//   Tm   = 1083 C, copper melts
//   A    = K^2 S^2 ln((beta + Tm) / (beta + Ta))      I^2 t to the melting point, no heat leaving:
//                                                     adiabatic equation, IEC 60949; Onderdonk's
//                                                     equation is the same with rounder numbers
//   L    = 1.84 J/mm3 S^2 / rho(Tm)                   I^2 t that then melts it
//   Im   : Im^2 r(Tm) = Q(Tm)                         steady heat balance of the bare wire
//   fast side    t = A / I^2                          from I = Im / 1.25; S the least copper,
//                                                     Ta the hottest air
//   slow side    t = (A + L) / ((I/1.25)^2 - Im^2)    above I = 1.25 Im; S the nominal area,
//                                                     Ta the coldest air
//
// Why the slow side bounds the melting time: the current that holds a temperature, sqrt(Q(T)/r(T)),
// rises with it, so that below Tm the heat that leaves is no more than Im^2 r(T). What is left,
// (I^2 - Im^2) r(T), warms the copper: C dT/dt = (I^2 - Im^2) r(T), whose integral is A / (I^2 -
// Im^2). Its points are set closely; between two of them the chord in log-log lies above the curve.
//
// I current (A), t time (s), S copper (mm2), r resistance (ohm/m), Q heat given off (W/m), K = 226
// A s^0.5/mm2 and beta = 234.5 C of IEC 60949. Latent heat 205 J/g x 8.96 g/cm3 = 1.84 J/mm3 and
// the emissivity of oxidised copper, 0.8, are from memory. The 1.25 stands for surface, strands,
// insulation that has to char first and the ends' cooling: common practice, no source. The air's
// properties are good to a film of 800 K (lib/solve/heat.cpp); here it has 820 K, and the 1.25 is
// far wider. Preece's fusing current (80 d^1.5, d in mm, bare copper in air) lies in the band.
#include "sizing/link_band.hpp"

#include "sizing/ampacity.hpp"
#include "solve/heat.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace loomwright {
namespace {

constexpr double melting_c = 1083.0;
constexpr double latent_j_per_mm3 = 1.84;
constexpr double copper_ohm_mm2_per_m = 0.017241; // at 20 C, IEC 60028
constexpr double oxidised = 0.8;
/// Where the slow side's points stand, over the current below which it may never melt.
constexpr std::array slow_points = {1.05, 1.1, 1.2, 1.35, 1.6, 2.0, 3.0, 5.0, 10.0};

Origin origin_of(const char* side) {
    return {Provenance::derived, side};
}

double warming_a2s(double copper_mm2, double air_c) {
    return std::pow(adiabatic_k(air_c, melting_c) * copper_mm2, 2);
}

} // namespace

LinkMelting link_melting(const Conductor& link, double air_c) {
    LinkMelting out;
    const double r_hot = resistance_at(link.r20_ohm_per_m, Celsius(melting_c));
    const double leaves =
        solve::surface_heat_w_per_m(link.diameter.value(), melting_c, air_c, oxidised);
    out.least_a = r_hot > 0.0 ? std::sqrt(leaves / r_hot) : 0.0;
    const double least_mm2 = link.copper_area.value() * 1e6;
    out.area_a2s = warming_a2s(least_mm2, air_c);
    const double ohm_mm = resistance_at(copper_ohm_mm2_per_m * 1e-3, Celsius(melting_c));
    out.melting_a2s = latent_j_per_mm3 * least_mm2 * least_mm2 / ohm_mm;
    return out;
}

TimeCurrentBand link_band(const Conductor& link, AirRange air) {
    TimeCurrentBand out;
    const LinkMelting hot = link_melting(link, air.hottest_c);
    const LinkMelting cold = link_melting(link, air.coldest_c);
    if (hot.least_a <= 0.0) {
        return out;
    }
    const double wide = 1.0 + link_tolerance;
    const double first = hot.least_a / wide;
    out.shortest.push_back(
        {first, hot.area_a2s / (first * first), air.hottest_c,
         origin_of("adiabatic equation of IEC 60949 to 1083 C, from the least melting current of "
                   "the bare wire / 1.25 (tolerance: common practice, no source)")});
    // The nominal area where that is more than the copper it is sure to hold.
    const double ratio = std::max(1.0, link.area.value() / link.copper_area.value());
    const double slow_a2s = (cold.area_a2s + cold.melting_a2s) * ratio * ratio;
    for (const double factor : slow_points) {
        const double over = cold.least_a * std::sqrt(factor * factor - 1.0);
        out.longest.push_back(
            {factor * wide * cold.least_a, slow_a2s / (over * over), air.coldest_c,
             origin_of("heat balance of the bare wire at 1083 C and adiabatic equation of IEC "
                       "60949 with the latent heat, all at 1.25 x the current (tolerance: common "
                       "practice, no source)")});
    }
    return out;
}

} // namespace loomwright
