// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/explain.hpp"

#include "base/display.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace loomwright {
namespace {

std::string_view length_source_name(LengthSource source) {
    switch (source) {
    case LengthSource::measured:
        return "measured on the car (the vehicle file)";
    case LengthSource::written:
        return "written in the vehicle file";
    case LengthSource::routed:
        return "lengths of the runs (the vehicle file)";
    case LengthSource::estimated:
        return "lengths of the runs; at least one is an estimate from coordinates";
    case LengthSource::same_place:
        return "both ends at one point: allowances only";
    case LengthSource::assumed:
        return "tables defaults, assumed-length: an end has no place";
    }
    return "";
}

ProofSection prove_length(const CheckInput& input, WireId id) {
    const WireRoute& route = input.study.routing.wires[id.index()];
    const Metres length = input.sizing.design.wires[id.index()].length;
    ProofSection out{"Length", {}};
    if (!route.runs.empty()) {
        std::string with;
        for (const RunId run : route.runs) {
            with +=
                fmt::format("{}{} {}", with.empty() ? "" : " + ", input.study.vehicle.run(run).name,
                            show(input.study.routing.run_lengths[run.index()]));
        }
        out.steps.push_back({"runs = sum of the runs on the way", with, show(route.runs_length),
                             std::string(length_source_name(route.source))});
        out.steps.push_back(
            {"L = runs + take-out, service loop and strip of both ends",
             fmt::format("{} + {}", show(route.runs_length), show(route.allowance)), show(length),
             "tables defaults: take-out, service-loop, strip, or the file's policy"});
    } else {
        out.steps.push_back({"L", "", show(length), std::string(length_source_name(route.source))});
    }
    return out;
}

} // namespace

ProofSection prove_conductor(const CheckInput& input, WireId id) {
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const Conductor& conductor = *made.conductor;
    ProofSection out{"Conductor", {}};
    out.steps.push_back(
        {"r20, area and diameter of " + show(conductor.size), "",
         fmt::format("{} mohm/m, {}, {} mm", show_number(conductor.r20_ohm_per_m * 1e3),
                     show(conductor.area), show_number(conductor.diameter.value() * 1e3)),
         fmt::format("{} ({})", conductor.r20_origin.source,
                     provenance_name(conductor.r20_origin.provenance))});
    out.steps.push_back({"R20 = r20 x L",
                         fmt::format("{} mohm/m x {}", show_number(conductor.r20_ohm_per_m * 1e3),
                                     show(made.length)),
                         show(Ohms(made.r20_ohm())), "IEC 60028, copper at 20 C"});
    out.steps.push_back({"temperature class of " + made.insulation->name, "",
                         show(made.insulation->limit), made.insulation->limit_origin.source});
    return out;
}

namespace {

ProofSection prove_size(const CheckInput& input, WireId id) {
    const WireSizing& wire = input.sizing.wires[id.index()];
    ProofSection out{"Size", {}};
    const auto ask = [&](std::string_view demand, double area_m2, std::string source) {
        out.steps.push_back({fmt::format("smallest size that {} asks", demand), "",
                             area_m2 > 0.0 ? show(SquareMetres(area_m2)) : "none of the table",
                             std::move(source)});
    };
    if (wire.was_auto) {
        ask("ampacity", wire.area_for_ampacity_m2, "ampacity in its place, above");
        ask("its fuse", wire.area_for_fuse_m2, "protection, above");
        ask("voltage drop", wire.area_for_drop_m2, "voltage drop, above, all else as settled");
        ask("strength", wire.area_for_least_m2, least_area(input.study).source);
    }
    out.steps.push_back({"chosen", wire.why,
                         show(input.sizing.design.wires[id.index()].conductor->size),
                         fmt::format("decided by: {}", reason_name(wire.decided_by))});
    return out;
}

} // namespace

const LoadDrop* tightest_drop(const CheckInput& input, WireId wire, DeviceId load) {
    const LoadDrop* tightest = nullptr;
    const int branch = wire.is_valid() ? input.study.network.wire_branch[wire.index()] : -1;
    const auto is_it = [&](const PathPart& part) { return part.branch == branch; };
    for (const LoadDrop& drop : input.sizing.drops) {
        const bool is_meant = load.is_valid() ? drop.load == load
                                              : std::ranges::any_of(drop.feed, is_it) ||
                                                    std::ranges::any_of(drop.back, is_it);
        if (is_meant && is_drop_judged(input.study.vehicle, drop) &&
            (tightest == nullptr ||
             drop.drop_v / drop.limit_v > tightest->drop_v / tightest->limit_v)) {
            tightest = &drop;
        }
    }
    return tightest;
}

ProofSection prove_drop(const CheckInput& input, const LoadDrop& drop) {
    const Vehicle& vehicle = input.study.vehicle;
    ProofSection out{fmt::format("Voltage drop of the path to {} in {}",
                                 vehicle.device(drop.load).name, state_name(vehicle, drop.state)),
                     {}};
    std::string sum;
    for (const auto* parts : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *parts) {
            const Branch& branch =
                input.study.network.branches[static_cast<std::size_t>(part.branch)];
            std::string what = branch.wire.is_valid() ? "wire " + vehicle.wire(branch.wire).number
                                                      : vehicle.device(branch.device).name;
            std::string with;
            if (branch.wire.is_valid()) {
                const auto state =
                    std::ranges::find(input.sizing.states, drop.state, &StateSolution::state);
                const WireState& is =
                    input.sizing
                        .judged(static_cast<std::size_t>(state - input.sizing.states.begin()))
                        .wires[branch.wire.index()];
                with = fmt::format("{} x {} at {}", show(Amps(std::abs(is.amps))),
                                   show(Ohms(is.ohm)), show(Celsius(is.conductor_c)));
            }
            out.steps.push_back(
                {fmt::format("V = I R in {}{}", what, parts == &drop.back ? " (way back)" : ""),
                 with, show(Volts(part.volts)), "operating point, docs/method/operating-point.md"});
            sum += (sum.empty() ? "" : " + ") + show_number(part.volts * 1e3, 4);
        }
    }
    out.steps.push_back({"drop = sum over the way there and back, mV", sum,
                         show(Volts(drop.drop_v)), "Kirchhoff's voltage law"});
    out.steps.push_back(
        {"drop <= limit of its class",
         fmt::format("{} <= {}", show(Volts(drop.drop_v)), show(Volts(drop.limit_v))),
         drop.drop_v <= drop.limit_v ? "holds" : "does not hold",
         drop_limit(input.study, drop.circuit).source});
    return out;
}

std::vector<ProofSection> explain_wire(const CheckInput& input, WireId id) {
    std::vector<ProofSection> out{prove_length(input, id), prove_conductor(input, id),
                                  prove_temperature(input, id), prove_ampacity(input, id)};
    ProofSection sources = prove_sources(input, id);
    if (!sources.steps.empty()) {
        out.push_back(std::move(sources));
    }
    out.push_back(prove_guard(input, id));
    if (const LoadDrop* drop = tightest_drop(input, id, {})) {
        out.push_back(prove_drop(input, *drop));
    }
    out.push_back(prove_size(input, id));
    return out;
}

std::vector<ProofSection> explain_load(const CheckInput& input, DeviceId load) {
    std::vector<ProofSection> out;
    if (const LoadDrop* drop = tightest_drop(input, {}, load)) {
        out.push_back(prove_drop(input, *drop));
    } else {
        out.push_back({"No state in which it is judged", {}});
    }
    return out;
}

std::optional<std::vector<ProofSection>> explain(const CheckInput& input, std::string_view id) {
    const WireId wire = input.study.vehicle.find_wire(id);
    if (wire.is_valid()) {
        return explain_wire(input, wire);
    }
    const DeviceId device = input.study.vehicle.find_device(id);
    if (!device.is_valid()) {
        return std::nullopt;
    }
    const auto fuse = std::ranges::find(input.sizing.fuses, device, &FuseSizing::device);
    if (fuse != input.sizing.fuses.end()) {
        std::vector<ProofSection> out = explain_fuse(input, *fuse);
        std::ranges::move(explain_shorts(input, *fuse), std::back_inserter(out));
        return out;
    }
    const Device& found = input.study.vehicle.device(device);
    if (found.as<Relay>() != nullptr) {
        return explain_relay(input, device);
    }
    if (found.as<Load>() != nullptr || found.as<Starter>() != nullptr ||
        found.as<Controller>() != nullptr || found.as<Sensor>() != nullptr) {
        return explain_load(input, device);
    }
    return std::nullopt;
}

} // namespace loomwright
