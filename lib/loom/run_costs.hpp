// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// What is set against a run beside its length, each as a share of it.
struct RunCost {
    double length_m = 0.0;
    double hot = 0.0;
    double wet = 0.0;
    double moving = 0.0;
    double seen = 0.0;
    /// The length as it counts in the search for a way.
    [[nodiscard]] double cost_m() const { return length_m * (1.0 + hot + wet + moving + seen); }
};

/// What one share is where it applies, and where it comes from.
struct RouteShare {
    double value = 0.0;
    std::string source;
};
/// The shares of this vehicle: its policy's, else those of the tables.
struct RouteShares {
    RouteShare hot; ///< for each 10 K of the run's air over `hot_from_c`
    RouteShare wet;
    RouteShare moving;
    RouteShare seen;
    double hot_from_c = 0.0;
};
[[nodiscard]] RouteShares route_shares(const Vehicle& vehicle, const Catalogue& catalogue);

/// By RunId; `lengths` and `zones` by RunId.
[[nodiscard]] std::vector<RunCost> run_costs(const Vehicle& vehicle, const Catalogue& catalogue,
                                             const std::vector<Metres>& lengths,
                                             const std::vector<ZoneId>& zones);
/// What each counts as in the search for a way, m.
[[nodiscard]] std::vector<double> costs_m(const std::vector<RunCost>& costs);

} // namespace loomwright
