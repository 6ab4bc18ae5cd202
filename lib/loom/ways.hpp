// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

namespace loomwright {

/// What a way costs that does not exist.
inline constexpr double no_way_m = std::numeric_limits<double>::infinity();

/// The cheapest ways from one point to all others.
struct WayTree {
    std::vector<double> cost_m; ///< by PointId; no_way_m where none leads
    std::vector<int> run_in;    ///< by PointId: the last run of the way; -1 at the root or nowhere
};

/// The graph of points and runs.
class Ways {
public:
    /// `run_costs_m`, by RunId, are what the ways are measured with: lengths, or costs beside them.
    Ways(const Vehicle& vehicle, const std::vector<double>& run_costs_m);
    ~Ways();
    Ways(Ways&&) noexcept;
    Ways& operator=(Ways&&) noexcept;
    Ways(const Ways&) = delete;
    Ways& operator=(const Ways&) = delete;

    /// Cheapest ways from a point. Among equals the way whose last runs stand first in the file
    /// wins, seen from its far end. `closed`, by RunId, leaves runs out; empty: none.
    void find(PointId root, const std::vector<std::uint8_t>& closed, WayTree& tree) const;

    /// The runs of the way to `target` in the order from the root; nothing when there is no way.
    [[nodiscard]] std::optional<std::vector<RunId>> way_to(const WayTree& tree,
                                                           PointId target) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace loomwright
