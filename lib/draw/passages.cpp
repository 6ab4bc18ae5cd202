// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/passages.hpp"

#include "draw/feed_groups.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright::draw {

Passages::Passages(const Vehicle& vehicle) : vehicle_(vehicle) {
    for (const Device& device : vehicle.devices) {
        ways_.emplace_back(device.terminals.size());
    }
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        add_device(i);
    }
}

void Passages::add(std::size_t device, int from, int to, bool is_load) {
    const auto count = static_cast<int>(vehicle_.devices[device].terminals.size());
    if (from < 0 || to < 0 || from >= count || to >= count || from == to) {
        return;
    }
    const TerminalRef outer_from = outer_terminal(vehicle_, {DeviceId(device), from});
    const TerminalRef outer_to = outer_terminal(vehicle_, {DeviceId(device), to});
    const bool guards = vehicle_.devices[device].as<Protection>() != nullptr;
    ways_[outer_from.device.index()][static_cast<std::size_t>(outer_from.terminal)].push_back(
        {outer_to, is_load, DeviceId(device), guards});
}

void Passages::all_to_all(std::size_t device) {
    const auto count = static_cast<int>(vehicle_.devices[device].terminals.size());
    for (int a = 0; a < count; ++a) {
        for (int b = 0; b < count; ++b) {
            add(device, a, b, true);
        }
    }
}

/// From each terminal to all that this position joins it with, whatever the number of contacts
/// between: two positions never hold at once, so a walk passes a switch once.
void Passages::join_position(std::size_t device, const SwitchPosition& position) {
    const std::size_t count = vehicle_.devices[device].terminals.size();
    std::vector<std::size_t> joined(count);
    std::iota(joined.begin(), joined.end(), std::size_t{0});
    for (const ContactPair& pair : position.closed) {
        const std::size_t a = joined[static_cast<std::size_t>(pair.from)];
        const std::size_t b = joined[static_cast<std::size_t>(pair.to)];
        std::ranges::replace(joined, std::max(a, b), std::min(a, b));
    }
    for (std::size_t a = 0; a < count; ++a) {
        for (std::size_t b = 0; b < count; ++b) {
            if (a != b && joined[a] == joined[b]) {
                add(device, static_cast<int>(a), static_cast<int>(b), false);
            }
        }
    }
}

void Passages::add_device(std::size_t index) {
    const Device& device = vehicle_.devices[index];
    const auto named = [&device](const char* name) { return device.terminal(name); };
    if (device.as<Protection>() != nullptr) {
        both(index, 0, 1, false);
    } else if (device.as<Relay>() != nullptr) {
        both(index, named("30"), named("87"), false);
        both(index, named("30"), named("87a"), false);
        both(index, named("86"), named("85"), true);
    } else if (device.as<Flasher>() != nullptr) {
        both(index, named("49"), named("49a"), false);
        add(index, named("49"), named("31"), true);
    } else if (const auto* contacts = device.as<Switch>()) {
        for (const SwitchPosition& position : contacts->positions) {
            join_position(index, position);
        }
    } else if (const auto* connector = device.as<Connector>()) {
        for (std::size_t t = 0; connector->mate.is_valid() && t < device.terminals.size(); ++t) {
            const int there = vehicle_.device(connector->mate).terminal(device.terminals[t]);
            if (there >= 0) {
                ways_[index][t].push_back(
                    {{connector->mate, there}, false, DeviceId(index), false});
            }
        }
    } else if (device.as<Diode>() != nullptr) {
        add(index, 0, 1, false);
        add(index, 1, 0, true);
    } else if (device.as<Starter>() != nullptr) {
        add(index, named("30"), named("31"), true);
        add(index, named("50"), named("31"), true);
    } else if (const auto* controller = device.as<Controller>()) {
        for (std::size_t a = 0; a < controller->parts.size(); ++a) {
            for (std::size_t b = 0; b < controller->parts.size(); ++b) {
                const ControllerTerminal& output = controller->parts[b];
                if (controller->parts[a].part == TerminalPart::feed &&
                    output.part == TerminalPart::high_side &&
                    (output.feed < 0 || output.feed == static_cast<int>(a))) {
                    add(index, static_cast<int>(a), static_cast<int>(b), false);
                }
            }
        }
        all_to_all(index);
    } else if (device.as<Unit>() == nullptr && device.as<Strap>() == nullptr) {
        // Sources, loads, sensors, resistors: what goes in at one terminal comes out at the others.
        // A unit has the ways of the devices inside it, a strap lies in the metal of the car.
        all_to_all(index);
    }
}

} // namespace loomwright::draw
