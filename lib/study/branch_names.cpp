// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/branch_names.hpp"

namespace loomwright {
namespace {

std::string terminal_name(const StudyInput& input, const Branch& branch) {
    const Device& device = input.vehicle.device(branch.device);
    const auto part = static_cast<std::size_t>(branch.part);
    return part < device.terminals.size() ? device.name + "." + device.terminals[part]
                                          : device.name;
}

std::string contact_name(const StudyInput& input, const Branch& branch) {
    const std::string from = terminal_at(input, branch.device, branch.from);
    const std::string to = terminal_at(input, branch.device, branch.to);
    const std::string& name = input.vehicle.device(branch.device).name;
    if (from.empty() || to.empty()) {
        return name + " contact"; // of a starter, to the motor inside
    }
    return name + "." + from + "-" + to;
}

} // namespace

std::string terminal_at(const StudyInput& input, DeviceId device, int node) {
    const auto& nodes = input.network.terminal_nodes[device.index()];
    const Device& made = input.vehicle.device(device);
    for (std::size_t k = 0; k < made.terminals.size(); ++k) { // a strap's ends have no names
        if (nodes[k] == node) {
            return made.terminals[k];
        }
    }
    return "";
}

std::string branch_name(const StudyInput& input, int index) {
    const Branch& branch = input.network.branches[static_cast<std::size_t>(index)];
    if (branch.wire.is_valid()) {
        return input.vehicle.wire(branch.wire).number;
    }
    const Device& device = input.vehicle.device(branch.device);
    switch (branch.kind) {
    case BranchKind::lead:
        return input.network.node_names[static_cast<std::size_t>(branch.from)];
    case BranchKind::joint:
    case BranchKind::output:
        return terminal_name(input, branch);
    case BranchKind::bond:
        return device.as<Ground>() != nullptr ? device.name : device.name + " case";
    case BranchKind::contact:
        return contact_name(input, branch);
    case BranchKind::coil:
        return device.name + " coil";
    default:
        return device.name;
    }
}

std::vector<std::string> way_names(const StudyInput& input, std::span<const int> way) {
    std::vector<std::string> out;
    for (const int index : way) {
        const Branch& branch = input.network.branches[static_cast<std::size_t>(index)];
        std::string name = branch.wire.is_valid() ? input.vehicle.wire(branch.wire).number
                                                  : input.vehicle.device(branch.device).name;
        if (out.empty() || out.back() != name) {
            out.push_back(std::move(name));
        }
    }
    return out;
}

} // namespace loomwright
