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
    std::ranges::stable_sort(out.wires, std::ranges::greater(), &PathPart::volts);
    return out;
}

/// Sizes that would bring the path under its limit: the costliest wires first, as few as will do.
std::string larger_wires(const CheckInput& input, const LoadDrop& drop, const PathCost& cost) {
    double over = drop.drop_v - drop.limit_v;
    std::vector<std::string> changes;
    for (const PathPart& part : cost.wires) {
        const WireId wire =
            input.study.network.branches[static_cast<std::size_t>(part.branch)].wire;
        const Conductor& now = *input.sizing.design.wires[wire.index()].conductor;
        const Conductor* chosen = nullptr;
        for (const Conductor& conductor : input.study.catalogue.conductors(now.size.standard)) {
            if (!conductor.is_standard_size || conductor.r20_ohm_per_m >= now.r20_ohm_per_m) {
                continue;
            }
            chosen = &conductor;
            if (part.volts * (1.0 - conductor.r20_ohm_per_m / now.r20_ohm_per_m) >= over) {
                break;
            }
        }
        if (chosen == nullptr || part.volts <= 0.0) {
            continue;
        }
        over -= part.volts * (1.0 - chosen->r20_ohm_per_m / now.r20_ohm_per_m);
        changes.push_back(fmt::format("{} or more for {}", show(chosen->size),
                                      input.study.vehicle.wire(wire).number));
        if (over <= 0.0) {
            return "use " + list_of(changes);
        }
        if (changes.size() == 3) {
            break;
        }
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
    Finding& finding = findings.add(
        Rule::drop_limit, load.name, place_of(load),
        fmt::format("the way there and back takes {} of {} in {}; {} is the limit of class {}",
                    show(Volts(drop.drop_v)), show(Volts(drop.supply_v)),
                    state_name(vehicle, drop.state), show(Volts(drop.limit_v)), name),
        larger_wires(input, drop, cost));
    finding.figures = {seen("drop", drop.drop_v, "V"), limit_of("limit", drop.limit_v, "V"),
                       given("current", drop.amps, "A"), given("at the load", drop.load_v, "V"),
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
    std::vector<const LoadDrop*> worst(input.study.vehicle.devices.size(), nullptr);
    for (const LoadDrop& drop : input.sizing.drops) {
        if (!is_drop_judged(input.study.vehicle, drop)) {
            continue;
        }
        const LoadDrop*& row = worst[drop.load.index()];
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
