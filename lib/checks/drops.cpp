// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// drop-limit: what wires, contacts, joints and metal take from each load, over its whole path.
#include "base/display.hpp"
#include "checks/returns.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// The wires of a path, the most costly first; parts that are no wire are summed.
struct PathCost {
    std::vector<PathPart> wires;
    double other_v = 0.0;
};

PathCost cost_of(const Network& network, const LoadDrop& drop) {
    PathCost out;
    for (const auto* parts : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *parts) {
            if (network.branches[static_cast<std::size_t>(part.branch)].wire.is_valid()) {
                out.wires.push_back(part);
            } else {
                out.other_v += part.volts;
            }
        }
    }
    // Those that take the same to a nanovolt in the order of the way, whatever the last bits say.
    std::ranges::stable_sort(out.wires, std::ranges::greater(),
                             [](const PathPart& part) { return std::round(part.volts * 1e9); });
    return out;
}

/// Wires of a path brought to one conductor's resistance or less, and what that takes.
struct Thicker {
    std::vector<std::pair<WireId, const Conductor*>> changes;
    double saved_v = 0.0;
    double copper_m3 = 0.0; ///< more than now
};

constexpr std::size_t most_changes = 8;

/// Raises the path's wires, the costliest first, to `target_ohm_per_m` or less, each in a size of
/// its own standard, until `over_v` is saved; as few as will do.
Thicker thicken(const CheckInput& input, const PathCost& cost, double target_ohm_per_m,
                double over_v) {
    Thicker out;
    for (const PathPart& part : cost.wires) {
        if (out.saved_v >= over_v || part.volts <= 0.0) {
            break;
        }
        const WireId wire =
            input.study.network.branches[static_cast<std::size_t>(part.branch)].wire;
        const WireDesign& made = input.sizing.design.wires[wire.index()];
        const Conductor& now = *made.conductor;
        const auto fits = [&](const Conductor& conductor) {
            return conductor.is_standard_size && conductor.r20_ohm_per_m <= target_ohm_per_m;
        };
        const auto sizes = input.study.catalogue.conductors(now.size.standard);
        const auto found = std::ranges::find_if(sizes, fits);
        if (found == sizes.end() || found->r20_ohm_per_m >= now.r20_ohm_per_m) {
            continue;
        }
        out.saved_v += part.volts * (1.0 - found->r20_ohm_per_m / now.r20_ohm_per_m);
        out.copper_m3 += (found->area - now.area).value() * made.length.value();
        out.changes.emplace_back(wire, &*found);
    }
    return out;
}

std::string say_thicker(const CheckInput& input, const Thicker& thicker) {
    std::vector<std::string> out;
    for (std::size_t i = 0; i < thicker.changes.size();) {
        const std::string size = show(thicker.changes[i].second->size);
        std::vector<std::string> numbers;
        for (; i < thicker.changes.size() && show(thicker.changes[i].second->size) == size; ++i) {
            numbers.push_back(input.study.vehicle.wire(thicker.changes[i].first).number);
        }
        out.push_back(fmt::format("{} or more for {}", size, list_of(numbers)));
    }
    return "use " + list_of(out);
}

/// The sizes that bring the path under its limit with the least copper added: one size for the
/// wires that cost most.
std::string larger_wires(const CheckInput& input, const LoadDrop& drop, const PathCost& cost) {
    const double over = drop.drop_v - drop.limit_v;
    Thicker best;
    for (const auto standard : {SizeStandard::iso, SizeStandard::sae, SizeStandard::awg}) {
        for (const Conductor& conductor : input.study.catalogue.conductors(standard)) {
            Thicker here = thicken(input, cost, conductor.r20_ohm_per_m, over);
            if (here.saved_v >= over && here.changes.size() <= most_changes &&
                (best.changes.empty() || here.copper_m3 < best.copper_m3)) {
                best = std::move(here);
            }
        }
    }
    if (!best.changes.empty()) {
        return say_thicker(input, best);
    }
    return fmt::format("shorten the path or feed the load from nearer its source; contacts, joints "
                       "and metal take {} of the drop",
                       show(Volts(cost.other_v)));
}

void add_drop(const CheckInput& input, const LoadDrop& drop, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const Device& load = vehicle.device(drop.load);
    const std::string name =
        drop.circuit.is_valid() && !vehicle.circuit(drop.circuit).drop_class.value.empty()
            ? vehicle.circuit(drop.circuit).drop_class.value
            : "other";
    const PathCost cost = cost_of(input.study.network, drop);
    Finding& finding =
        findings.add(Rule::drop_limit, load.name, place_of(load),
                     fmt::format("the way {} takes {} of {} in {}; {} is the limit of class {}",
                                 drop.is_solenoid ? "to terminal 50" : "there and back",
                                 show(Volts(drop.drop_v)), show(Volts(drop.supply_v)),
                                 state_name(vehicle, drop.state), show(Volts(drop.limit_v)), name),
                     larger_wires(input, drop, cost));
    finding.figures = {
        seen("drop", drop.drop_v, "V"), limit_of("limit", drop.limit_v, "V"),
        given("current", drop.amps, "A"),
        given(drop.is_solenoid ? "at the solenoid" : "at the load", drop.load_v, "V"),
        given("contacts, joints and metal", cost.other_v, "V")};
    for (std::size_t i = 0; i < std::min<std::size_t>(2, cost.wires.size()); ++i) {
        const WireId id =
            input.study.network.branches[static_cast<std::size_t>(cost.wires[i].branch)].wire;
        const Wire& wire = vehicle.wire(id);
        finding.related.push_back(
            {wire.where, fmt::format("{} ({}, {}) takes {}", wire.number,
                                     show(input.sizing.design.wires[id.index()].conductor->size),
                                     show(input.sizing.design.wires[id.index()].length),
                                     show(Volts(cost.wires[i].volts)))});
    }
    finding.source = drop_limit(input.study, drop.circuit).source;
}

} // namespace

void check_drops(const CheckInput& input, Findings& findings) {
    // Two places for each device: a starter has a motor and a solenoid.
    std::vector<const LoadDrop*> worst(2 * input.study.vehicle.devices.size(), nullptr);
    for (const LoadDrop& drop : input.sizing.drops) {
        if (!is_drop_judged(input.study.vehicle, drop)) {
            continue;
        }
        const LoadDrop*& row = worst[2 * drop.load.index() + (drop.is_solenoid ? 1 : 0)];
        if (row == nullptr || drop.drop_v / drop.limit_v > row->drop_v / row->limit_v) {
            row = &drop;
        }
    }
    for (const LoadDrop* drop : worst) {
        if (drop != nullptr && drop->drop_v > drop->limit_v) {
            add_drop(input, *drop, findings);
        }
    }
    check_returns(input, findings);
}

} // namespace loomwright
