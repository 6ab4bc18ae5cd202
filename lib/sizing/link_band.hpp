// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/time_current.hpp"

namespace loomwright {

/// What melts a fusible link, by the physics of its own bare conductor.
struct LinkMelting {
    double least_a = 0.0;     ///< steady current that brings it to its melting point, in this air
    double area_a2s = 0.0;    ///< I^2 t that warms its copper to the melting point, no heat leaving
    double melting_a2s = 0.0; ///< more of it that melts the copper there
};
[[nodiscard]] LinkMelting link_melting(const Conductor& link, double air_c);

/// Which part of the least melting current either side of the band stands away from it: what is not
/// known of surface, strands, insulation and ends. Common practice, no source.
constexpr double link_tolerance = 0.25;

/// The band of a link, derived from its conductor; its fast side in the hottest air, its slow side
/// in the coldest. It has no rating.
[[nodiscard]] TimeCurrentBand link_band(const Conductor& link, AirRange air);

} // namespace loomwright
