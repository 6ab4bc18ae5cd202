// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "model/vehicle.hpp"

#include <algorithm>

namespace loomwright {
namespace {

template <typename Id, typename Things, typename Name>
Id find_named(const Things& things, std::string_view name, Name Things::value_type::*member) {
    const auto found = std::ranges::find(things, name, member);
    return found == things.end() ? Id() : Id(static_cast<std::size_t>(found - things.begin()));
}

} // namespace

std::string_view breaker_type_name(BreakerReset reset) {
    switch (reset) {
    case BreakerReset::by_itself:
        return "I";
    case BreakerReset::when_power_off:
        return "II";
    case BreakerReset::by_hand:
        return "III";
    }
    return "";
}

std::string show(const ConductorSize& size) {
    switch (size.standard) {
    case SizeStandard::iso:
        return size.name + " mm2";
    case SizeStandard::sae:
        return size.name + " SAE";
    case SizeStandard::awg:
        return size.name + " AWG";
    }
    return size.name;
}

int Device::terminal(std::string_view terminal_name) const {
    const auto found = std::ranges::find(terminals, terminal_name);
    return found == terminals.end() ? -1 : static_cast<int>(found - terminals.begin());
}

Suppression suppression_of(const Device& device) {
    if (const auto* relay = device.as<Relay>()) {
        return relay->suppression;
    }
    if (const auto* starter = device.as<Starter>()) {
        return starter->suppression;
    }
    const auto* load = device.as<Load>();
    return load != nullptr ? load->suppression : Suppression::unstated;
}

DeviceId Vehicle::find_device(std::string_view name) const {
    return find_named<DeviceId>(devices, name, &Device::name);
}

WireId Vehicle::find_wire(std::string_view number) const {
    return find_named<WireId>(wires, number, &Wire::number);
}

StateId Vehicle::find_state(std::string_view name) const {
    return find_named<StateId>(states, name, &State::name);
}

std::vector<std::vector<std::uint8_t>> wired_terminals(const Vehicle& vehicle) {
    std::vector<std::vector<std::uint8_t>> wired;
    wired.reserve(vehicle.devices.size());
    for (const Device& device : vehicle.devices) {
        wired.emplace_back(device.terminals.size(), std::uint8_t{0});
    }
    for (const Wire& wire : vehicle.wires) {
        for (const TerminalRef& end : {wire.from, wire.to}) {
            if (end.device.is_valid() && end.terminal >= 0 &&
                static_cast<std::size_t>(end.terminal) < wired[end.device.index()].size()) {
                wired[end.device.index()][static_cast<std::size_t>(end.terminal)] = 1;
            }
        }
    }
    return wired;
}

std::vector<const FrozenWire*> Frozen::by_wire(std::size_t count) const {
    std::vector<const FrozenWire*> out(count, nullptr);
    for (const FrozenWire& cut : wires) {
        if (cut.wire.is_valid() && cut.wire.index() < count) {
            out[cut.wire.index()] = &cut;
        }
    }
    return out;
}

std::string Vehicle::show(TerminalRef ref) const {
    const Device& owner = device(ref.device);
    if (owner.terminals.size() <= 1) {
        return owner.name;
    }
    return owner.name + "." + owner.terminals[static_cast<std::size_t>(ref.terminal)];
}

} // namespace loomwright
