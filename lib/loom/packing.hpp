// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace loomwright {

/// A point of a cross-section, in metres from the middle of the circle round everything.
struct SectionSpot {
    double x_m = 0.0;
    double y_m = 0.0;
};

/// Circles laid in a circle. None overlaps another, and none is outside.
struct Packing {
    std::vector<SectionSpot> centres; ///< in the order of the radii
    double radius_m = 0.0;            ///< of the circle round all
};

/// How long a better packing is looked for.
enum class PackingCare : std::uint8_t {
    rough, ///< one try, of many circles pressed a little: thousands of wires, tens of runs each
    quick, ///< one try: thousands of wires
    full,  ///< several tries, and the best of them shaken
};

/// Lays circles of any radii (m, each finite and above zero) together so that the circle round them
/// is small. The same radii give the same answer. It is a packing that can be had, so `radius_m` is
/// never less than the least there is; how close it comes stands in docs/method/bundles.md.
[[nodiscard]] Packing pack_circles(std::span<const double> radii_m,
                                   PackingCare care = PackingCare::full);

} // namespace loomwright
