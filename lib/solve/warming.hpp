// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/heat.hpp"
#include "solve/skin.hpp"

#include <vector>

namespace loomwright::solve {

/// Heat capacity of a metre of copper conductor, J/(m K): 3.45e6 J/(m3 K) of its area (IEC 60949).
[[nodiscard]] double copper_j_per_m_k(double area_m2);

/// One conductor, alone in its insulation and cover, as it warms and cools in time. Only the copper
/// holds heat; what insulation and cover would take up in the meantime is left out, so that it is
/// never cooler than the real one.
class Warming {
public:
    Warming(const WireBody& wire, const Skin& skin, double capacity_j_per_m_k, double air_c);

    /// Temperature after a time at a steady current; infinite beyond 1000 C. A start below the air
    /// is taken at the air's.
    [[nodiscard]] double temperature_after_c(double amps, double start_c, double seconds) const;
    /// Time until it passes `limit_c`, which lies above the start; infinite when it never does.
    [[nodiscard]] double seconds_until(double amps, double start_c, double limit_c) const;

    /// Temperature at rest, after a long time; infinite where that would be over 1000 C.
    [[nodiscard]] double steady_c(double amps) const;
    /// The steady current that brings it to `limit_c`; 0 when the air is as hot as that.
    [[nodiscard]] double steady_amps(double limit_c) const;

private:
    /// Between two points both the heat made and the heat given off are straight lines.
    struct Step {
        double rate_k_per_s = 0.0; ///< at the temperature it starts from
        double change_per_s = 0.0; ///< of the rate, for each kelvin
    };
    [[nodiscard]] Step step_from(double conductor_c, std::size_t segment, double watts_at_20) const;
    [[nodiscard]] std::size_t segment_of(double conductor_c, bool is_rising) const;
    [[nodiscard]] double net_w_per_m(double conductor_c, std::size_t segment,
                                     double watts_at_20) const;

    double r20_ohm_per_m_;
    double capacity_;
    double air_c_;
    std::vector<Skin::Point> points_; ///< conductor temperature and heat given off, rising
};

/// The same with no heat leaving, in closed form: the adiabatic equation of IEC 60949.
[[nodiscard]] double adiabatic_temperature_c(double r20_ohm_per_m, double capacity_j_per_m_k,
                                             double amps, double start_c, double seconds);

} // namespace loomwright::solve
