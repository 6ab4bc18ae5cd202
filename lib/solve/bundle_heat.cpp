// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/bundle_heat.hpp"

#include "solve/root.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

// Heat of a round bundle, per metre of length, steady state.
//
//   T_i = T_s + A_i (P - q_i) + B_i q_i         q_i = I_i^2 r_i (1 + a (T_i - 20 C))            [K]
//   P   = sum q_i = Q(T_s)                       all heat leaves through the bundle's skin    [W/m]
//
//   A_i = [1 + x ln x / (1 - x)] / (4 pi k),  x = (D_i / D)^2                               [K m/W]
//   B_i = ln(D / D_i) / (2 pi k) + ln(D_i / d_i) / (2 pi k_i)
//
//   T_s surface of the bundle; D its diameter, k the effective conductivity of its inside; D_i, d_i
//   outside and conductor diameter of wire i, k_i the conductivity of its insulation; a the
//   temperature coefficient of copper.
//
// A_i is the middle of a tube between D_i and D that makes heat evenly and lets none into its bore:
// the others lie round the wire, which is taken in the middle, where it is hottest. B_i is
// conduction through tubes. Alone, D = D_i: A = 0, and B is the wire's own insulation.
//
// For given currents T_i is linear in T_s and P, so that P follows from T_s by
//   P = (c0 + c1 T_s) / (1 - c2),    n_i = 1 - g_i a (B_i - A_i),  g_i = I_i^2 r_i
//   c0 = sum g_i (1 - 20 a) / n_i    c1 = sum g_i a / n_i    c2 = sum g_i a A_i / n_i
// and one equation in T_s is left. n_i <= 0 or c2 >= 1: the copper gains more heat for each kelvin
// than its way out takes.

namespace loomwright::solve {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double cold_share = 1.0 - 20.0 * copper_alpha; ///< r(0 C) over r20

double spread(const BundledWire& wire, double watts_at_20) {
    return 1.0 - watts_at_20 * copper_alpha * (wire.own_k_m_per_w - wire.neighbours_k_m_per_w);
}

/// P as a function of the surface's temperature.
struct HeatMade {
    double at_zero = 0.0;
    double per_kelvin = 0.0;
    bool is_bounded = true;

    HeatMade(std::span<const BundledWire> wires, std::span<const double> amps) {
        double back = 0.0;
        for (std::size_t i = 0; i < wires.size(); ++i) {
            const double watts = amps[i] * amps[i] * wires[i].r20_ohm_per_m;
            const double divisor = spread(wires[i], watts);
            is_bounded = is_bounded && divisor > 0.0;
            at_zero += watts * cold_share / divisor;
            per_kelvin += watts * copper_alpha / divisor;
            back += watts * copper_alpha * wires[i].neighbours_k_m_per_w / divisor;
        }
        is_bounded = is_bounded && back < 1.0;
        at_zero /= 1.0 - back;
        per_kelvin /= 1.0 - back;
    }
    [[nodiscard]] double at(double surface_c) const {
        return std::max(0.0, at_zero + per_kelvin * surface_c);
    }
};

BundleHeat balance(const Skin& skin, const HeatMade& made, double air_c) {
    const auto excess_heat = [&](double outside_c) {
        const Skin::Point point = skin.at_outside(outside_c, air_c);
        return point.w_per_m - made.at(point.under_c);
    };
    if (excess_heat(runaway_c) < 0.0) {
        return {.surface_c = infinite, .w_per_m = infinite};
    }
    constexpr double transfer = 20.0; // W/(m2 K), for a first guess
    const double guess =
        air_c + made.at(air_c) / (transfer * std::numbers::pi * skin.outside_diameter_m());
    const double outside_c = root_between(air_c, runaway_c, guess, excess_heat);
    const Skin::Point point = skin.at_outside(outside_c, air_c);
    if (skin.is_covered() && surface_heat_w_per_m(skin.diameter_m(), point.under_c, air_c,
                                                  skin.bare().emissivity()) < point.w_per_m) {
        return balance(skin.bare(), made, air_c); // no credit for a cover that cools
    }
    return {.surface_c = point.under_c, .w_per_m = point.w_per_m};
}

} // namespace

BundledWire wire_in_bundle(const WireBody& wire, double bundle_diameter_m,
                           double bundle_w_per_m_k) {
    BundledWire out{.r20_ohm_per_m = wire.r20_ohm_per_m,
                    .own_k_m_per_w = insulation_k_m_per_w(wire)};
    const double ratio = wire.outside_diameter_m / bundle_diameter_m;
    if (ratio < 1.0 && bundle_w_per_m_k > 0.0) {
        const double x = ratio * ratio;
        out.neighbours_k_m_per_w =
            (1.0 + x * std::log(x) / (1.0 - x)) / (4.0 * std::numbers::pi * bundle_w_per_m_k);
        out.own_k_m_per_w -= std::log(ratio) / (2.0 * std::numbers::pi * bundle_w_per_m_k);
    }
    return out;
}

BundleHeat bundle_heat(const Skin& skin, std::span<const BundledWire> wires,
                       std::span<const double> amps, double air_c) {
    const HeatMade made(wires, amps);
    if (!made.is_bounded || !std::isfinite(made.at(air_c)) || !(air_c < runaway_c)) {
        return {.surface_c = infinite, .w_per_m = infinite};
    }
    if (made.at(air_c) == 0.0) {
        return {.surface_c = air_c, .w_per_m = 0.0};
    }
    return balance(skin, made, air_c);
}

double bundled_wire_c(const BundleHeat& bundle, const BundledWire& wire, double amps) {
    if (!std::isfinite(bundle.surface_c)) {
        return infinite;
    }
    const double watts = amps * amps * wire.r20_ohm_per_m;
    const double above = bundle.surface_c + wire.neighbours_k_m_per_w * bundle.w_per_m;
    const double own = wire.own_k_m_per_w - wire.neighbours_k_m_per_w;
    const double conductor_c = (above + watts * cold_share * own) / spread(wire, watts);
    if (conductor_c > runaway_c) {
        return infinite;
    }
    return conductor_c;
}

} // namespace loomwright::solve
