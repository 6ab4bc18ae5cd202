// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// not-solved, chattering, state-not-met, crank-voltage: what the solved states say of themselves;
// and sneak-path, for what works where it should be off, by a current that comes through another
// load.
#include "base/display.hpp"
#include "checks/unmet.hpp"
#include "checks/wording.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "study/branch_names.hpp"
#include "study/controller_supply.hpp"
#include "study/energy.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright {
namespace {

bool are_loads(const Vehicle& vehicle, const std::vector<DeviceId>& devices) {
    return std::ranges::all_of(devices, [&vehicle](DeviceId device) {
        const Device& made = vehicle.device(device);
        return made.as<Load>() != nullptr || made.as<Controller>() != nullptr;
    });
}

/// What a finding on a state is filed under, and where it stands.
struct StatePlace {
    std::string name;
    SourceRange where;
};

void add_chattering(const Vehicle& vehicle, const StatePlace& state,
                    const std::vector<DeviceId>& devices, Findings& findings) {
    std::vector<std::string> names;
    names.reserve(devices.size());
    for (const DeviceId device : devices) {
        names.push_back(name_of(vehicle, device));
    }
    const bool is_one = names.size() == 1;
    const bool by_load = are_loads(vehicle, devices);
    Finding& finding = findings.add(
        Rule::chattering, state.name, state.where,
        by_load ? fmt::format("{} start{} and let{} go for ever: the voltage falls below the least "
                              "when the current flows",
                              list_of(names), is_one ? "s" : "", is_one ? "s" : "")
                : fmt::format("{} {} on and off for ever: each position undoes its own cause",
                              list_of(names), is_one ? "switches" : "switch"),
        by_load ? "use larger wires on the way there and back, or feed it from nearer its source"
                : "feed the coil from before its own contact, or from a source that the contact "
                  "does not pull down");
    for (const DeviceId device : devices) {
        finding.related.push_back({vehicle.device(device).where, name_of(vehicle, device)});
    }
}

/// One finding for all loads that let go by themselves, and one for each loop of others.
void check_rest(const Vehicle& vehicle, const StatePlace& state, const StateSolution& solution,
                Findings& findings) {
    std::vector<DeviceId> loads;
    std::vector<const std::vector<DeviceId>*> others;
    for (const std::vector<DeviceId>& loop : solution.chattering) {
        if (are_loads(vehicle, loop)) {
            loads.insert(loads.end(), loop.begin(), loop.end());
        } else {
            others.push_back(&loop);
        }
    }
    if (!loads.empty()) {
        add_chattering(vehicle, state, loads, findings);
    }
    for (const std::vector<DeviceId>* loop : others) {
        add_chattering(vehicle, state, *loop, findings);
    }
}

void check_solved(const CheckInput& input, const StateSolution& solution, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const State* state = state_of(vehicle, solution.state);
    const StatePlace place{state_name(vehicle, solution.state),
                           state != nullptr ? state->where : SourceRange{vehicle.main_file}};
    if (!solution.chattering.empty()) {
        check_rest(vehicle, place, solution, findings);
    } else if (!solution.converged) {
        findings.add(
            Rule::not_solved, place.name, place.where, "no operating point: " + solution.failure,
            "look at the wires and loads named; a load may ask for more than can reach it");
    }
}

void add_sneak(const CheckInput& input, const Unmet& row, Findings& findings) {
    const Device& device = input.study.vehicle.device(row.device);
    Finding& finding = findings.add(
        Rule::sneak_path, device.name, row.where,
        fmt::format("{}{} in {}, where it should be off; its current comes by {}",
                    row.is_on ? "works" : "gets current",
                    row.amps < 0.0 ? ", the wrong way round," : "", list_of(row.states),
                    fmt::join(way_names(input.study, row.sneak), " > ")),
        "part the two by a diode or a relay's contact, or feed them from places that are not "
        "joined behind the contact that is open");
    if (!row.is_on) {
        finding.severity = Severity::caution;
    }
    finding.figures = {seen("voltage across it", row.volts, "V"), given("current", row.amps, "A")};
    finding.related.push_back({device.where, device.name});
}

/// What its contact carries is the end of the story: whether it comes in is told by the coil.
bool is_coil_at_rest(const Unmet& row) {
    return row.should_be_on && row.pull_in_v > 0.0;
}

std::string remedy_for(const CheckInput& input, const Unmet& row) {
    if (row.ballast.is_valid()) {
        // By its resistance alone, or without a voltage, it is taken to be rated for the whole.
        return fmt::format("where it is made to work behind {}, give the point that it is rated "
                           "for: here it has `draws: {} at {}`; else follow its feed and its way "
                           "back in that state: the voltage is too low",
                           name_of(input.study.vehicle, row.ballast),
                           show(Amps(std::abs(row.amps))), show(Volts(std::abs(row.volts))));
    }
    if (is_coil_at_rest(row)) {
        return "follow the way to its coil and back in that state: a switch, wire or ground on the "
               "way is open, or the voltage is too low";
    }
    return row.should_be_on
               ? "follow its feed and its way back in that state: a switch, relay, wire or ground "
                 "on the way is open, or the voltage is too low"
               : "follow what feeds it in that state: a contact is closed that should be open, or "
                 "current comes back through another load";
}

void add_unmet(const CheckInput& input, const Unmet& row, Findings& findings) {
    if (!row.sneak.empty()) {
        add_sneak(input, row, findings);
        return;
    }
    if (!row.should_be_on && !row.is_on) {
        return; // by its own feed, and too little to work
    }
    const Device& device = input.study.vehicle.device(row.device);
    Finding& finding = findings.add(
        Rule::state_not_met, device.name, row.where,
        fmt::format("is {} in {}, where it should be {}", row.should_be_on ? "off" : "on",
                    list_of(row.states), row.should_be_on ? "on" : "off"),
        remedy_for(input, row));
    if (is_coil_at_rest(row)) {
        finding.figures = {seen("voltage at the coil", row.coil_volts, "V"),
                           least_of("comes in at", row.pull_in_v, "V")};
    } else {
        finding.figures = {given("voltage across it", row.volts, "V"),
                           given("current", row.amps, "A")};
    }
    finding.related.push_back({device.where, device.name});
}

void check_expectations(const CheckInput& input, Findings& findings) {
    for (const Unmet& row : unmet_expectations(input.study, input.sizing)) {
        add_unmet(input, row, findings);
    }
}

void check_controller(const CheckInput& input, DeviceId id, const Controller& controller,
                      Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const bool has_feed = std::ranges::find(controller.parts, TerminalPart::feed,
                                            &ControllerTerminal::part) != controller.parts.end();
    if (!has_feed) {
        return;
    }
    const StateSolution* worst = nullptr;
    ControllerSupply least;
    for (const StateSolution& solution : input.sizing.states) {
        const State* state = state_of(vehicle, solution.state);
        if (state == nullptr || !solution.converged || !is_needed(controller, *state)) {
            continue;
        }
        const ControllerSupply here =
            controller_supply(input.study.network, id, controller, solution);
        if (worst == nullptr || here.volts < least.volts) {
            worst = &solution;
            least = here;
        }
    }
    const Limit limit = least_controller_voltage(input.study, controller);
    if (worst == nullptr || least.volts >= limit.value) {
        return;
    }
    const Device& device = vehicle.device(id);
    const std::string state = state_name(vehicle, worst->state);
    Finding& finding = findings.add(
        Rule::crank_voltage, device.name, place_of(device),
        least.feed < 0 ? fmt::format("has no live feed in {}, where it must stay awake", state)
                       : fmt::format("{} has {} in {}; it needs {}",
                                     device.terminals[static_cast<std::size_t>(least.feed)],
                                     show(Volts(least.volts)), state, show(Volts(limit.value))),
        least.feed < 0
            ? "feed it from a terminal that stays live in that state (15, not 75)"
            : fmt::format("feed it from nearer the battery, with {} less lost on the way, "
                          "or use a battery and starter cables with less resistance",
                          show(Volts(limit.value - least.volts))));
    finding.figures = {seen("voltage", least.volts, "V"), least_of("needs", limit.value, "V"),
                       given("current of the sources", worst->source_current_a, "A")};
    finding.source = limit.source;
}

} // namespace

void check_states(const CheckInput& input, Findings& findings) {
    for (const StateSolution& solution : input.sizing.states) {
        check_solved(input, solution, findings);
    }
    check_expectations(input, findings);
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        if (const auto* controller = input.study.vehicle.devices[i].as<Controller>()) {
            check_controller(input, DeviceId(i), *controller, findings);
        }
    }
}

} // namespace loomwright
