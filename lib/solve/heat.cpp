// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/heat.hpp"

#include "solve/root.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

// Heat of one round conductor in still air, per metre of length, steady state.
//
//   I^2 r(Tc) = q            r(T) = r20 (1 + 0.00393 (T - 20 C))                   [ohm/m]
//   Tc - Ts   = q ln(D/d) / (2 pi k)           conduction through the insulation
//   q         = pi D [ h (Ts - Ta) + e s (Ts^4 - Ta^4) ]      convection, radiation [W/m]
//   h = Nu k_air / D
//   Nu = { 0.60 + 0.387 Ra^(1/6) / [1 + (0.559/Pr)^(9/16)]^(8/27) }^2
//   Ra = g b |Ts - Ta| D^3 Pr / nu^2,   b = 1 / T_film for an ideal gas
//
//   Tc conductor, Ts surface, Ta air temperature; d, D conductor and outside diameter, m;
//   k thermal conductivity, W/(m K); e emissivity; s Stefan-Boltzmann constant.
//
// Nu: S. W. Churchill and H. H. S. Chu, "Correlating equations for laminar and turbulent free
// convection from a horizontal cylinder", Int. J. Heat Mass Transfer 18 (1975) 1049-1053, their
// equation for all Ra up to 1e12 (from memory). Wires of a car have Ra from 0.1 to 1e4.
//
// Air at 1 atm, at the film temperature (Ts + Ta)/2: Sutherland's law for viscosity and
// conductivity,
//   mu = 1.716e-5 (T/273.15)^1.5 (273.15 + 110.6)/(T + 110.6)   [Pa s]
//   k  = 0.0241   (T/273.15)^1.5 (273.15 + 194)/(T + 194)       [W/(m K)]
// (constants as in F. M. White, "Viscous Fluid Flow", from memory), density of the ideal gas with
// 287.05 J/(kg K), and the specific heat 1002.5 + 275e-6 (T - 200 K)^2 J/(kg K), which is within 1
// % of the usual tables. Range of validity: film temperature from 200 K to 800 K.

namespace loomwright::solve {

namespace {

constexpr double kelvin_offset = 273.15;
constexpr double stefan_boltzmann = 5.670374419e-8;
constexpr double gravity = 9.80665;
constexpr double infinite = std::numeric_limits<double>::infinity();

struct Air {
    double kinematic_m2_per_s = 0.0;
    double conductivity_w_per_m_k = 0.0;
    double prandtl = 0.0;
};

Air air_at(double kelvin) {
    constexpr double pressure = 101325.0;
    constexpr double gas_constant = 287.05;
    constexpr double viscosity_at_0c = 1.716e-5 * (kelvin_offset + 110.6);
    constexpr double conductivity_at_0c = 0.0241 * (kelvin_offset + 194.0);
    const double ratio = kelvin * (1.0 / kelvin_offset);
    const double power = ratio * std::sqrt(ratio);
    const double by_viscosity = power / (kelvin + 110.6);
    const double by_conductivity = power / (kelvin + 194.0);
    const double above = kelvin - 200.0;
    const double heat = 1002.5 + 275e-6 * above * above;
    return {.kinematic_m2_per_s =
                viscosity_at_0c * (gas_constant / pressure) * by_viscosity * kelvin,
            .conductivity_w_per_m_k = conductivity_at_0c * by_conductivity,
            // viscosity x heat / conductivity, in which the power cancels
            .prandtl =
                viscosity_at_0c / conductivity_at_0c * heat * (kelvin + 194.0) / (kelvin + 110.6)};
}

/// 0.387 / [1 + (0.559/Pr)^(9/16)]^(8/27), which hardly moves over the Prandtl numbers of air, 0.68
/// to 0.83 between 200 K and 1300 K: through five points of that range, within 5e-8.
double share_of_rayleigh(double prandtl) {
    const double x = prandtl - 0.72;
    return 0.3216260371366484 +
           x * (0.034580071238938026 + x * (-0.029397945910533456 +
                                            x * (0.028981937620357823 - x * 0.025977411509985417)));
}

double resistance_ohm_per_m(const WireBody& wire, double conductor_c) {
    return wire.r20_ohm_per_m * std::max(0.0, 1.0 + copper_alpha * (conductor_c - 20.0));
}

bool is_possible(const WireBody& wire) {
    return wire.r20_ohm_per_m > 0.0 && wire.conductor_diameter_m > 0.0 &&
           wire.outside_diameter_m > 0.0 && std::isfinite(wire.r20_ohm_per_m) &&
           std::isfinite(wire.outside_diameter_m) && wire.emissivity >= 0.0;
}

/// True when radiation alone takes away what the conductor makes at the end of the scale: it finds
/// rest before.
bool surely_rests(const WireBody& wire, double amps_squared, double air_c, double through) {
    const double hot_k = runaway_c + kelvin_offset;
    const double air_k = air_c + kelvin_offset;
    const double leaves = std::numbers::pi * wire.outside_diameter_m * wire.emissivity *
                          stefan_boltzmann *
                          (hot_k * hot_k * hot_k * hot_k - air_k * air_k * air_k * air_k);
    return amps_squared * resistance_ohm_per_m(wire, runaway_c + leaves * through) < leaves;
}

} // namespace

double insulation_k_m_per_w(const WireBody& wire) {
    const double ratio = wire.outside_diameter_m / wire.conductor_diameter_m;
    if (!(ratio > 1.0) || !(wire.insulation_w_per_m_k > 0.0)) {
        return 0.0;
    }
    return std::log(ratio) / (2.0 * std::numbers::pi * wire.insulation_w_per_m_k);
}

double surface_heat_w_per_m(double diameter_m, double surface_c, double air_c, double emissivity) {
    const double surface_k = surface_c + kelvin_offset;
    const double air_k = air_c + kelvin_offset;
    const double film_k = 0.5 * (surface_k + air_k);
    const double excess = surface_c - air_c;
    if (!(diameter_m > 0.0) || !(film_k > 0.0)) {
        return 0.0;
    }
    const Air air = air_at(film_k);
    const double rayleigh = gravity * std::abs(excess) * diameter_m * diameter_m * diameter_m *
                            air.prandtl /
                            (film_k * air.kinematic_m2_per_s * air.kinematic_m2_per_s);
    const double root = 0.60 + share_of_rayleigh(air.prandtl) * std::pow(rayleigh, 1.0 / 6.0);
    const double convection = root * root * air.conductivity_w_per_m_k; // x the diameter
    const double radiation = emissivity * stefan_boltzmann *
                             (surface_k * surface_k + air_k * air_k) * (surface_k + air_k);
    return std::numbers::pi * (convection + diameter_m * radiation) * excess;
}

double conductor_temperature_c(const WireBody& wire, double amps, double air_c, double guess_c) {
    if (amps == 0.0 || wire.r20_ohm_per_m == 0.0) {
        return air_c;
    }
    if (!is_possible(wire) || !std::isfinite(amps) || !std::isfinite(air_c)) {
        return infinite;
    }
    const double through = insulation_k_m_per_w(wire);
    const double amps_squared = amps * amps;
    const auto excess_heat = [&](double surface_c) {
        const double leaves =
            surface_heat_w_per_m(wire.outside_diameter_m, surface_c, air_c, wire.emissivity);
        const double conductor_c = surface_c + leaves * through;
        return leaves - amps_squared * resistance_ohm_per_m(wire, conductor_c);
    };
    if (air_c >= runaway_c ||
        (!surely_rests(wire, amps_squared, air_c, through) && excess_heat(runaway_c) < 0.0)) {
        return infinite;
    }
    // A first guess with the heat of the conductor at air temperature and 30 W/(m2 K) at the skin.
    const double heat = amps_squared * resistance_ohm_per_m(wire, air_c);
    const double guess =
        std::isfinite(guess_c)
            ? guess_c - amps_squared * resistance_ohm_per_m(wire, guess_c) * through
            : air_c + heat / (30.0 * std::numbers::pi * wire.outside_diameter_m);
    const double surface_c = root_between(air_c, runaway_c, guess, excess_heat);
    const double leaves =
        surface_heat_w_per_m(wire.outside_diameter_m, surface_c, air_c, wire.emissivity);
    const double conductor_c = surface_c + leaves * through;
    if (conductor_c > runaway_c) {
        return infinite;
    }
    return conductor_c;
}

double free_air_ampacity_a(const WireBody& wire, double limit_c, double air_c) {
    if (!is_possible(wire) || !std::isfinite(limit_c) || !(limit_c > air_c)) {
        return 0.0;
    }
    const double through = insulation_k_m_per_w(wire);
    const auto excess_c = [&](double surface_c) {
        const double leaves =
            surface_heat_w_per_m(wire.outside_diameter_m, surface_c, air_c, wire.emissivity);
        return surface_c + leaves * through - limit_c;
    };
    const double surface_c = root_between(air_c, limit_c, limit_c, excess_c);
    const double leaves =
        surface_heat_w_per_m(wire.outside_diameter_m, surface_c, air_c, wire.emissivity);
    const double ohm_per_m = resistance_ohm_per_m(wire, limit_c);
    return ohm_per_m > 0.0 ? std::sqrt(leaves / ohm_per_m) : 0.0;
}

} // namespace loomwright::solve
