// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of a wire: its length, its conductor, its size, the drop on its way.
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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

/// What the two ends take beyond the runs.
void add_allowance(ProofSection& out, const CheckInput& input, const WireRoute& route,
                   Metres length) {
    const Policy& policy = input.study.vehicle.policy;
    const auto standard = [&](std::string_view name) {
        return Metres(input.study.catalogue.default_value(name).value);
    };
    const Metres take_out = policy.take_out ? policy.take_out->value : standard("take-out");
    const Metres service =
        policy.service_loop ? policy.service_loop->value : standard("service-loop");
    const std::string ends = fmt::format("2 x ({} + {} + {})", exact_length(take_out),
                                         exact_length(service), exact_length(standard("strip")));
    const bool has_detour = std::abs(route.detour.value()) > 0.0;
    const std::string detour = has_detour ? " + " + exact_length(route.detour) : "";
    if (route.source == LengthSource::same_place) {
        out.steps.push_back(
            {fmt::format("L = 2 (take-out + service loop + strip), or the least between two "
                         "at one point where that is more{}",
                         has_detour ? ", + to the splice in its place" : ""),
             fmt::format("max({}, {}){}", ends, exact_length(standard("same-place-length")),
                         detour),
             exact_length(length),
             "tables defaults: take-out, service-loop, strip, same-place-length"});
        return;
    }
    out.steps.push_back({"ends = 2 (take-out + service loop + strip)", ends,
                         exact_length(route.allowance),
                         "tables defaults: take-out, service-loop, strip, or the file's policy"});
    out.steps.push_back(
        {has_detour ? "L = runs + ends + to the splices in their places" : "L = runs + ends",
         fmt::format("{} + {}{}", exact_length(route.runs_length), exact_length(route.allowance),
                     detour),
         exact_length(length), "docs/method/routes.md"});
}

ProofSection prove_length(const CheckInput& input, WireId id) {
    const WireRoute& route = input.study.routing.wires[id.index()];
    const Metres length = input.sizing.design.wires[id.index()].length;
    ProofSection out{"Length", {}};
    if (!route.runs.empty()) {
        std::string with;
        std::vector<std::string> names;
        for (const RunId run : route.runs) {
            with += (with.empty() ? "" : " + ") +
                    exact_length(input.study.routing.run_lengths[run.index()]);
            names.push_back(input.study.vehicle.run(run).name);
        }
        out.steps.push_back({"runs = sum of " + list_of(names), with,
                             exact_length(route.runs_length),
                             std::string(length_source_name(route.source))});
    }
    if (route.source == LengthSource::routed || route.source == LengthSource::estimated ||
        route.source == LengthSource::same_place) {
        add_allowance(out, input, route, length);
        return out;
    }
    out.steps.push_back(
        {"L", "", exact_length(length), std::string(length_source_name(route.source))});
    return out;
}

} // namespace

ProofSection prove_conductor(const CheckInput& input, WireId id) {
    const WireDesign& made = input.sizing.design.wires[id.index()];
    const Conductor& conductor = *made.conductor;
    ProofSection out{"Conductor", {}};
    out.steps.push_back(
        {"r20, area, copper it is sure to hold and diameter d of " + show(conductor.size), "",
         fmt::format("{} mohm/m, {}, {}, {} mm", figure(conductor.r20_ohm_per_m * 1e3),
                     show(conductor.area), show(conductor.copper_area),
                     figure(conductor.diameter.value() * 1e3)),
         fmt::format("{} ({})", conductor.r20_origin.source,
                     provenance_name(conductor.r20_origin.provenance))});
    out.steps.push_back({"R20 = r20 x L",
                         fmt::format("{} mohm/m x {}", figure(conductor.r20_ohm_per_m * 1e3),
                                     exact_length(made.length)),
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

const LoadDrop* tightest_drop(const CheckInput& input, WireId wire, DeviceId load,
                              bool is_solenoid) {
    const LoadDrop* tightest = nullptr;
    const int branch = wire.is_valid() ? input.study.network.wire_branch[wire.index()] : -1;
    const auto is_it = [&](const PathPart& part) { return part.branch == branch; };
    for (const LoadDrop& drop : input.sizing.drops) {
        const bool is_meant = load.is_valid() ? drop.load == load && drop.is_solenoid == is_solenoid
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
    ProofSection out{fmt::format("Voltage drop of the path to {} in {}", path_end(vehicle, drop),
                                 state_name(vehicle, drop.state)),
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
                const WireDesign& made = input.sizing.design.wires[branch.wire.index()];
                what += fmt::format(" at {}", show(Celsius(is.conductor_c)));
                with = fmt::format("{} x {} x (1 + 0.00393 x ({} - 20))",
                                   show(Amps(std::copysign(is.amps, part.volts))),
                                   show(Ohms(made.r20_ohm())), figure(is.conductor_c));
            }
            out.steps.push_back(
                {fmt::format("V = I R in {}{}", what, parts == &drop.back ? " (way back)" : ""),
                 with, show(Volts(part.volts)), "operating point, docs/method/operating-point.md"});
            sum += (sum.empty() ? "" : " + ") + show(Volts(part.volts));
        }
    }
    out.steps.push_back({drop.is_solenoid
                             ? "drop = sum over the way there; it comes home with the motor"
                             : "drop = sum over the way there and back",
                         sum, show(Volts(drop.drop_v)), "Kirchhoff's voltage law"});
    out.steps.push_back(
        {"drop <= limit of its class",
         fmt::format("{} <= {}", show(Volts(drop.drop_v)), show(Volts(drop.limit_v))),
         within(drop.drop_v, drop.limit_v), drop_limit(input.study, drop.circuit).source});
    return out;
}

std::vector<ProofSection> explain_wire(Gathered& gathered, WireId id) {
    const CheckInput& input = gathered.input;
    std::vector<ProofSection> out{prove_length(input, id)};
    if (ProofSection way = prove_route(gathered, id); !way.steps.empty()) {
        out.push_back(std::move(way));
    }
    if (ProofSection colour = prove_colour(input, id); !colour.steps.empty()) {
        out.push_back(std::move(colour));
    }
    out.push_back(prove_conductor(input, id));
    out.push_back(prove_temperature(input, gathered.loads(), id));
    out.push_back(prove_ampacity(input, id));
    ProofSection sources = prove_sources(gathered, id);
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

} // namespace loomwright
