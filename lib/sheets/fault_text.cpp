// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A sweep of faults for people and for spreadsheets.
#include "sheets/fault_words.hpp"

#include "base/display.hpp"
#include "sheets/characters.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double per_mohm = 1000.0;
constexpr int least_width = 40;
constexpr int indent = 4;

std::string name_of_state(const FaultAnswer& answer, std::size_t state) {
    return state_name(answer.study.vehicle, answer.sweep.states[state].state);
}

/// "parked, cruise-night", or how many when they are many.
std::string states_text(const FaultAnswer& answer, const std::vector<std::size_t>& states) {
    constexpr std::size_t most_named = 3;
    const std::size_t all = answer.sweep.states.size();
    if (states.size() == all && all > 1) {
        return fmt::format("all {}", all);
    }
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(states.size(), most_named); ++i) {
        names.push_back(name_of_state(answer, states[i]));
    }
    return fmt::format(
        "{}{}", fmt::join(names, ", "),
        states.size() > most_named ? fmt::format(" and {} more", states.size() - most_named) : "");
}

const std::string& node_name(const FaultAnswer& answer, int node) {
    return answer.study.network.node_names[static_cast<std::size_t>(node)];
}

std::string wire_number(const FaultAnswer& answer, WireId wire) {
    return wire.is_valid() ? answer.study.vehicle.wire(wire).number : std::string();
}

Cell hottest_cell(const FaultAnswer& answer, const ShortEvent& event) {
    return event.hottest.is_valid() ? Cell(wire_number(answer, event.hottest)) : Cell();
}

Cell peak_cell(const ShortEvent& event) {
    return event.hottest.is_valid() ? Cell(told_c(event.hottest_c)) : Cell();
}

/// A time, "never" for one that does not come.
std::string time_text(double seconds) {
    return std::isinf(seconds) ? "never" : show(Seconds(seconds));
}

std::string wires_text(const FaultAnswer& answer, const std::vector<std::size_t>& cases) {
    std::vector<std::string> names;
    names.reserve(cases.size());
    for (const std::size_t which : cases) {
        names.push_back(wire_number(answer, answer.sweep.shorts[which].wire));
    }
    return fmt::format("{}", fmt::join(names, " "));
}

std::string branches_text(const FaultAnswer& answer, const std::vector<int>& branches) {
    std::vector<std::string> names;
    names.reserve(branches.size());
    for (const int branch : branches) {
        names.push_back(branch_name(answer.study, branch));
    }
    return fmt::format("{}", fmt::join(names, " "));
}

std::string controllers_text(const FaultAnswer& answer, const OpenCase& open) {
    std::vector<std::string> parts;
    for (const ControllerVolts& controller : open.controllers) {
        parts.push_back(
            fmt::format("{} {} V{}", answer.study.vehicle.device(controller.device).name,
                        show_number(controller.volts, 3), controller.is_on ? "" : " (off)"));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

std::string unexpected_text(const FaultAnswer& answer, const OpenCase& open) {
    std::vector<std::string> parts;
    for (const UnexpectedDevice& device : open.unexpected) {
        parts.push_back(fmt::format("{} {} V{}", answer.study.vehicle.device(device.device).name,
                                    show_number(device.volts, 3), device.is_on ? " on" : ""));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

/// "2.3 43 A", of the conductors that an open burns.
std::string overheated_text(const FaultAnswer& answer, const OpenCase& open) {
    std::vector<std::string> parts;
    for (const HotConductor& hot : open.overheated) {
        parts.push_back(
            fmt::format("{} {} A", wire_number(answer, hot.wire), show_number(hot.amps, 3)));
    }
    return fmt::format("{}", fmt::join(parts, ", "));
}

bool changes_nothing(const OpenCase& open) {
    return open.is_solved && open.dead.empty() && open.unexpected.empty() &&
           open.controllers.empty() && open.chattering.empty() && open.overheated.empty();
}

void add_paragraph(std::string& out, const std::string& text, TextWidth width) {
    for (const std::string& line : wrap(text, std::max(width.columns, least_width))) {
        out += line + "\n";
    }
}

std::string heading(const FaultAnswer& answer) {
    const FaultSweep& sweep = answer.sweep;
    const std::string metal = sweep.metal < 0 ? "" : node_name(answer, sweep.metal);
    return fmt::format("Faults, states: {}; ends of wires shorted to {} through {} mohm: {}; "
                       "conductors, contacts, fuses and grounds opened: {}",
                       sweep.states.size(), plain_text(metal.empty() ? "nothing" : metal),
                       show_number(sweep.short_ohm * per_mohm), sweep.shorts.size(),
                       sweep.opens.size());
}

std::string what_is_not_shown(const FaultAnswer& answer) {
    const FaultSweep& sweep = answer.sweep;
    const auto harmless = std::ranges::count_if(sweep.shorts, [&](const ShortCase& which) {
        const ShortEvent& event = sweep.event(which);
        return event.is_solved && event.outcome == ShortOutcome::harmless;
    });
    const auto quiet = std::ranges::count_if(sweep.opens, changes_nothing);
    return fmt::format("Not shown: shorts that nothing minds: {}; opens that change nothing: {}. "
                       "--csv and --json have them all.",
                       harmless, quiet);
}

/// Two paragraphs each: what happens, and the way of the current.
std::string sneaks_text(const FaultAnswer& answer, TextWidth width) {
    std::string out;
    for (const SneakDanger& danger : sneak_dangers(answer)) {
        const UnexpectedDevice& device = *danger.worst;
        out += out.empty() ? "\nSneak paths: what an open wakes or turns round\n" : "";
        add_paragraph(out,
                      fmt::format("{} open: {} has {}: {} V, {} A, in {}",
                                  branches_text(answer, danger.branches),
                                  answer.study.vehicle.device(device.device).name,
                                  sneak_text(device), show_number(device.volts, 3),
                                  show_number(device.amps, 3), states_text(answer, danger.states)),
                      width);
        const std::string way =
            fmt::format("{}", fmt::join(way_names(answer.study, device.way), " > "));
        for (const std::string& line : wrap(way, std::max(width.columns - indent, least_width))) {
            out += "    " + line + "\n";
        }
    }
    return out;
}

void add_sheet(std::string& out, const Sheet& sheet, TextWidth width) {
    if (!sheet.rows.empty()) {
        out += "\n" + sheet_text(sheet, width);
    }
}

} // namespace

Sheet fault_dangers_sheet(const FaultAnswer& answer) {
    Sheet sheet;
    sheet.name = "dangers";
    sheet.title = "Dangers: shorts that burn a conductor";
    sheet.columns = {
        text_column("outcome", "ends in"),         text_column("at", "short at"),
        text_column("wires", "wires there", true), text_column("states", "in", true),
        number_column("fault_a", "fault", "A", 0), text_column("opens", "opens", true),
        text_column("hottest", "hottest"),         number_column("peak_c", "peak", "C", 0),
        number_column("limit_c", "limit", "C", 0), text_column("too_hot_after", "passed after")};
    bool has_unprotected = false;
    for (const ShortDanger& danger : short_dangers(answer)) {
        const ShortEvent& event = *danger.worst;
        has_unprotected = has_unprotected || danger.is_before_protection;
        const HotConductor hot =
            event.overheated.empty() ? HotConductor{} : event.overheated.front();
        sheet.rows.push_back(
            {fmt::format("{}{}", outcome_name(event.outcome),
                         danger.is_before_protection ? " *" : ""),
             node_name(answer, danger.node), wires_text(answer, danger.cases),
             states_text(answer, danger.states), event.fault_a,
             event.opens.empty() ? std::string("nothing") : openings_text(answer.study, event),
             wire_number(answer, hot.wire), told_c(hot.peak_c),
             event.outcome == ShortOutcome::overheats ? hot.class_c : hot.short_time_c,
             time_text(hot.too_hot_after_s)});
    }
    if (has_unprotected) {
        sheet.notes.emplace_back("* before any protective device: nothing can open; such wires are "
                                 "kept short, covered and away from metal (unfused-length).");
    }
    return sheet;
}

Sheet fault_shorts_sheet(const FaultAnswer& answer) {
    Sheet sheet;
    sheet.name = "shorts";
    sheet.title = "Shorts to metal";
    sheet.columns = {text_column("state", "state"),
                     text_column("wire", "wire"),
                     text_column("at", "at"),
                     number_column("fault_a", "fault", "A", 1),
                     text_column("opens", "opens", true),
                     text_column("outcome", "ends in"),
                     text_column("hottest", "hottest"),
                     number_column("peak_c", "peak", "C", 0),
                     text_column("dead", "dead", true),
                     text_column("unexpected", "wakes", true)};
    for (const ShortCase& which : answer.sweep.shorts) {
        const ShortEvent& event = answer.sweep.event(which);
        if (event.is_solved && event.outcome == ShortOutcome::harmless) {
            continue;
        }
        sheet.rows.push_back(
            {name_of_state(answer, event.state), wire_number(answer, which.wire),
             node_name(answer, event.node), event.fault_a, openings_text(answer.study, event),
             std::string(event.is_solved ? outcome_name(event.outcome) : "no answer"),
             hottest_cell(answer, event), peak_cell(event), device_list(answer.study, event.dead),
             device_list(answer.study, event.unexpected)});
    }
    return sheet;
}

Sheet fault_opens_sheet(const FaultAnswer& answer) {
    Sheet sheet;
    sheet.name = "opens";
    sheet.title = "Opens";
    sheet.columns = {text_column("state", "state"),
                     text_column("opened", "opened"),
                     number_column("amps_before", "carried", "A", 2),
                     text_column("dead", "dead", true),
                     text_column("unexpected", "wakes", true),
                     text_column("controllers", "controllers", true),
                     text_column("overheated", "too hot", true)};
    for (const OpenCase& open : answer.sweep.opens) {
        if (changes_nothing(open)) {
            continue;
        }
        sheet.rows.push_back(
            {name_of_state(answer, open.state), branch_name(answer.study, open.branch),
             open.amps_before,
             open.is_solved ? device_list(answer.study, open.dead) : std::string("no answer"),
             unexpected_text(answer, open), controllers_text(answer, open),
             overheated_text(answer, open)});
    }
    return sheet;
}

std::string faults_text(const FaultAnswer& answer, TextWidth width) {
    std::string out;
    add_paragraph(out, heading(answer), width);
    for (const FaultState& state : answer.sweep.states) {
        if (!state.is_solved) {
            add_paragraph(out,
                          fmt::format("State {} has no answer: {}",
                                      plain_text(state_name(answer.study.vehicle, state.state)),
                                      plain_text(state.failure)),
                          width);
        }
    }
    const Sheet dangers = fault_dangers_sheet(answer);
    if (dangers.rows.empty() && !answer.sweep.shorts.empty()) {
        out += "\nNo short burns a conductor.\n";
    }
    add_sheet(out, dangers, width);
    out += sneaks_text(answer, width);
    add_sheet(out, fault_shorts_sheet(answer), width);
    add_sheet(out, fault_opens_sheet(answer), width);
    out += "\n";
    add_paragraph(out, what_is_not_shown(answer), width);
    add_paragraph(out,
                  fmt::format("{} operating points, {} of them by the full solver; "
                              "docs/method/faults.md says how and within what limits.",
                              answer.sweep.counts.points, answer.sweep.counts.from_nothing),
                  width);
    return out;
}

namespace {

Sheet csv_columns() {
    Sheet sheet;
    sheet.columns = {text_column("fault", "fault"),
                     text_column("state", "state"),
                     text_column("subject", "of"),
                     text_column("end", "end"),
                     text_column("at", "at"),
                     number_column("amps", "amps", "A"),
                     number_column("settled_a", "settled", "A"),
                     number_column("last_a", "at the end", "A"),
                     text_column("opens", "opens"),
                     text_column("outcome", "ends in"),
                     number_column("over_after_s", "over after", "s"),
                     text_column("hottest", "hottest"),
                     number_column("peak_c", "peak", "C", 1),
                     text_column("dead", "dead"),
                     text_column("unexpected", "wakes"),
                     text_column("resets", "resets"),
                     text_column("held", "relays held"),
                     text_column("controllers", "controllers")};
    return sheet;
}

} // namespace

std::string faults_csv(const FaultAnswer& answer) {
    Sheet sheet = csv_columns();
    const StudyInput& study = answer.study;
    for (const ShortCase& which : answer.sweep.shorts) {
        const ShortEvent& event = answer.sweep.event(which);
        sheet.rows.push_back(
            {std::string("short"), name_of_state(answer, event.state),
             wire_number(answer, which.wire), std::string(which.is_from_end ? "from" : "to"),
             node_name(answer, event.node), event.fault_a, event.first_a, event.last_a,
             openings_text(study, event),
             std::string(event.is_solved ? outcome_name(event.outcome) : "no-answer"),
             std::isinf(event.over_after_s) ? Cell() : Cell(event.over_after_s),
             hottest_cell(answer, event), peak_cell(event), device_list(study, event.dead),
             device_list(study, event.unexpected), device_list(study, event.resets),
             device_list(study, event.welded), Cell()});
    }
    for (const OpenCase& open : answer.sweep.opens) {
        sheet.rows.push_back(
            {std::string("open"), name_of_state(answer, open.state),
             branch_name(study, open.branch), Cell(), Cell(), open.amps_before, Cell(), Cell(),
             Cell(), std::string(open.is_solved ? "" : "no-answer"), Cell(), Cell(), Cell(),
             device_list(study, open.dead), unexpected_text(answer, open), Cell(),
             device_list(study, open.chattering), controllers_text(answer, open)});
    }
    return sheet_csv(sheet);
}

} // namespace loomwright
