// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Where something is best put: every point of the body is tried.
//
//   trunk     T - l               T from the device to where the harness comes out
//   slack     L - (l + e)          L fixed lead, l way through the runs, e what one end takes
//   copper    sum of A L_cut       over the wires at the devices that move
//   counted   sum of A (L_cut + (c - l))    c the cost of the way (run_costs.cpp): runs that are
//             hot, wet, moving or in view count for more than their copper
//
// Common practice, no source: what makes a good place is for the one who builds the car to say; the
// figures are given for each.
#include "loom/placing.hpp"

#include "loom/places.hpp"
#include "loom/routing.hpp"
#include "loom/run_costs.hpp"
#include "loom/ways.hpp"

#include <algorithm>
#include <tuple>

namespace loomwright {
namespace {

constexpr double trunk_rounding_m = 1e-9; ///< a trunk that is short by less reaches

/// The far end of the first wire on a lead's terminal.
TerminalRef joined_to(const Vehicle& vehicle, TerminalRef terminal) {
    for (const Wire& wire : vehicle.wires) {
        if (wire.from == terminal) {
            return wire.to;
        }
        if (wire.to == terminal) {
            return wire.from;
        }
    }
    return {};
}

/// Lengths of the cheapest ways, which is how wires are led.
class WayLengths {
public:
    WayLengths(const Vehicle& vehicle, const Catalogue& catalogue)
        : lengths_(estimate_run_lengths(vehicle, catalogue)),
          ways_(vehicle, costs_m(run_costs(vehicle, catalogue, lengths_, run_zones(vehicle)))) {}

    [[nodiscard]] double between(PointId from, PointId to) {
        if (from != root_) {
            ways_.find(from, {}, tree_);
            root_ = from;
        }
        const auto way = ways_.way_to(tree_, to);
        if (!way) {
            return no_way_m;
        }
        double length = 0.0;
        for (const RunId run : *way) {
            length += lengths_[run.index()].value();
        }
        return length;
    }

private:
    std::vector<Metres> lengths_;
    Ways ways_;
    WayTree tree_;
    PointId root_;
};

/// The lengths of the ways hang on the runs alone: worked out once for every place that is tried.
std::vector<LeadReach> reaches_by(const Vehicle& vehicle, const Catalogue& catalogue,
                                  WayLengths& lengths) {
    std::vector<LeadReach> out;
    const double end_m = wire_allowances(vehicle, catalogue).both_ends.value() / 2.0;
    for (std::size_t h = 0; h < vehicle.supplied.size(); ++h) {
        const SuppliedHarness& harness = vehicle.supplied[h];
        for (std::size_t l = 0; l < harness.leads.size(); ++l) {
            const SuppliedLead& lead = harness.leads[l];
            LeadReach reach{.harness = static_cast<int>(h),
                            .lead = static_cast<int>(l),
                            .from = harness.from,
                            .length_m = lead.length.value()};
            const TerminalRef far =
                joined_to(vehicle, {.device = harness.device, .terminal = lead.terminal});
            if (far.device.is_valid() && harness.from.is_valid()) {
                reach.to = place_of(vehicle, far);
                reach.joined = vehicle.show(far);
            }
            if (reach.to.is_valid()) {
                reach.needed_m = lengths.between(reach.from, reach.to) + end_m;
            }
            out.push_back(std::move(reach));
        }
    }
    return out;
}

/// A supplied harness of what is moved.
struct MovedHarness {
    std::size_t index = 0;    ///< into Vehicle::supplied
    bool comes_along = false; ///< its leads come out where its device is
    double trunk_m = 0.0;     ///< else: from its device to where they do
};

/// A car with only the wires that go to what is moved.
struct Moved {
    Vehicle vehicle;
    std::vector<double> area_m2; ///< by WireId of it
    std::vector<MovedHarness> harnesses;
};

Moved only_touching(const Vehicle& vehicle, std::span<const DeviceId> devices,
                    const std::vector<double>& area_m2, WayLengths& lengths) {
    Moved out{.vehicle = vehicle};
    out.vehicle.wires.clear();
    // A device inside a unit is where the unit is.
    const auto moves = [&](DeviceId device) {
        const DeviceId housing = vehicle.device(device).housing;
        return std::ranges::find(devices, device) != devices.end() ||
               (housing.is_valid() && std::ranges::find(devices, housing) != devices.end());
    };
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        if (moves(wire.from.device) || moves(wire.to.device)) {
            out.vehicle.wires.push_back(wire);
            out.area_m2.push_back(area_m2[i]);
        }
    }
    for (std::size_t h = 0; h < vehicle.supplied.size(); ++h) {
        const SuppliedHarness& harness = vehicle.supplied[h];
        const PointId at = device_place(vehicle, harness.device);
        if (!moves(harness.device) || !harness.from.is_valid()) {
            continue;
        }
        MovedHarness made{.index = h, .comes_along = harness.from == at};
        if (harness.trunk) {
            made.trunk_m = harness.trunk->value();
        } else if (at.is_valid()) {
            made.trunk_m = lengths.between(at, harness.from);
        }
        out.harnesses.push_back(made);
    }
    return out;
}

void count_leads(const Moved& moved, const Catalogue& catalogue, WayLengths& lengths,
                 PlaceChoice& choice) {
    if (moved.harnesses.empty()) {
        return;
    }
    const std::vector<LeadReach> reaches = reaches_by(moved.vehicle, catalogue, lengths);
    for (const MovedHarness& harness : moved.harnesses) {
        bool gets_there = true;
        if (!harness.comes_along) {
            const PointId from = moved.vehicle.supplied[harness.index].from;
            const double slack_m = harness.trunk_m - lengths.between(choice.point, from);
            choice.trunk_slack_m = std::min(choice.trunk_slack_m, slack_m);
            gets_there = slack_m >= -trunk_rounding_m;
        }
        for (const LeadReach& reach : reaches) {
            if (static_cast<std::size_t>(reach.harness) == harness.index && reach.is_joined()) {
                ++choice.leads;
                choice.leads_reaching += gets_there && reach.reaches() ? 1 : 0;
            }
        }
    }
}

double air_at(const Vehicle& vehicle, const Catalogue& catalogue, ZoneId zone) {
    return zone.is_valid() ? vehicle.zone(zone).air.value() : catalogue.default_value("air").value;
}

PlaceChoice judge(const Moved& moved, const Catalogue& catalogue, WayLengths& lengths,
                  PointId point) {
    const Vehicle& vehicle = moved.vehicle;
    PlaceChoice choice{.point = point};
    Findings ignored;
    const Routing routing = route_wires(vehicle, catalogue, ignored);
    const std::vector<RunCost> costs =
        run_costs(vehicle, catalogue, routing.run_lengths, routing.run_zones);
    const ZoneId zone = vehicle.point(point).zone;
    choice.air_c = air_at(vehicle, catalogue, zone);
    choice.is_wet = zone.is_valid() && vehicle.zone(zone).wet;
    choice.hottest_c = choice.air_c;
    for (std::size_t i = 0; i < routing.wires.size(); ++i) {
        const WireRoute& route = routing.wires[i];
        if (route.source == LengthSource::assumed) {
            choice.unrouted += route.start.is_valid() && route.end.is_valid() ? 1 : 0;
        }
        double extra_m = 0.0;
        for (const RunId run : route.runs) {
            const RunCost& cost = costs[run.index()];
            extra_m += cost.cost_m() - cost.length_m;
            choice.seen_m += vehicle.run(run).hidden ? 0.0 : cost.length_m;
        }
        choice.wire_m += route.length.value();
        choice.copper_m3 += moved.area_m2[i] * route.length.value();
        choice.counted_m3 += moved.area_m2[i] * (route.length.value() + extra_m);
        choice.hottest_c = std::max(choice.hottest_c, air_at(vehicle, catalogue, route.hottest));
    }
    count_leads(moved, catalogue, lengths, choice);
    return choice;
}

} // namespace

std::vector<LeadReach> lead_reaches(const Vehicle& vehicle, const Catalogue& catalogue) {
    if (vehicle.supplied.empty()) {
        return {};
    }
    WayLengths lengths(vehicle, catalogue);
    return reaches_by(vehicle, catalogue, lengths);
}

std::vector<PlaceChoice> place_choices(const Vehicle& vehicle, const Catalogue& catalogue,
                                       std::span<const DeviceId> devices,
                                       const std::vector<double>& area_m2) {
    WayLengths lengths(vehicle, catalogue);
    Moved moved = only_touching(vehicle, devices, area_m2, lengths);
    std::vector<PlaceChoice> out;
    for (std::size_t p = 0; p < vehicle.points.size(); ++p) {
        const PointId point(p);
        for (const DeviceId device : devices) {
            moved.vehicle.devices[device.index()].at = point;
        }
        for (const MovedHarness& harness : moved.harnesses) {
            if (harness.comes_along) {
                moved.vehicle.supplied[harness.index].from = point;
            }
        }
        out.push_back(judge(moved, catalogue, lengths, point));
        out.back().is_now = std::ranges::all_of(
            devices, [&](DeviceId device) { return vehicle.device(device).at == point; });
    }
    std::ranges::stable_sort(out, {}, [](const PlaceChoice& choice) {
        return std::tuple(choice.unrouted, choice.trunk_slack_m < -trunk_rounding_m,
                          -choice.leads_reaching, choice.counted_m3);
    });
    return out;
}

std::vector<DeviceId> devices_at(const Vehicle& vehicle, std::string_view name) {
    if (const DeviceId device = vehicle.find_device(name); device.is_valid()) {
        return {device};
    }
    std::vector<DeviceId> out;
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const PointId at = vehicle.devices[i].at;
        if (at.is_valid() && vehicle.point(at).name == name) {
            out.emplace_back(i);
        }
    }
    return out;
}

} // namespace loomwright
