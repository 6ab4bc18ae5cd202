// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a way through a run costs: its length, and shares of it for what is bad for a loom.
//
//   cost = L (1 + hot max(0, T - T0) / 10 K + wet + moving + seen)
//
//   L     length of the run, m
//   T     air of its zone, C; T0 `route-hot-from` of the tables
//   hot, wet, moving, seen   shares of the policy, else `route-...` of the tables: common practice,
//         no source, as is the form of the sum. A share of 0 sets that reason aside.
#include "loom/run_costs.hpp"

#include <algorithm>

namespace loomwright {
namespace {

constexpr double hot_step_k = 10.0;

RouteShare share_of(const std::optional<Given<double>>& given, const Catalogue& catalogue,
                    std::string_view name) {
    if (given) {
        return {.value = given->value, .source = "the vehicle file, policy"};
    }
    return {.value = catalogue.default_value(name).value,
            .source = "tables defaults, " + std::string(name) + ": common practice, no source"};
}

} // namespace

RouteShares route_shares(const Vehicle& vehicle, const Catalogue& catalogue) {
    const RoutePolicy& policy = vehicle.policy.route;
    return {.hot = share_of(policy.hot, catalogue, "route-hot"),
            .wet = share_of(policy.wet, catalogue, "route-wet"),
            .moving = share_of(policy.moving, catalogue, "route-moving"),
            .seen = share_of(policy.seen, catalogue, "route-seen"),
            .hot_from_c = catalogue.default_value("route-hot-from").value};
}

std::vector<RunCost> run_costs(const Vehicle& vehicle, const Catalogue& catalogue,
                               const std::vector<Metres>& lengths,
                               const std::vector<ZoneId>& zones) {
    const RouteShares shares = route_shares(vehicle, catalogue);
    std::vector<RunCost> out;
    out.reserve(vehicle.runs.size());
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        RunCost cost{.length_m = lengths[i].value(),
                     .moving = run.moving ? shares.moving.value : 0.0,
                     .seen = run.hidden ? 0.0 : shares.seen.value};
        if (zones[i].is_valid()) {
            const Zone& zone = vehicle.zone(zones[i]);
            const double over_k = std::max(zone.air.value() - shares.hot_from_c, 0.0);
            cost.hot = shares.hot.value * over_k / hot_step_k;
            cost.wet = zone.wet ? shares.wet.value : 0.0;
        }
        out.push_back(cost);
    }
    return out;
}

std::vector<double> costs_m(const std::vector<RunCost>& costs) {
    std::vector<double> out;
    out.reserve(costs.size());
    for (const RunCost& cost : costs) {
        out.push_back(cost.cost_m());
    }
    return out;
}

} // namespace loomwright
