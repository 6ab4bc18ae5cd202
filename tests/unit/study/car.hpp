// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "network/network.hpp"
#include "study/as_written.hpp"

#include <doctest/doctest.h>

#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loomwright::testing {

/// Builds a vehicle in a test without a file. Terminals are those of docs/format/devices.md.
class Car {
public:
    Vehicle vehicle;

    Car() {
        vehicle.circuits.emplace_back();
        vehicle.circuits.back().name = "all";
        vehicle.circuits.back().number = "1";
    }

    ZoneId zone(std::string name, double air_c, bool wet = false) {
        vehicle.zones.push_back({.name = std::move(name), .air = Celsius(air_c), .wet = wet});
        return ZoneId(vehicle.zones.size() - 1);
    }
    PointId point(std::string name, ZoneId zone = {}) {
        vehicle.points.push_back({.name = std::move(name), .zone = zone});
        return PointId(vehicle.points.size() - 1);
    }
    RunId run(std::string name, PointId from, PointId to, double length_m) {
        vehicle.runs.push_back(
            {.name = std::move(name), .from = from, .to = to, .length = Metres(length_m)});
        return RunId(vehicle.runs.size() - 1);
    }

    DeviceId device(std::string name, std::vector<std::string> terminals, DeviceSpec spec,
                    PointId at = {}) {
        Device made;
        made.name = std::move(name);
        made.terminals = std::move(terminals);
        made.spec = std::move(spec);
        made.at = at;
        vehicle.devices.push_back(std::move(made));
        return DeviceId(vehicle.devices.size() - 1);
    }
    Device& at(DeviceId id) { return vehicle.devices[id.index()]; }

    DeviceId battery(std::string name, double capacity_ah, double cranking_a) {
        Battery battery;
        battery.capacity = Coulombs(capacity_ah * 3600.0);
        battery.cranking_amps = Amps(cranking_a);
        return device(std::move(name), {"+", "-"}, battery);
    }
    /// A battery of stated voltage and resistance.
    DeviceId source(std::string name, double volts, double ohm) {
        Battery battery;
        battery.capacity = Coulombs(60.0 * 3600.0);
        battery.open_voltage = Volts(volts);
        battery.resistance = Ohms(ohm);
        return device(std::move(name), {"+", "-"}, battery);
    }
    DeviceId alternator(std::string name, double rated_a, double idle_a, double volts) {
        Alternator made;
        made.rated = Amps(rated_a);
        made.at_idle = Amps(idle_a);
        made.regulates = Volts(volts);
        return device(std::move(name), {"B+", "D+", "-"}, made);
    }
    DeviceId fuse(std::string name, double rating_a) {
        Protection made;
        made.family = "blade";
        made.rating = Amps(rating_a);
        return device(std::move(name), {"in", "out"}, made);
    }
    DeviceId relay(std::string name, double coil_ohm, bool has_break_contact = false) {
        Relay made;
        made.coil = Ohms(coil_ohm);
        made.has_break_contact = has_break_contact;
        return device(std::move(name), {"30", "85", "86", "87", "87a"}, made);
    }
    /// A switch of two terminals, open in its first position and closed in its second.
    DeviceId push(std::string name) {
        Switch made;
        made.positions.push_back({.name = "off"});
        made.positions.push_back({.name = "on", .closed = {{.from = 0, .to = 1}}});
        return device(std::move(name), {"1", "2"}, made);
    }
    DeviceId load(std::string name, LoadLaw law, std::string word, double amps, double volts) {
        Load made;
        made.law = law;
        made.word = std::move(word);
        made.draws = {.current = Amps(amps), .at = Volts(volts)};
        return device(std::move(name), {"+", "-"}, made);
    }
    DeviceId heater(std::string name, double amps, double volts) {
        return load(std::move(name), LoadLaw::resistance, "heater", amps, volts);
    }
    DeviceId ground(std::string name, int body = 0) {
        return device(std::move(name), {""}, Ground{.body = body});
    }
    DeviceId splice(std::string name) { return device(std::move(name), {""}, Splice{}); }

    /// "F10.out", or the bare name of a device with one node.
    [[nodiscard]] TerminalRef ref(std::string_view text) const {
        DeviceId id = vehicle.find_device(text);
        if (id.is_valid()) {
            return {.device = id, .terminal = 0};
        }
        const std::size_t dot = text.rfind('.');
        REQUIRE_MESSAGE(dot != std::string_view::npos, std::string(text));
        id = vehicle.find_device(text.substr(0, dot));
        REQUIRE_MESSAGE(id.is_valid(), std::string(text));
        const int terminal = vehicle.device(id).terminal(text.substr(dot + 1));
        REQUIRE_MESSAGE(terminal >= 0, std::string(text));
        return {.device = id, .terminal = terminal};
    }
    /// A wire with a size and a length of its own.
    WireId wire(std::string_view from, std::string_view to, std::string size = "2.5",
                double length_m = 1.0) {
        Wire made;
        made.number = "1." + std::to_string(vehicle.wires.size() + 1);
        made.circuit = CircuitId(0);
        made.from = ref(from);
        made.to = ref(to);
        made.size = Given<ConductorSize>{{SizeStandard::iso, std::move(size)}, {}};
        if (length_m >= 0.0) {
            made.length = Given<Metres>{Metres(length_m), {}};
        }
        vehicle.wires.push_back(std::move(made));
        const WireId id(vehicle.wires.size() - 1);
        vehicle.circuits.front().wires.push_back(id);
        return id;
    }
    /// A wire that is to be routed.
    WireId routed(std::string_view from, std::string_view to) {
        return wire(from, to, "2.5", -1.0);
    }
    Wire& at(WireId id) { return vehicle.wires[id.index()]; }

    StateId state(std::string name, EngineCondition engine = EngineCondition::stopped) {
        State made;
        made.name = std::move(name);
        made.engine = engine;
        vehicle.states.push_back(std::move(made));
        return StateId(vehicle.states.size() - 1);
    }
    void set_position(StateId state, std::string_view device, int position) {
        vehicle.states[state.index()].settings.push_back(
            {.device = vehicle.find_device(device), .position = position});
    }
    void set_level(StateId state, std::string_view device, double level) {
        vehicle.states[state.index()].settings.push_back(
            {.device = vehicle.find_device(device), .level = level, .is_level = true});
    }
    void set_output(StateId state, std::string_view terminal, bool on) {
        const TerminalRef output = ref(terminal);
        vehicle.states[state.index()].settings.push_back({.device = output.device,
                                                          .terminal = output.terminal,
                                                          .level = on ? 1.0 : 0.0,
                                                          .is_level = true});
    }
};

} // namespace loomwright::testing
