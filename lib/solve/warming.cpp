// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/warming.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

// One conductor in time, per metre of length.
//
//   C dT/dt = I^2 r20 (1 + a (T - 20 C)) - Q(T)
//
//   C heat capacity of the copper, J/(m K); Q heat given off, W/m, as it is at rest with the
//   conductor at T: conduction through insulation and cover, convection and radiation outside.
//
// Q is tabled once, in 96 steps that are short near the air's temperature; between two points of
// the table Q is a straight line, and so is the heat made, so that each piece is solved exactly:
//
//   T(t) = T0 + f0 (e^(b t) - 1) / b,   f0 = dT/dt at T0,   b = (I^2 r20 a - dQ/dT) / C
//
// Q is convex, the line is above it: by 1 % at 2 K over the air, 0.1 % at 20 K and less from there.
// With Q = 0 the same equation is the adiabatic one of IEC 60949 (I^2 t = k^2 S^2), which is the
// limit for short times; for long times T comes to the steady balance of lib/solve/heat.cpp. Range:
// the air's temperature to 1000 C.

namespace loomwright::solve {

namespace {

constexpr double copper_j_per_m3_k = 3.45e6;
constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t steps = 96;
constexpr double straight = 1e-12; ///< an exponent under this is none

double made_w_per_m(double watts_at_20, double conductor_c) {
    return watts_at_20 * (1.0 + copper_alpha * (conductor_c - 20.0));
}

} // namespace

double copper_j_per_m_k(double area_m2) {
    return copper_j_per_m3_k * area_m2;
}

Warming::Warming(const WireBody& wire, const Skin& skin, double capacity_j_per_m_k, double air_c)
    : r20_ohm_per_m_(wire.r20_ohm_per_m), capacity_(capacity_j_per_m_k), air_c_(air_c) {
    const double through = insulation_k_m_per_w(wire);
    const Skin bare = skin.bare();
    points_.reserve(steps + 1);
    points_.push_back({.under_c = air_c, .w_per_m = 0.0});
    for (std::size_t i = 1; i <= steps; ++i) {
        const double part = static_cast<double>(i) / static_cast<double>(steps);
        const double outside_c = air_c + (runaway_c - air_c) * part * part;
        Skin::Point point = skin.at_outside(outside_c, air_c);
        if (skin.is_covered()) {
            point.w_per_m = std::min(point.w_per_m, bare.heat_w_per_m(point.under_c, air_c));
        }
        point.under_c += point.w_per_m * through;
        points_.push_back(point);
    }
}

std::size_t Warming::segment_of(double conductor_c, bool is_rising) const {
    const auto above =
        is_rising ? std::ranges::upper_bound(points_, conductor_c, {}, &Skin::Point::under_c)
                  : std::ranges::lower_bound(points_, conductor_c, {}, &Skin::Point::under_c);
    const auto index = static_cast<std::size_t>(above - points_.begin());
    return std::clamp<std::size_t>(index, 1, points_.size() - 1) - 1;
}

double Warming::net_w_per_m(double conductor_c, std::size_t segment, double watts_at_20) const {
    const Skin::Point& low = points_[segment];
    const Skin::Point& high = points_[segment + 1];
    const double slope = (high.w_per_m - low.w_per_m) / (high.under_c - low.under_c);
    return made_w_per_m(watts_at_20, conductor_c) -
           (low.w_per_m + slope * (conductor_c - low.under_c));
}

Warming::Step Warming::step_from(double conductor_c, std::size_t segment,
                                 double watts_at_20) const {
    const Skin::Point& low = points_[segment];
    const Skin::Point& high = points_[segment + 1];
    const double slope = (high.w_per_m - low.w_per_m) / (high.under_c - low.under_c);
    return {.rate_k_per_s = net_w_per_m(conductor_c, segment, watts_at_20) / capacity_,
            .change_per_s = (watts_at_20 * copper_alpha - slope) / capacity_};
}

double Warming::temperature_after_c(double amps, double start_c, double seconds) const {
    const double watts = amps * amps * r20_ohm_per_m_;
    double conductor_c = std::max(start_c, air_c_);
    double left = seconds;
    if (!std::isfinite(watts) || !(capacity_ > 0.0)) {
        return infinite;
    }
    while (left > 0.0) {
        if (conductor_c >= points_.back().under_c) {
            return infinite;
        }
        // Which way it goes is the same on both sides of a point: the heat is continuous.
        const bool is_rising = net_w_per_m(conductor_c, segment_of(conductor_c, true), watts) > 0.0;
        const std::size_t segment = segment_of(conductor_c, is_rising);
        const Step step = step_from(conductor_c, segment, watts);
        const double grown = step.change_per_s * left;
        const double moved = std::abs(grown) > straight
                                 ? step.rate_k_per_s * std::expm1(grown) / step.change_per_s
                                 : step.rate_k_per_s * left;
        const double edge_c = points_[is_rising ? segment + 1 : segment].under_c;
        const double room = edge_c - conductor_c;
        if (std::abs(moved) <= std::abs(room) || room == 0.0) {
            return conductor_c + (room == 0.0 ? 0.0 : moved);
        }
        const double share = step.change_per_s * room / step.rate_k_per_s;
        left -= std::abs(share) > straight ? std::log1p(share) / step.change_per_s
                                           : room / step.rate_k_per_s;
        conductor_c = edge_c;
    }
    return conductor_c;
}

double Warming::seconds_until(double amps, double start_c, double limit_c) const {
    const double watts = amps * amps * r20_ohm_per_m_;
    double conductor_c = std::max(start_c, air_c_);
    double seconds = 0.0;
    if (conductor_c >= limit_c || !std::isfinite(watts) || !(capacity_ > 0.0)) {
        return 0.0;
    }
    while (conductor_c < limit_c) {
        const std::size_t segment = segment_of(conductor_c, true);
        const double edge_c = segment + 2 == points_.size()
                                  ? limit_c
                                  : std::min(limit_c, points_[segment + 1].under_c);
        const Step step = step_from(conductor_c, segment, watts);
        const double share = step.change_per_s * (edge_c - conductor_c) / step.rate_k_per_s;
        if (!(step.rate_k_per_s > 0.0) || share <= -1.0) {
            return infinite; // it comes to rest before
        }
        seconds += std::abs(share) > straight ? std::log1p(share) / step.change_per_s
                                              : (edge_c - conductor_c) / step.rate_k_per_s;
        conductor_c = edge_c;
    }
    return seconds;
}

double Warming::steady_c(double amps) const {
    const double watts = amps * amps * r20_ohm_per_m_;
    if (!std::isfinite(watts)) {
        return infinite;
    }
    // Heat made is straight, heat given off convex: the one passes the other once.
    const auto is_warming = [&](const Skin::Point& point) {
        return made_w_per_m(watts, point.under_c) > point.w_per_m;
    };
    const auto rest = std::ranges::partition_point(points_, is_warming);
    if (rest == points_.end()) {
        return infinite;
    }
    if (rest == points_.begin()) {
        return air_c_;
    }
    const auto segment = static_cast<std::size_t>(rest - points_.begin()) - 1;
    const double low_c = points_[segment].under_c;
    const double high_c = points_[segment + 1].under_c;
    const double at_low = net_w_per_m(low_c, segment, watts);
    const double at_high = net_w_per_m(high_c, segment, watts);
    return low_c + (high_c - low_c) * at_low / (at_low - at_high);
}

double Warming::steady_amps(double limit_c) const {
    if (limit_c <= air_c_) {
        return 0.0;
    }
    const double given_off = -net_w_per_m(limit_c, segment_of(limit_c, true), 0.0);
    const double ohm_per_m = made_w_per_m(r20_ohm_per_m_, limit_c);
    return ohm_per_m > 0.0 ? std::sqrt(std::max(given_off, 0.0) / ohm_per_m) : infinite;
}

double adiabatic_temperature_c(double r20_ohm_per_m, double capacity_j_per_m_k, double amps,
                               double start_c, double seconds) {
    constexpr double beta = 1.0 / copper_alpha - 20.0;
    const double grown = amps * amps * r20_ohm_per_m * copper_alpha * seconds / capacity_j_per_m_k;
    return start_c + (start_c + beta) * std::expm1(grown);
}

} // namespace loomwright::solve
