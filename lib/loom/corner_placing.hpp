// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace loomwright::packing {

/// Centres x0, y0, x1, y1, ... of circles laid one after another in `order`: the first `middle` of
/// them in a ring round the origin, each other one where it touches two that lie there, as close to
/// the origin as it can. No two overlap. With `in_every_gap` small ones go
/// into the gaps between large ones, which takes several times as long. Radii and coordinates in
/// one unit of length, any.
[[nodiscard]] std::vector<double> place_in_corners(std::span<const double> radii,
                                                   std::span<const std::size_t> order,
                                                   std::size_t middle, bool in_every_gap);

} // namespace loomwright::packing
