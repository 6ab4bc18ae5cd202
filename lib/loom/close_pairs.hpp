// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <span>
#include <vector>

namespace loomwright::packing {

/// Calls `visit(i, j, square of their distance)`, in an order that depends on nothing but the
/// arguments, for each pair of discs whose centres lie nearer than `share` times the sum of their
/// radii. `places` is x0, y0, x1, y1, ... and may go on after the last disc.
template <typename Visit>
void for_close_pairs(std::span<const double> radii, std::span<const double> places, double share,
                     const Visit& visit) {
    std::vector<std::size_t> order(radii.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) { return places[2 * i]; });
    const double widest = radii.empty() ? 0.0 : *std::ranges::max_element(radii);
    for (std::size_t first = 0; first < order.size(); ++first) {
        const std::size_t i = order[first];
        const double farthest = places[2 * i] + share * (radii[i] + widest);
        for (std::size_t second = first + 1; second < order.size(); ++second) {
            const std::size_t j = order[second];
            if (places[2 * j] > farthest) {
                break;
            }
            const double dx = places[2 * j] - places[2 * i];
            const double dy = places[2 * j + 1] - places[2 * i + 1];
            const double reach = share * (radii[i] + radii[j]);
            const double square = dx * dx + dy * dy;
            if (square < reach * reach) {
                visit(i, j, square);
            }
        }
    }
}

} // namespace loomwright::packing
