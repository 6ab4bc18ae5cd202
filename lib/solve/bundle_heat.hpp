// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/heat.hpp"
#include "solve/skin.hpp"

#include <span>

namespace loomwright::solve {

/// One wire among those of a bundle: its resistance, and how its temperature stands above the
/// bundle's surface for each watt per metre that the others and that it makes itself.
struct BundledWire {
    double r20_ohm_per_m = 0.0;
    double neighbours_k_m_per_w = 0.0;
    double own_k_m_per_w = 0.0;
};
/// A wire in the middle of a round bundle of this diameter and effective conductivity; in one of
/// its own diameter it is that wire alone.
[[nodiscard]] BundledWire wire_in_bundle(const WireBody& wire, double bundle_diameter_m,
                                         double bundle_w_per_m_k);

/// A bundle at rest: its surface (under a cover, if there is one) and all the heat it gives off.
struct BundleHeat {
    double surface_c = 0.0; ///< infinite: no rest below 1000 C
    double w_per_m = 0.0;
};
/// The steady state of a bundle, every wire's resistance at its own temperature there. `amps` by
/// wire.
[[nodiscard]] BundleHeat bundle_heat(const Skin& skin, std::span<const BundledWire> wires,
                                     std::span<const double> amps, double air_c);
/// Temperature of one of its wires; infinite in a bundle that finds no rest.
[[nodiscard]] double bundled_wire_c(const BundleHeat& bundle, const BundledWire& wire, double amps);

} // namespace loomwright::solve
