// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Heat through a cover, per metre of length, steady state.
//
//   T_under - T_out = q (R_gap + R_wall)                                                        [K]
//   q               = Q(D_out, T_out, T_air)              still air, lib/solve/heat.cpp       [W/m]
//   R_wall = ln((D + 2 g + 2 w) / (D + 2 g)) / (2 pi k_wall)                                [K m/W]
//   R_gap  = ln((D + 2 g) / D) / (2 pi k_air)            a snug cover: air at rest
//          = U / (1 + 0.1 (V + Y T_m) D[mm])             a duct: IEC 60287-2-1, 4.2.7.2 (memory)
//   D_out  = D + 2 g + 2 w
//
//   D diameter of what is covered; g gap, w wall; k conductivities; U, V, Y constants of the duct;
//   T_m mean temperature in the duct, taken at the outermost surface, where it is lowest.
//
// Radiation across a snug gap is left out, and T_m is low: both on the safe side. The constants of
// a duct were found on cables of 25 to 100 mm; under that they are used beyond their range. A layer
// that fits closely on a thin wire cools it by equation, because the surface grows; no credit is
// taken for that.
#include "solve/skin.hpp"

#include "solve/heat.hpp"
#include "solve/root.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomwright::solve {

namespace {

constexpr double millimetres = 1e3;

double tube_k_m_per_w(double inside_m, double outside_m, double conductivity) {
    return outside_m > inside_m && conductivity > 0.0
               ? std::log(outside_m / inside_m) / (2.0 * std::numbers::pi * conductivity)
               : 0.0;
}

} // namespace

Skin::Skin(double diameter_m, double emissivity, const std::optional<Cover>& cover)
    : diameter_m_(diameter_m), bare_emissivity_(emissivity), is_covered_(cover.has_value()),
      outside_diameter_m_(diameter_m), outside_emissivity_(emissivity) {
    if (!cover) {
        return;
    }
    const double inner = diameter_m + 2.0 * cover->gap_m;
    outside_diameter_m_ = inner + 2.0 * cover->wall_m;
    outside_emissivity_ = cover->emissivity;
    layers_k_m_per_w_ = tube_k_m_per_w(inner, outside_diameter_m_, cover->wall_w_per_m_k);
    if (cover->duct_u) {
        duct_u_ = cover->duct_u;
        duct_v_ = cover->duct_v;
        duct_y_ = cover->duct_y;
    } else {
        layers_k_m_per_w_ += tube_k_m_per_w(diameter_m, inner, cover->gap_w_per_m_k);
    }
}

double Skin::through_cover_k_m_per_w(double outside_c) const {
    if (!duct_u_) {
        return layers_k_m_per_w_;
    }
    const double medium = std::max(0.0, duct_v_ + duct_y_ * outside_c);
    return layers_k_m_per_w_ + *duct_u_ / (1.0 + 0.1 * medium * diameter_m_ * millimetres);
}

Skin::Point Skin::at_outside(double outside_c, double air_c) const {
    const double heat =
        surface_heat_w_per_m(outside_diameter_m_, outside_c, air_c, outside_emissivity_);
    return {.under_c =
                is_covered_ ? outside_c + heat * through_cover_k_m_per_w(outside_c) : outside_c,
            .w_per_m = heat};
}

double Skin::heat_w_per_m(double under_c, double air_c) const {
    const double open = surface_heat_w_per_m(diameter_m_, under_c, air_c, bare_emissivity_);
    if (!is_covered_ || under_c <= air_c) {
        return open;
    }
    const auto excess_c = [&](double outside_c) {
        return at_outside(outside_c, air_c).under_c - under_c;
    };
    const double outside_c = root_between(air_c, under_c, 0.5 * (air_c + under_c), excess_c);
    return std::min(open, at_outside(outside_c, air_c).w_per_m);
}

double Skin::heat_to_limit_w_per_m(double inside_k_m_per_w, double limit_c, double air_c) const {
    if (!(limit_c > air_c) || !(diameter_m_ > 0.0)) {
        return 0.0;
    }
    const auto excess_c = [&](double outside_c) {
        const Point point = at_outside(outside_c, air_c);
        return point.under_c + point.w_per_m * inside_k_m_per_w - limit_c;
    };
    const double outside_c = root_between(air_c, limit_c, limit_c, excess_c);
    const double heat = at_outside(outside_c, air_c).w_per_m;
    return is_covered_
               ? std::min(heat, bare().heat_to_limit_w_per_m(inside_k_m_per_w, limit_c, air_c))
               : heat;
}

double Skin::most_k_m_per_w() const {
    constexpr double stefan_boltzmann = 5.670374419e-8;
    constexpr double coldest_k = 233.15;
    const auto radiating = [&](double diameter_m, double emissivity) {
        return 1.0 / (std::numbers::pi * diameter_m * 4.0 * emissivity * stefan_boltzmann *
                      coldest_k * coldest_k * coldest_k);
    };
    const double open = radiating(diameter_m_, bare_emissivity_);
    return is_covered_ ? std::max(open, radiating(outside_diameter_m_, outside_emissivity_) +
                                            through_cover_k_m_per_w(-40.0))
                       : open;
}

} // namespace loomwright::solve
