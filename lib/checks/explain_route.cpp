// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Why a wire takes its way: what each run on it costs, and the shortest way where that is another.
#include "checks/gathered.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"

#include "base/display.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright {
namespace {

/// A way told run by run, and what it adds up to.
struct Told {
    std::string runs;
    double length_m = 0.0;
    double cost_m = 0.0;
};

Told tell(const Vehicle& vehicle, const std::vector<RunCost>& costs,
          const std::vector<RunId>& runs) {
    Told out;
    for (const RunId run : runs) {
        out.runs += (out.runs.empty() ? "" : ", ") + vehicle.run(run).name;
        out.length_m += costs[run.index()].length_m;
        out.cost_m += costs[run.index()].cost_m();
    }
    return out;
}

/// "hot (95 C), in view": what is set against a run; empty for nothing.
std::string reasons(const StudyInput& study, RunId id, const RunCost& cost) {
    std::vector<std::string> out;
    const ZoneId zone = study.routing.run_zones[id.index()];
    if (cost.hot > 0.0) {
        out.push_back(fmt::format("hot ({})", show(study.vehicle.zone(zone).air)));
    }
    if (cost.wet > 0.0) {
        out.emplace_back("wet");
    }
    if (cost.moving > 0.0) {
        out.emplace_back("moving");
    }
    if (cost.seen > 0.0) {
        out.emplace_back("in view");
    }
    return fmt::format("{}", fmt::join(out, ", "));
}

std::string sources_of(const RouteShares& shares, const RunCost& cost) {
    std::vector<std::string> out;
    const auto add = [&](double applied, const RouteShare& share) {
        if (applied > 0.0 && std::ranges::find(out, share.source) == out.end()) {
            out.push_back(share.source);
        }
    };
    add(cost.hot, shares.hot);
    add(cost.wet, shares.wet);
    add(cost.moving, shares.moving);
    add(cost.seen, shares.seen);
    return out.empty() ? "docs/method/routes.md" : fmt::format("{}", fmt::join(out, "; "));
}

std::string names_of(const std::vector<Given<std::string>>& names) {
    std::string out;
    for (const Given<std::string>& name : names) {
        out += (out.empty() ? "" : ", ") + name.value;
    }
    return out;
}

} // namespace

ProofSection prove_route(Gathered& gathered, WireId id) {
    const StudyInput& study = gathered.input.study;
    const Vehicle& vehicle = study.vehicle;
    const Wire& wire = vehicle.wire(id);
    const WireRoute& route = study.routing.wires[id.index()];
    ProofSection out{"Way", {}};
    if (route.runs.empty()) {
        return out;
    }
    const std::vector<RunCost>& costs = gathered.costs();
    const RouteShares shares = route_shares(vehicle, study.catalogue);
    std::string sum;
    for (const RunId run : route.runs) {
        const RunCost& cost = costs[run.index()];
        const std::string why = reasons(study, run, cost);
        out.steps.push_back(
            {fmt::format("cost of {} = L (1 + hot + wet + moving + seen){}{}",
                         vehicle.run(run).name, why.empty() ? "" : "; ", why),
             fmt::format("{} x (1 + {} + {} + {} + {})", exact_length(Metres(cost.length_m)),
                         show_number(cost.hot), show_number(cost.wet), show_number(cost.moving),
                         show_number(cost.seen)),
             exact_length(Metres(cost.cost_m())), sources_of(shares, cost)});
        sum += (sum.empty() ? "" : " + ") + exact_length(Metres(cost.cost_m()));
    }
    const Told taken = tell(vehicle, costs, route.runs);
    out.steps.push_back({"cost of the way = sum of its runs", sum,
                         exact_length(Metres(taken.cost_m)), "docs/method/routes.md"});
    if (!wire.via.empty() || !wire.avoid.empty()) {
        out.steps.push_back(
            {"asked for in the file",
             fmt::format("{}{}{}{}{}", wire.via.empty() ? "" : "via ", names_of(wire.via),
                         wire.via.empty() || wire.avoid.empty() ? "" : "; ",
                         wire.avoid.empty() ? "" : "avoid ", names_of(wire.avoid)),
             taken.runs, "the vehicle file"});
        return out;
    }
    const Ways& ways = gathered.ways_by_length();
    WayTree tree;
    ways.find(route.start, {}, tree);
    const auto way = ways.way_to(tree, route.end);
    const Told shortest = tell(vehicle, costs, way.value_or(route.runs));
    constexpr double same_m = 1e-9;
    const bool is_shortest = shortest.length_m >= taken.length_m - same_m;
    out.steps.push_back({is_shortest ? "the shortest way, by length alone, is this one"
                                     : "the shortest way, by length alone: " + shortest.runs,
                         is_shortest
                             ? std::string()
                             : fmt::format("{} shorter, costs {} more",
                                           exact_length(Metres(taken.length_m - shortest.length_m)),
                                           exact_length(Metres(shortest.cost_m - taken.cost_m))),
                         exact_length(Metres(shortest.length_m)), "docs/method/routes.md"});
    return out;
}

} // namespace loomwright
