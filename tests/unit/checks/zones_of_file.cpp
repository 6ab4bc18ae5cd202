// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The network of a vehicle file and its protection zones in every state, for comparison with
// another program:
//   body NODE                              (metal, and the node that voltages are counted from)
//   part KIND NAME FROM TO                 (one for each branch; KIND as in BranchKind, a high-side
//                                           output "output", a low-side one "low-side")
//   state NAME 0101...                     (by branch: conducts)
//   zone SOURCE BRANCH bare|guarded DEVICE ...
#include "checked.hpp"

#include "network/zones.hpp"

#include <cstdio>
#include <filesystem>

namespace {

using namespace loomwright;

const char* word_of(const Vehicle& vehicle, const Branch& branch) {
    switch (branch.kind) {
    case BranchKind::wire:
        return "wire";
    case BranchKind::lead:
        return "lead";
    case BranchKind::joint:
        return "joint";
    case BranchKind::bond:
        return "bond";
    case BranchKind::strap:
        return "strap";
    case BranchKind::protection:
        return "fuse";
    case BranchKind::contact:
        return "contact";
    case BranchKind::diode:
        return "diode";
    case BranchKind::battery:
        return "battery";
    case BranchKind::alternator:
        return "alternator";
    case BranchKind::charger:
        return "charger";
    case BranchKind::load:
    case BranchKind::coil:
    case BranchKind::resistor:
        return "load";
    case BranchKind::output: {
        const auto* controller = vehicle.device(branch.device).as<Controller>();
        const auto part = static_cast<std::size_t>(branch.part);
        return controller != nullptr && controller->parts[part].part == TerminalPart::high_side
                   ? "output"
                   : "low-side";
    }
    default:
        return "other";
    }
}

void print_network(const Vehicle& vehicle, const Network& network) {
    for (const int node : network.body_nodes) {
        std::printf("body %d\n", node);
    }
    if (network.reference >= 0) {
        std::printf("body %d\n", network.reference);
    }
    for (const Branch& branch : network.branches) {
        const std::string name = branch.wire.is_valid() ? vehicle.wire(branch.wire).number
                                                        : vehicle.device(branch.device).name;
        std::printf("part %s %s %d %d\n", word_of(vehicle, branch), name.c_str(), branch.from,
                    branch.to);
    }
}

void print_state(const Checked& car, const StateSolution& state) {
    std::string closed;
    for (const std::uint8_t conducts : state.closed) {
        closed += conducts != 0 ? '1' : '0';
    }
    std::printf("state %s %s\n", state_name(car.vehicle, state).c_str(), closed.c_str());
    for (const SourceZone& zone : source_zones(car.vehicle, car.network, state.closed)) {
        for (const FedBranch& fed : zone.branches) {
            std::string line =
                "zone " + car.vehicle.device(zone.source).name + " " + std::to_string(fed.branch);
            line += fed.is_bare ? " bare" : " guarded";
            for (const DeviceId device : zone.guards(fed.branch)) {
                line += " " + car.vehicle.device(device).name;
            }
            std::puts(line.c_str());
        }
    }
}

} // namespace

int main(int count, char** arguments) {
    if (count != 2) {
        return 2;
    }
    const std::filesystem::path path(arguments[1]);
    const auto car = check_text(text_of(path.string()), path.parent_path().string(), false);
    if (!car->is_sized) {
        std::fputs(car->text().c_str(), stderr);
        return 1;
    }
    print_network(car->vehicle, car->network);
    for (const StateSolution& state : car->sizing.states) {
        print_state(*car, state);
    }
    return 0;
}
