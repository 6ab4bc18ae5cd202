// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// relay-contact and switch-contact: the current through each contact against its rating.
//
//   relay    I <= rating x (1 - 0.0144 (air - 85 C)) above 85 C; a lamp's cold filament: 10 I <= 3
//   rating
//            (mini plug-in relay data: 40 A to 85 C, 17 A at 125 C, makes 120 A)
//   switch   sum of factor x I over the loads through it <= rating: FAA AC 43.13-1B table 11-4
#include "base/display.hpp"
#include "checks/contact_loads.hpp"
#include "checks/wording.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

void check_relay_current(const CheckInput& input, const ContactLoads& loads, int index,
                         const ContactRating& rated, Findings& findings) {
    const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
    const Device& device = input.study.vehicle.device(branch.device);
    const ContactLoad worst = loads.worst(index, [](const ContactLoad& load) { return load.amps; });
    const State* state = state_of(input.study.vehicle, worst.state);
    const double air = device_air(input.study, branch.device, state).value();
    const auto& from = input.study.catalogue.default_value("relay-hot-from");
    const auto& slope = input.study.catalogue.default_value("relay-hot-slope");
    const double kept = std::clamp(1.0 - slope.value * std::max(0.0, air - from.value), 0.1, 1.0);
    const double may = rated.rating->value() * kept;
    if (worst.amps <= may) {
        return;
    }
    Finding& finding = findings.add(
        Rule::relay_contact, device.name, place_of(device),
        fmt::format("{} carries {} in {}; {}{} is its rating", terminals_of(input, branch),
                    show(Amps(worst.amps)), state_name(input.study.vehicle, worst.state),
                    show(Amps(may)),
                    kept < 1.0 ? fmt::format(" in {} air", show(Celsius(air))) : std::string()),
        fmt::format("use a relay with a contact of {} or more, or share the load between two",
                    show(Amps(worst.amps / kept))));
    finding.figures = {seen("current", worst.amps, "A"), limit_of("contact rating", may, "A"),
                       given("rating as given", rated.rating->value(), "A"),
                       given("air", air, "C")};
    finding.source = kept < 1.0 ? rated.source + "; " + slope.origin.source : rated.source;
}

void check_relay_lamps(const CheckInput& input, const ContactLoads& loads, int index,
                       const ContactRating& rated, Findings& findings) {
    const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
    const Device& device = input.study.vehicle.device(branch.device);
    const ContactLoad worst =
        loads.worst(index, [](const ContactLoad& load) { return load.lamps(); });
    const auto& making = input.study.catalogue.default_value("relay-lamp-making");
    const auto& cold = input.study.catalogue.default_value("lamp-cold-ratio");
    const double inrush = cold.value * worst.lamps();
    const double may = making.value * rated.rating->value();
    if (inrush <= may || worst.amps > rated.rating->value()) {
        return; // within, or told already by the current itself
    }
    Finding& finding = findings.add(
        Rule::relay_contact, device.name, place_of(device),
        fmt::format("{} makes about {} into cold lamps in {}; a contact rated {} makes {}",
                    terminals_of(input, branch), show(Amps(inrush)),
                    state_name(input.study.vehicle, worst.state), show(Amps(rated.rating->value())),
                    show(Amps(may))),
        fmt::format("use a relay with a contact of {} or more, or one that is made for lamps",
                    show(Amps(inrush / making.value))));
    finding.severity = Severity::caution;
    finding.figures = {seen("lamp inrush", inrush, "A"), limit_of("making current", may, "A"),
                       given("lamp current", worst.lamps(), "A"),
                       given("contact rating", rated.rating->value(), "A")};
    finding.source = making.origin.source + "; inrush: " + cold.origin.source;
}

void check_relay(const CheckInput& input, const ContactLoads& loads, DeviceId id,
                 Findings& findings) {
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind != BranchKind::contact) {
            continue;
        }
        const ContactRating rated = relay_rating(input, branch);
        if (!rated.rating) {
            continue;
        }
        check_relay_current(input, loads, index, rated, findings);
        check_relay_lamps(input, loads, index, rated, findings);
    }
}

/// The contact of the switch that is short by most, and the others that are; one finding a switch.
void check_switch(const CheckInput& input, const ContactLoads& loads, DeviceId id, double rating,
                  Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    const double nominal = input.study.vehicle.nominal.value();
    const auto weight = [&](const ContactLoad& load) { return load.needed_rating(nominal); };
    ContactLoad worst;
    std::string terminals;
    std::vector<std::string> over;
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind == BranchKind::contact) {
            const ContactLoad here = loads.worst(index, weight);
            if (weight(here) > rating) {
                over.push_back(terminals_of(input, branch));
            }
            if (weight(here) > weight(worst)) {
                worst = here;
                terminals = terminals_of(input, branch);
            }
        }
    }
    std::erase(over, terminals);
    const double needed = weight(worst);
    if (needed <= rating) {
        return;
    }
    const bool is_over = worst.amps > rating;
    Finding& finding = findings.add(
        Rule::switch_contact, device.name, place_of(device),
        is_over
            ? fmt::format("{} carries {} in {} and is rated {}{}", terminals,
                          show(Amps(worst.amps)), state_name(input.study.vehicle, worst.state),
                          show(Amps(rating)), also_over(over))
            : fmt::format("{} switches {} in {}: {} asks for a rating of {}, it has {}{}",
                          terminals, show(Amps(worst.amps)),
                          state_name(input.study.vehicle, worst.state), say_kinds(worst, nominal),
                          show(Amps(needed)), show(Amps(rating)), also_over(over)),
        fmt::format("switch the load through a relay, or use a switch rated {} or more",
                    show(Amps(needed))));
    finding.severity = is_over ? Severity::fault : Severity::caution;
    finding.figures = {
        seen(is_over ? "current" : "needed rating", is_over ? worst.amps : needed, "A"),
        limit_of("contact rating", rating, "A"),
        given(is_over ? "needed rating" : "current", is_over ? needed : worst.amps, "A")};
}

/// An output of a controller against what it may carry.
void check_outputs(const CheckInput& input, const ContactLoads& loads, DeviceId id,
                   const Controller& controller, Findings& findings) {
    const Device& device = input.study.vehicle.device(id);
    for (const int index : input.study.network.device_branches[id.index()]) {
        const Branch& branch = input.study.network.branches[static_cast<std::size_t>(index)];
        if (branch.kind != BranchKind::output) {
            continue;
        }
        const auto terminal = static_cast<std::size_t>(branch.part);
        const std::optional<Amps> limit = controller.parts[terminal].limit;
        const ContactLoad worst =
            loads.worst(index, [](const ContactLoad& load) { return load.amps; });
        if (!limit || worst.amps <= limit->value()) {
            continue;
        }
        Finding& finding =
            findings.add(Rule::switch_contact, device.name, place_of(device),
                         fmt::format("output {} carries {} in {} and may carry {}",
                                     device.terminals[terminal], show(Amps(worst.amps)),
                                     state_name(input.study.vehicle, worst.state), show(*limit)),
                         "let the output work a relay that carries the load");
        finding.figures = {seen("current", worst.amps, "A"),
                           limit_of("output limit", limit->value(), "A")};
        finding.source = "the controller's own limit, the vehicle file";
    }
}

} // namespace

void check_contacts(const CheckInput& input, Findings& findings) {
    const ContactLoads loads(input);
    for (std::size_t i = 0; i < input.study.vehicle.devices.size(); ++i) {
        const Device& device = input.study.vehicle.devices[i];
        if (device.as<Relay>() != nullptr || device.as<Flasher>() != nullptr) {
            check_relay(input, loads, DeviceId(i), findings);
        } else if (const auto* hand = device.as<Switch>(); hand != nullptr && hand->contact) {
            check_switch(input, loads, DeviceId(i), hand->contact->value(), findings);
        } else if (const auto* controller = device.as<Controller>()) {
            check_outputs(input, loads, DeviceId(i), *controller, findings);
        }
    }
}

} // namespace loomwright
