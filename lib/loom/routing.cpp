// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/routing.hpp"

#include "loom/places.hpp"
#include "loom/run_costs.hpp"
#include "loom/ways.hpp"

#include <algorithm>
#include <limits>
#include <map>

namespace loomwright {
namespace {

/// One way that the search holds open: what it cost so far, and by which runs.
struct OpenWay {
    PointId at;
    double cost_m = 0.0;
    std::vector<RunId> runs;
};

/// Finds the ways of all wires, one tree of cheapest ways for each starting point.
class Router {
public:
    Router(const Vehicle& vehicle, const Catalogue& catalogue, Findings& findings)
        : vehicle_(vehicle), findings_(findings), places_(vehicle),
          lengths_(estimate_run_lengths(vehicle, catalogue)), zones_(run_zones(vehicle)),
          costs_(costs_m(run_costs(vehicle, catalogue, lengths_, zones_))), ways_(vehicle, costs_),
          allowances_(wire_allowances(vehicle, catalogue)),
          stagger_(catalogue.default_value("splice-stagger").value) {}

    [[nodiscard]] Routing route() {
        Routing out;
        out.run_lengths = lengths_;
        out.run_zones = zones_;
        out.wires.resize(vehicle_.wires.size());
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            out.wires[i].start = places_.of(vehicle_.wires[i].from);
            out.wires[i].end = places_.of(vehicle_.wires[i].to);
        }
        no_way_.assign(out.wires.size(), 0);
        route_plain(out);
        route_wished(out);
        out.splices = place_splices(vehicle_, out.wires, lengths_, stagger_);
        place_of_device_ = places_by_device(vehicle_, out.splices);
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            measure(WireId(i), out);
            describe_surroundings(out, out.wires[i]);
        }
        list_run_wires(out);
        return out;
    }

private:
    [[nodiscard]] bool has_wishes(const Wire& wire) const {
        return !wire.via.empty() || !wire.avoid.empty();
    }
    [[nodiscard]] static bool has_places(const WireRoute& route) {
        return route.start.is_valid() && route.end.is_valid();
    }

    /// Wires with no wishes: grouped by the end at which more wires meet, so that few trees serve
    /// many.
    void route_plain(Routing& out) {
        std::vector<int> meeting(vehicle_.points.size(), 0);
        std::vector<std::vector<WireId>> by_root(vehicle_.points.size());
        const auto is_plain = [&](std::size_t i) {
            return has_places(out.wires[i]) && out.wires[i].start != out.wires[i].end &&
                   !has_wishes(vehicle_.wires[i]);
        };
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            if (is_plain(i)) {
                ++meeting[out.wires[i].start.index()];
                ++meeting[out.wires[i].end.index()];
            }
        }
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            if (is_plain(i)) {
                const std::size_t a = out.wires[i].start.index();
                const std::size_t b = out.wires[i].end.index();
                const bool at_a = meeting[a] != meeting[b] ? meeting[a] > meeting[b] : a < b;
                by_root[at_a ? a : b].emplace_back(i);
            }
        }
        WayTree tree;
        for (std::size_t root = 0; root < by_root.size(); ++root) {
            if (by_root[root].empty()) {
                continue;
            }
            ways_.find(PointId(root), {}, tree);
            for (const WireId wire : by_root[root]) {
                take_from_tree(tree, PointId(root), wire, out.wires[wire.index()]);
            }
        }
    }

    void take_from_tree(const WayTree& tree, PointId root, WireId wire, WireRoute& route) {
        const bool starts_at_root = route.start == root;
        auto way = ways_.way_to(tree, starts_at_root ? route.end : route.start);
        if (!way) {
            no_way_[wire.index()] = 1;
            return;
        }
        route.runs = std::move(*way);
        if (!starts_at_root) {
            std::ranges::reverse(route.runs);
        }
    }

    void route_wished(Routing& out) {
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            if (!has_wishes(vehicle_.wires[i]) || !has_places(out.wires[i])) {
                continue;
            }
            if (!route_through(vehicle_.wires[i], out.wires[i])) {
                no_way_[i] = 1;
            }
        }
    }

    [[nodiscard]] int find_run(const std::string& name) const {
        const auto found = std::ranges::find(vehicle_.runs, name, &Run::name);
        return found == vehicle_.runs.end() ? -1 : static_cast<int>(found - vehicle_.runs.begin());
    }
    [[nodiscard]] int find_point(const std::string& name) const {
        const auto found = std::ranges::find(vehicle_.points, name, &Point::name);
        return found == vehicle_.points.end() ? -1
                                              : static_cast<int>(found - vehicle_.points.begin());
    }

    [[nodiscard]] std::vector<std::uint8_t> closed_runs(const Wire& wire) const {
        std::vector<std::uint8_t> closed(wire.avoid.empty() ? 0 : vehicle_.runs.size(), 0);
        for (const Given<std::string>& name : wire.avoid) {
            if (const int run = find_run(name.value); run >= 0) {
                closed[static_cast<std::size_t>(run)] = 1;
            } else if (const int point = find_point(name.value); point >= 0) {
                const PointId shut(static_cast<std::size_t>(point));
                for (std::size_t i = 0; i < closed.size(); ++i) {
                    if (vehicle_.runs[i].from == shut || vehicle_.runs[i].to == shut) {
                        closed[i] = 1;
                    }
                }
            }
        }
        return closed;
    }

    /// Way through all of `via` in order: a run may be passed either way, so two ways stay open.
    [[nodiscard]] bool route_through(const Wire& wire, WireRoute& route) {
        const std::vector<std::uint8_t> closed = closed_runs(wire);
        std::vector<OpenWay> leads{{route.start, 0.0, {}}};
        for (const Given<std::string>& name : wire.via) {
            if (const int run = find_run(name.value); run >= 0) {
                leads = pass_run(leads, static_cast<std::size_t>(run), closed);
            } else if (const int point = find_point(name.value); point >= 0) {
                leads = reach(leads, PointId(static_cast<std::size_t>(point)), closed);
            }
        }
        leads = reach(leads, route.end, closed);
        if (leads.empty()) {
            return false;
        }
        route.runs = std::move(leads.front().runs);
        return true;
    }

    [[nodiscard]] std::vector<OpenWay> pass_run(const std::vector<OpenWay>& leads,
                                                std::size_t index,
                                                const std::vector<std::uint8_t>& closed) {
        const Run& run = vehicle_.runs[index];
        std::vector<OpenWay> out;
        if (!closed.empty() && closed[index] != 0) {
            return out;
        }
        for (const bool forward : {true, false}) {
            std::vector<OpenWay> here = reach(leads, forward ? run.from : run.to, closed);
            if (!here.empty()) {
                OpenWay& lead = here.front();
                lead.at = forward ? run.to : run.from;
                lead.cost_m += costs_[index];
                lead.runs.emplace_back(index);
                out.push_back(std::move(lead));
            }
        }
        return out;
    }

    /// The cheapest of the open ways carried on to a point, as a list of one; empty when none gets
    /// there.
    [[nodiscard]] std::vector<OpenWay> reach(const std::vector<OpenWay>& leads, PointId target,
                                             const std::vector<std::uint8_t>& closed) {
        std::vector<OpenWay> out;
        for (const OpenWay& lead : leads) {
            const WayTree& tree = tree_from(lead.at, closed);
            const auto way = ways_.way_to(tree, target);
            const double cost = lead.cost_m + tree.cost_m[target.index()];
            if (!way || (!out.empty() && cost >= out.front().cost_m)) {
                continue;
            }
            out.assign(1, {target, cost, lead.runs});
            out.front().runs.insert(out.front().runs.end(), way->begin(), way->end());
        }
        return out;
    }

    [[nodiscard]] const WayTree& tree_from(PointId root, const std::vector<std::uint8_t>& closed) {
        constexpr std::size_t most_kept = 64;
        if (kept_.size() >= most_kept) {
            kept_.clear();
        }
        const auto [place, is_new] = kept_.try_emplace({root, closed});
        if (is_new) {
            ways_.find(root, closed, place->second);
        }
        return place->second;
    }

    void measure(WireId id, Routing& out) {
        const Wire& wire = vehicle_.wire(id);
        WireRoute& route = out.wires[id.index()];
        bool is_estimated = false;
        for (const RunId run : route.runs) {
            route.runs_length += lengths_[run.index()];
            is_estimated = is_estimated || vehicle_.run(run).is_estimated;
        }
        if (wire.length) {
            route.length = wire.length->value;
            route.source = wire.length_is_measured ? LengthSource::measured : LengthSource::written;
            return;
        }
        if (!has_places(route) || no_way_[id.index()] != 0) {
            route.length = allowances_.assumed;
            route.source = LengthSource::assumed;
            if (has_places(route)) {
                report_no_way(id, route);
            }
            return;
        }
        route.allowance = allowances_.both_ends;
        if (route.runs.empty()) {
            route.allowance = std::max(route.allowance, allowances_.same_place);
            route.source = LengthSource::same_place;
        } else {
            route.source = is_estimated ? LengthSource::estimated : LengthSource::routed;
        }
        route.detour = splice_detour(wire, route, out.splices, place_of_device_);
        route.length = route.runs_length + route.detour + route.allowance;
    }

    void report_no_way(WireId id, const WireRoute& route) {
        const Wire& wire = vehicle_.wire(id);
        const std::string& start = vehicle_.point(route.start).name;
        const std::string& end = vehicle_.point(route.end).name;
        std::string message = "no runs lead from point " + start + " (" + vehicle_.show(wire.from) +
                              ") to point " + end + " (" + vehicle_.show(wire.to) + ")";
        if (has_wishes(wire)) {
            message += " in the way that via and avoid ask for";
        }
        findings_.add(Rule::no_route, wire.number, wire.where, message,
                      "add the run that is missing between " + start + " and " + end +
                          ", or write the wire's length");
    }

    void describe_surroundings(const Routing& out, WireRoute& route) const {
        const auto meet = [&](ZoneId zone) {
            if (!zone.is_valid()) {
                return;
            }
            route.is_wet = route.is_wet || vehicle_.zone(zone).wet;
            if (!route.hottest.is_valid() ||
                vehicle_.zone(zone).air > vehicle_.zone(route.hottest).air) {
                route.hottest = zone;
            }
        };
        for (const PointId point : {route.start, route.end}) {
            if (point.is_valid()) {
                meet(vehicle_.point(point).zone);
            }
        }
        for (const RunId run : route.runs) {
            meet(out.run_zones[run.index()]);
        }
    }

    void list_run_wires(Routing& out) const {
        out.run_wires.resize(vehicle_.runs.size());
        for (std::size_t i = 0; i < out.wires.size(); ++i) {
            for (const RunId run : out.wires[i].runs) {
                out.run_wires[run.index()].emplace_back(i);
            }
        }
    }

    const Vehicle& vehicle_;
    Findings& findings_;
    Places places_;
    std::vector<Metres> lengths_;
    std::vector<ZoneId> zones_;
    std::vector<double> costs_; ///< by RunId
    Ways ways_;
    Allowances allowances_;
    Metres stagger_;
    std::vector<int> place_of_device_; ///< by DeviceId: index into Routing::splices; -1: no splice
    std::vector<std::uint8_t> no_way_;
    std::map<std::pair<PointId, std::vector<std::uint8_t>>, WayTree> kept_;
};

} // namespace

Routing route_wires(const Vehicle& vehicle, const Catalogue& catalogue, Findings& findings) {
    return Router(vehicle, catalogue, findings).route();
}

Celsius air_of(const Vehicle& vehicle, const Catalogue& catalogue, const WireRoute& route,
               const State* state) {
    if (state != nullptr && state->air) {
        return *state->air;
    }
    if (route.hottest.is_valid()) {
        return vehicle.zone(route.hottest).air;
    }
    return Celsius(catalogue.default_value("air").value);
}

} // namespace loomwright
