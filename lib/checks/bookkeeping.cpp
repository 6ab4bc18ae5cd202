// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// unused-part, estimated-length, outside-table: what the file says that nothing uses, what was
// guessed, and where a table was asked beyond its range.
#include "base/display.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <string>
#include <unordered_set>

namespace loomwright {
namespace {

/// The things that findings of these rules are about.
std::unordered_set<std::string> told_of(const Findings& findings,
                                        std::initializer_list<Rule> rules) {
    std::unordered_set<std::string> out;
    for (const Finding& finding : findings.all()) {
        if (std::ranges::find(rules, finding.rule) != rules.end()) {
            out.insert(finding.subject);
        }
    }
    return out;
}

/// Which terminals of each device a wire, a supplied lead, a case or an inner device uses.
std::vector<std::vector<std::uint8_t>> used_terminals(const Vehicle& vehicle) {
    std::vector<std::vector<std::uint8_t>> used = wired_terminals(vehicle);
    const auto mark = [&](DeviceId device, int terminal) {
        if (device.is_valid() && terminal >= 0 &&
            static_cast<std::size_t>(terminal) < used[device.index()].size()) {
            used[device.index()][static_cast<std::size_t>(terminal)] = 1;
        }
    };
    for (const Shield& shield : vehicle.shields) {
        for (const Given<TerminalRef>& drain : shield.drains) {
            mark(drain.value.device, drain.value.terminal);
        }
    }
    for (const SuppliedHarness& harness : vehicle.supplied) {
        for (const SuppliedLead& lead : harness.leads) {
            mark(harness.device, lead.terminal);
        }
    }
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        if (device.case_body) {
            mark(DeviceId(i), device.case_terminal);
        }
    }
    return used;
}

/// Parts whose every terminal must lead somewhere; of others (relay, switch, connector) some may be
/// left.
bool needs_all_terminals(const Device& device) {
    return device.as<Load>() != nullptr || device.as<Protection>() != nullptr ||
           device.as<Diode>() != nullptr || device.as<Resistor>() != nullptr;
}

void check_device(const CheckInput& input, DeviceId id,
                  const std::vector<std::vector<std::uint8_t>>& used,
                  const std::unordered_set<std::string>& without_return, Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    if (device.as<Strap>() != nullptr || device.housing.is_valid()) {
        return;
    }
    const auto& here = used[id.index()];
    const auto ends = std::ranges::count(here, std::uint8_t{1});
    const bool has_case_only = ends == 1 && device.case_body.has_value();
    if (ends == 0 || (has_case_only && device.terminals.size() > 1)) {
        findings
            .add(Rule::unused_part, device.name, device.where, "no wire ends at this device",
                 "wire it, or take it out of the file")
            .figures = {seen("wires at it", 0.0, ""), least_of("wires asked for", 1.0, "")};
        return;
    }
    if (!needs_all_terminals(device) || without_return.contains(device.name)) {
        return;
    }
    std::vector<std::string> bare;
    for (std::size_t t = 0; t < here.size(); ++t) {
        if (here[t] == 0) {
            bare.push_back(device.terminals[t]);
        }
    }
    if (!bare.empty()) {
        findings
            .add(Rule::unused_part, device.name, device.where,
                 fmt::format("no wire ends at {}", list_of(bare)),
                 "lead a wire there, or say with `case:` that the housing is the terminal")
            .figures = {
            seen("terminals with a wire", static_cast<double>(here.size() - bare.size()), ""),
            least_of("terminals", static_cast<double>(here.size()), "")};
    }
}

/// What a device draws when it works; nothing for what is no consumer.
std::optional<Amps> demand_of(const Device& device) {
    if (const auto* load = device.as<Load>()) {
        return load->draws.current;
    }
    if (const auto* starter = device.as<Starter>()) {
        return starter->draws.current;
    }
    const auto* controller = device.as<Controller>();
    return controller != nullptr && controller->draws ? std::optional(controller->draws->current)
                                                      : std::nullopt;
}

/// A consumer that no state turns on: its wires and its fuse were chosen without its current.
void check_idle(const CheckInput& input, Findings& findings) {
    const auto& states = input.sizing.states;
    const auto& devices = input.study.vehicle.devices;
    const bool are_solved = std::ranges::all_of(states, &StateSolution::converged);
    const auto told = told_of(findings, {Rule::unused_part, Rule::no_return, Rule::state_not_met});
    for (std::size_t i = 0; i < devices.size() && are_solved; ++i) {
        const std::optional<Amps> demand = demand_of(devices[i]);
        const bool works = std::ranges::any_of(
            states, [&](const StateSolution& state) { return state.devices[i].on; });
        if (!demand || works) {
            continue;
        }
        if (told.contains(devices[i].name)) {
            continue;
        }
        Finding& finding =
            findings.add(Rule::unused_part, devices[i].name, devices[i].where,
                         fmt::format("it works in no state: nothing is sized for the {} it draws",
                                     show(*demand)),
                         "write a state in which it works");
        finding.figures = {seen("states in which it works", 0.0, ""),
                           least_of("asked for", 1.0, ""),
                           given("its current", demand->value(), "A")};
    }
}

void check_unused(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const auto used = used_terminals(vehicle);
    const auto without_return = told_of(findings, {Rule::no_return});
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        check_device(input, DeviceId(i), used, without_return, findings);
    }
    std::vector<std::uint8_t> point_used(vehicle.points.size(), 0);
    std::vector<std::uint8_t> zone_used(vehicle.zones.size(), 0);
    const auto mark_point = [&](PointId point) {
        if (point.is_valid()) {
            point_used[point.index()] = 1;
        }
    };
    for (const Device& device : vehicle.devices) {
        mark_point(device.at);
    }
    for (const SuppliedHarness& harness : vehicle.supplied) {
        mark_point(harness.from);
    }
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        mark_point(run.from);
        mark_point(run.to);
        if (run.zone.is_valid()) {
            zone_used[run.zone.index()] = 1;
        }
        if (input.study.routing.run_wires[i].empty()) {
            findings
                .add(Rule::unused_part, run.name, run.where, "no wire passes this run",
                     "take it out of the file, or lead a wire through it with `via`")
                .figures = {seen("wires in it", 0.0, ""), least_of("wires asked for", 1.0, "")};
        }
    }
    for (std::size_t i = 0; i < vehicle.points.size(); ++i) {
        if (vehicle.points[i].zone.is_valid()) {
            zone_used[vehicle.points[i].zone.index()] = 1;
        }
        if (point_used[i] == 0) {
            findings
                .add(Rule::unused_part, vehicle.points[i].name, vehicle.points[i].where,
                     "no device is at this point and no run ends there", "take it out of the file")
                .figures = {seen("devices and runs at it", 0.0, ""),
                            least_of("asked for", 1.0, "")};
        }
    }
    for (std::size_t i = 0; i < vehicle.zones.size(); ++i) {
        if (zone_used[i] == 0) {
            findings
                .add(Rule::unused_part, vehicle.zones[i].name, vehicle.zones[i].where,
                     "no point or run lies in this zone", "take it out of the file")
                .figures = {seen("points and runs in it", 0.0, ""), least_of("asked for", 1.0, "")};
        }
    }
}

/// One note for each run whose length is a guess, one for each wire whose length is assumed.
void check_lengths(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        std::size_t by_it = 0;
        for (const WireId wire : input.study.routing.run_wires[i]) {
            by_it +=
                input.study.routing.wires[wire.index()].source == LengthSource::estimated ? 1U : 0U;
        }
        if (!run.is_estimated || by_it == 0) {
            continue;
        }
        Finding& finding =
            findings.add(Rule::estimated_length, run.name, run.where,
                         fmt::format("{} is the straight line between its ends; {} {} cut by it",
                                     show(input.study.routing.run_lengths[i]), by_it,
                                     by_it == 1 ? "wire is" : "wires are"),
                         "tape the run on the car and write its `length`");
        finding.figures = {given("length", input.study.routing.run_lengths[i].value(), "m")};
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        if (input.study.routing.wires[i].source != LengthSource::assumed) {
            continue;
        }
        const Wire& wire = vehicle.wires[i];
        Finding& finding =
            findings.add(Rule::estimated_length, wire.number, wire.where,
                         fmt::format("an end has no place, so {} is assumed",
                                     show(input.study.routing.wires[i].length)),
                         "give both devices a point with `at`, or the wire its `length`");
        finding.figures = {given("length", input.study.routing.wires[i].length.value(), "m")};
    }
}

void check_tables(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    for (std::size_t i = 0; i < input.sizing.runs.size(); ++i) {
        const RunLoading& run = input.sizing.runs[i];
        if (!run.outside_table) {
            continue;
        }
        const int last = input.study.catalogue.bundle_factor_last_row();
        Finding& finding = findings.add(
            Rule::outside_table, vehicle.runs[i].name, vehicle.runs[i].where,
            fmt::format(
                "{} loaded wires lie together and the handbook's bundle curves end at {}: the "
                "factor of {} and the heat balance of the bundle's skin are used",
                run.wires, last, last),
            "split the run, or take the ampacities here as the heat balance's alone");
        finding.severity = Severity::note;
        finding.figures = {seen("loaded wires", run.wires, ""),
                           limit_of("last row of the table", last, "")};
        finding.source = "tables bundle-factors";
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const WireDesign& made = input.sizing.design.wires[i];
        if (!Catalogue::outside(*made.conductor, *made.insulation).is_in_table) {
            Finding& finding = findings.add(
                Rule::outside_table, vehicle.wires[i].number, vehicle.wires[i].where,
                fmt::format("the tables do not have {} in {}: its outside diameter is a guess",
                            show(made.conductor->size), made.insulation->name),
                "choose an insulation that is sold in this size");
            finding.severity = Severity::note;
            finding.source = "tables insulation";
        }
    }
}

} // namespace

void check_bookkeeping(const CheckInput& input, Findings& findings) {
    check_unused(input, findings);
    check_idle(input, findings);
    check_lengths(input, findings);
    check_tables(input, findings);
}

} // namespace loomwright
