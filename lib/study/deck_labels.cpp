// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/deck_labels.hpp"

#include "base/display.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>

#include <array>

namespace loomwright {
namespace {

/// "30-87", "D+ to -", or as much of it as has a name.
std::string terminals_of(const StudyInput& input, const Branch& branch) {
    const std::string from = terminal_at(input, branch.device, branch.from);
    const std::string to = terminal_at(input, branch.device, branch.to);
    const bool has_sign = (from + to).find_first_of("+-") != std::string::npos; // "+ to -"
    return from.empty() || to.empty() ? from + to : from + (has_sign ? " to " : "-") + to;
}

std::string wire_label(const StudyInput& input, const Design& design, const StateSolution& solution,
                       const Branch& branch) {
    const std::size_t index = branch.wire.index();
    const WireDesign& made = design.wires[index];
    const auto name = [&input](int node) {
        return input.network.node_names[static_cast<std::size_t>(node)];
    };
    return fmt::format("wire {}, {}, {}, {}, from {} to {}", input.vehicle.wire(branch.wire).number,
                       made.conductor != nullptr ? show(made.conductor->size) : "no size",
                       show(made.length), show(Celsius(solution.wires[index].conductor_c)),
                       name(branch.from), name(branch.to));
}

/// What a branch is within its device.
const char* role_of(const Branch& branch) {
    switch (branch.kind) {
    case BranchKind::lead:
        return "lead";
    case BranchKind::bond:
        return "bond to metal";
    case BranchKind::contact:
        return "contact";
    case BranchKind::output:
        return "output";
    case BranchKind::joint:
        return "cavity";
    case BranchKind::coil:
        return "coil";
    case BranchKind::suppressor:
        return "suppressor across the coil";
    case BranchKind::wire:
    case BranchKind::strap:
    case BranchKind::protection:
    case BranchKind::load:
    case BranchKind::battery:
    case BranchKind::alternator:
    case BranchKind::charger:
    case BranchKind::diode:
    case BranchKind::shunt:
        break;
    case BranchKind::resistor: // of an alternator: see Branch::part
        return branch.part == 1 ? "exciter diodes" : branch.part == 2 ? "field" : "";
    }
    return "";
}

} // namespace

DeckPart deck_part(BranchKind kind) {
    switch (kind) {
    case BranchKind::battery:
    case BranchKind::alternator:
    case BranchKind::charger:
        return DeckPart::sources;
    case BranchKind::bond:
    case BranchKind::strap:
        return DeckPart::metal;
    case BranchKind::protection:
        return DeckPart::protection;
    case BranchKind::contact:
    case BranchKind::output:
        return DeckPart::contacts;
    case BranchKind::wire:
    case BranchKind::lead:
    case BranchKind::joint:
        return DeckPart::wires;
    case BranchKind::coil:
    case BranchKind::suppressor:
    case BranchKind::load:
    case BranchKind::diode:
    case BranchKind::resistor:
    case BranchKind::shunt:
        break;
    }
    return DeckPart::loads;
}

const char* deck_title(DeckPart part) {
    constexpr std::array<const char*, 6> titles = {
        "Sources",           "Metal of the car",         "Fuses and breakers",
        "Contacts, outputs", "Wires, leads, connectors", "Loads, coils, diodes, resistors"};
    return titles[static_cast<std::size_t>(part)];
}

std::string deck_label(const StudyInput& input, const Design& design, const StateSolution& solution,
                       const Branch& branch) {
    if (branch.wire.is_valid()) {
        return wire_label(input, design, solution, branch);
    }
    const Device& device = input.vehicle.device(branch.device);
    std::string label = device.word.empty() ? device.name : device.word + " " + device.name;
    if (!device.title.empty()) {
        label += " (" + device.title + ")";
    }
    const auto& rating = design.ratings[branch.device.index()];
    if (branch.kind == BranchKind::protection && rating) {
        label += ", " + show(*rating);
    }
    const std::string role = role_of(branch);
    const std::string terminals = terminals_of(input, branch);
    if (!role.empty()) {
        label += ", " + role;
    }
    if (!terminals.empty() && (!role.empty() || device.terminals.size() > 2)) {
        label += (role.empty() ? ", " : " ") + terminals;
    }
    return label;
}

std::string deck_state(const StudyInput& input, const StateSolution& solution) {
    if (!solution.state.is_valid()) {
        return "engine stopped, every switch at rest";
    }
    const State& state = input.vehicle.states[solution.state.index()];
    constexpr std::array<const char*, 4> engines = {"stopped", "cranking", "at idle", "running"};
    std::string text = fmt::format("engine {}", engines.at(static_cast<std::size_t>(state.engine)));
    if (state.air) {
        text += ", air " + show(*state.air);
    }
    if (state.battery_temperature) {
        text += ", battery at " + show(*state.battery_temperature);
    }
    if (state.charge) {
        text += ", battery " + show_percent(*state.charge) + " full";
    }
    return text;
}

} // namespace loomwright
