// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <limits>

namespace loomwright::solve {

/// Rise of copper's resistance for each kelvin over 20 C (IEC 60028).
constexpr double copper_alpha = 0.00393;
/// No steady temperature beyond this is called one: copper melts at 1085 C.
constexpr double runaway_c = 1000.0;

/// One round insulated conductor in its insulation.
struct WireBody {
    double r20_ohm_per_m = 0.0;
    double conductor_diameter_m = 0.0;
    double outside_diameter_m = 0.0;
    double insulation_w_per_m_k = 0.2; ///< thermal conductivity of the insulation
    double emissivity = 0.9;
};

/// Heat given off by a horizontal cylinder to still air, W/m: natural convection (Churchill and
/// Chu, 1975) plus radiation. Temperatures in degrees Celsius.
[[nodiscard]] double surface_heat_w_per_m(double diameter_m, double surface_c, double air_c,
                                          double emissivity);

/// From the conductor to the insulation's surface, K m/W: a tube's ln(D/d) / (2 pi k).
[[nodiscard]] double insulation_k_m_per_w(const WireBody& wire);

/// Conductor temperature, alone, at a steady current: I^2 R(T) = Q(T). Infinite when the heat
/// cannot leave (thermal runaway beyond 1000 C).
/// `guess_c` is where the search begins; not a number: by a rule of thumb.
[[nodiscard]] double
conductor_temperature_c(const WireBody& wire, double amps, double air_c,
                        double guess_c = std::numeric_limits<double>::quiet_NaN());

/// The steady current that brings the conductor to `limit_c`; 0 when the air is as hot as that.
[[nodiscard]] double free_air_ampacity_a(const WireBody& wire, double limit_c, double air_c);

} // namespace loomwright::solve
