// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// short-not-cleared, short-overheats, sneak-path: what the sweep of faults says of the car
// (docs/method/faults.md). A short before any protective device is left to fuse-missing and
// unfused-length: nothing that is there could open.
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/fault_dangers.hpp"
#include "checks/method_pages.hpp"
#include "checks/wording.hpp"
#include "network/zones.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr std::size_t most_states_named = 3;

/// "parked", "parked, cruise-night and 3 more", "every state".
std::string list_states(const FaultAnswer& answer, const std::vector<std::size_t>& states) {
    if (states.size() > 1 && states.size() == answer.sweep.states.size()) {
        return "every state";
    }
    std::vector<std::string> names;
    for (std::size_t i = 0; i < std::min(states.size(), most_states_named); ++i) {
        names.push_back(state_name(answer.study.vehicle, answer.sweep.states[states[i]].state));
    }
    return states.size() > most_states_named ? fmt::format("{} and {} more", fmt::join(names, ", "),
                                                           states.size() - most_states_named)
                                             : list_of(names);
}

SourceRange place_of_branch(const StudyInput& study, int branch) {
    const Branch& here = study.network.branches[static_cast<std::size_t>(branch)];
    return here.wire.is_valid() ? study.vehicle.wire(here.wire).where
                                : place_of(study.vehicle.device(here.device));
}

std::string told(double celsius) {
    return celsius > told_c(celsius) ? "over " + show(Celsius(told_c(celsius)))
                                     : show(Celsius(celsius));
}

std::string what_burns(const StudyInput& study, const HotConductor& hot) {
    const std::string& number = study.vehicle.wire(hot.wire).number;
    return std::isfinite(hot.too_hot_after_s)
               ? fmt::format("{} passes {}, what its insulation stands for so short a time, after "
                             "{} and comes to {}",
                             number, show(Celsius(hot.short_time_c)),
                             show(Seconds(hot.too_hot_after_s)), told(hot.peak_c))
               : fmt::format("{} comes to {}, over the {} of its insulation", number,
                             told(hot.peak_c), show(Celsius(hot.class_c)));
}

void add_short(const FaultAnswer& answer, const ShortDanger& danger, Findings& findings) {
    const ShortEvent& event = *danger.worst;
    const StudyInput& study = answer.study;
    const ShortCase& first = answer.sweep.shorts[danger.cases.front()];
    const Wire& wire = study.vehicle.wire(first.wire);
    const HotConductor& hot = first_to_go(event.overheated);
    const std::string& metal =
        study.network.node_names[static_cast<std::size_t>(answer.sweep.metal)];
    const std::string& at = study.network.node_names[static_cast<std::size_t>(event.node)];
    const std::string openings = openings_text(study, event);
    const bool is_cleared = event.outcome == ShortOutcome::too_late;
    const std::string course = openings.empty() ? "nothing opens, and it flows for good"
                               : is_cleared
                                   ? "cleared by " + openings
                                   : fmt::format("opened by then: {}; current flows on", openings);
    Finding& finding = findings.add(
        is_cleared ? Rule::short_overheats : Rule::short_not_cleared, wire.number, wire.where,
        fmt::format("a short to {} at {} draws {} in {}: {}; {}", metal, at,
                    show(Amps(event.fault_a)), list_states(answer, danger.states), course,
                    what_burns(study, hot)),
        is_cleared ? "use a smaller or quicker device before it, or thicker wire"
                   : "put a device before it that opens at this current (a smaller one, or one of "
                     "its own for this branch), or use wire thick enough to draw more");
    finding.severity =
        event.outcome == ShortOutcome::overheats ? Severity::fault : Severity::danger;
    finding.figures = {seen("conductor", told_c(hot.peak_c), "C"),
                       limit_of(std::isfinite(hot.too_hot_after_s) ? "insulation, for a short time"
                                                                   : "insulation, for good",
                                std::isfinite(hot.too_hot_after_s) ? hot.short_time_c : hot.class_c,
                                "C"),
                       given("first moment", event.fault_a, "A"),
                       given("through", answer.sweep.short_ohm * 1e3, "mohm")};
    if (std::isfinite(hot.too_hot_after_s)) {
        finding.figures.push_back(given("too hot after", hot.too_hot_after_s, "s"));
    }
    finding.source = faults_page;
}

/// What one thing opened wakes or turns round, by all ways.
struct Woken {
    std::vector<int> branches;
    std::vector<const SneakDanger*> by; ///< the highest voltage first
};

std::vector<Woken> by_what_is_opened(const std::vector<SneakDanger>& sneaks) {
    std::vector<Woken> out;
    for (const SneakDanger& sneak : sneaks) {
        auto same = std::ranges::find(out, sneak.branches, &Woken::branches);
        if (same == out.end()) {
            out.push_back({sneak.branches, {}});
            same = out.end() - 1;
        }
        same->by.push_back(&sneak);
    }
    for (Woken& woken : out) {
        std::ranges::stable_sort(woken.by, [](const SneakDanger* a, const SneakDanger* b) {
            return std::abs(a->worst->volts) > std::abs(b->worst->volts);
        });
    }
    return out;
}

std::string what_it_does(const UnexpectedDevice& device) {
    const std::string verb = device.is_on ? "works" : "gets current";
    return device.is_reversed ? verb + ", the wrong way round," : verb;
}

void add_sneak(const FaultAnswer& answer, const Woken& woken, Findings& findings) {
    const StudyInput& study = answer.study;
    const UnexpectedDevice& worst = *woken.by.front()->worst;
    const std::string& name = study.vehicle.device(worst.device).name;
    std::vector<std::string> opened;
    for (const int branch : woken.branches) {
        opened.push_back(branch_name(study, branch));
    }
    std::vector<std::string> others;
    for (const SneakDanger* sneak : woken.by) {
        const std::string& other = study.vehicle.device(sneak->worst->device).name;
        if (other != name && std::ranges::find(others, other) == others.end()) {
            others.push_back(other);
        }
    }
    const std::string more =
        others.empty()
            ? ""
            : fmt::format("; so {} {}", others.size() > 1 ? "do" : "does", list_of(others));
    // A controller that wakes draws nothing that could be followed.
    const std::string by_way =
        worst.way.empty() ? ""
                          : fmt::format(", by {}", fmt::join(way_names(study, worst.way), " > "));
    Finding& finding = findings.add(
        Rule::sneak_path, opened.front(), place_of_branch(study, woken.branches.front()),
        fmt::format("with {} open, {} {} at {} in {}{}{}",
                    opened.size() > 1 ? fmt::format("any of {}", fmt::join(opened, ", "))
                                      : opened.front(),
                    name, what_it_does(worst), show(Volts(std::abs(worst.volts))),
                    list_states(answer, woken.by.front()->states), by_way, more),
        "give what shares the way a ground or a feed of its own, or part them by a diode; or "
        "accept "
        "it with a waiver that says so");
    finding.severity = worst.is_on ? Severity::caution : Severity::note;
    finding.figures = {seen("across " + name, std::abs(worst.volts), "V"),
                       given("without the fault", std::abs(worst.volts_before), "V"),
                       given("through it", std::abs(worst.amps), "A")};
    finding.related.push_back({place_of(study.vehicle.device(worst.device)), name});
    finding.source = faults_page;
}

void add_open(const FaultAnswer& answer, const OpenDanger& danger, Findings& findings) {
    const StudyInput& study = answer.study;
    const OpenCase& worst = *danger.worst;
    const HotConductor& hot = first_to_go(worst.overheated);
    const Wire& wire = study.vehicle.wire(hot.wire);
    std::vector<std::string> opened;
    for (const int branch : danger.branches) {
        opened.push_back(branch_name(study, branch));
    }
    std::vector<std::string> others;
    for (const HotConductor& other : worst.overheated) {
        if (other.wire != hot.wire) {
            others.push_back(study.vehicle.wire(other.wire).number);
        }
    }
    const bool is_burnt = std::isfinite(hot.too_hot_after_s);
    Finding& finding = findings.add(
        Rule::sneak_path, wire.number, wire.where,
        fmt::format(
            "with {} open, current takes another way in {}: {} carries {}; {}{}",
            opened.size() > 1 ? fmt::format("any of {}", fmt::join(opened, ", ")) : opened.front(),
            list_states(answer, danger.states), wire.number, show(Amps(hot.amps)),
            what_burns(study, hot),
            others.empty() ? ""
                           : fmt::format("; too hot {} {}", others.size() > 1 ? "are" : "is",
                                         list_of(others))),
        "use thicker wire, a second strap or wire beside what may open, or leave this way out: "
        "ground what hangs on it at one body alone");
    finding.severity = is_burnt ? Severity::danger : Severity::fault;
    finding.figures = {seen("conductor", told_c(hot.peak_c), "C"),
                       limit_of(is_burnt ? "insulation, for a short time" : "insulation, for good",
                                is_burnt ? hot.short_time_c : hot.class_c, "C")};
    finding.figures.push_back(given("through it", hot.amps, "A"));
    if (is_burnt) {
        finding.figures.push_back(given("too hot after", hot.too_hot_after_s, "s"));
    }
    finding.related.push_back(
        {place_of_branch(study, worst.branch), branch_name(study, worst.branch)});
    finding.source = faults_page;
}

} // namespace

void check_faults(const CheckInput& input, const FaultSweep& sweep, Findings& findings) {
    const StudyInput& study = input.study;
    const std::vector<SourceZone> zones = source_zones(study.vehicle, study.network, {});
    const FaultAnswer answer{study, sweep, zones};
    for (const ShortDanger& danger : short_dangers(answer)) {
        if (!danger.is_before_protection && !danger.worst->overheated.empty()) {
            add_short(answer, danger, findings);
        }
    }
    for (const OpenDanger& danger : open_dangers(answer)) {
        add_open(answer, danger, findings);
    }
    const std::vector<SneakDanger> sneaks = sneak_dangers(answer);
    for (const Woken& woken : by_what_is_opened(sneaks)) {
        add_sneak(answer, woken, findings);
    }
}

} // namespace loomwright
