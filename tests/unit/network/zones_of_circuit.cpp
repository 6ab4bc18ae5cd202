// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Protection zones of circuits given on standard input, for comparison with another program:
//   battery NAME | alternator NAME | splice NAME | fuse NAME | heater NAME | ground NAME
//   diode NAME | switch NAME OPEN(0/1)
//   wire DEVICE TERMINAL DEVICE TERMINAL      (terminals by number)
//   end                                       (of this circuit)
// Answers one line a wire, for each source by which it is fed "SOURCE:" and the protective devices
// that every way passes, the nearest first, then "bare" where some way passes none; and "end" after
// each circuit.

#include "network/zones.hpp"

#include <cstdio>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace loomwright;

struct Circuitry {
    Vehicle vehicle;
    std::vector<std::uint8_t> is_open; ///< by DeviceId
};

void add_device(Circuitry& out, std::string name, std::vector<std::string> terminals,
                DeviceSpec spec, bool is_open = false) {
    Device device;
    device.name = std::move(name);
    device.terminals = std::move(terminals);
    device.spec = std::move(spec);
    out.vehicle.devices.push_back(std::move(device));
    out.is_open.push_back(is_open ? 1 : 0);
}

void read_wire(std::istringstream& words, std::string_view near, Vehicle& vehicle) {
    Wire wire;
    std::string far;
    words >> wire.from.terminal >> far >> wire.to.terminal;
    wire.from.device = vehicle.find_device(near);
    wire.to.device = vehicle.find_device(far);
    vehicle.wires.push_back(std::move(wire));
}

void read_line(const std::string& line, Circuitry& out) {
    std::istringstream words(line);
    std::string kind;
    std::string name;
    words >> kind >> name;
    if (kind == "battery") {
        add_device(out, name, {"+", "-"}, Battery{});
    } else if (kind == "alternator") {
        add_device(out, name, {"B+", "-"}, Alternator{});
    } else if (kind == "splice") {
        add_device(out, name, {""}, Splice{});
    } else if (kind == "fuse") {
        add_device(out, name, {"in", "out"}, Protection{});
    } else if (kind == "heater") {
        add_device(out, name, {"+", "-"}, Load{});
    } else if (kind == "ground") {
        add_device(out, name, {""}, Ground{});
    } else if (kind == "diode") {
        add_device(out, name, {"a", "k"}, Diode{});
    } else if (kind == "switch") {
        bool is_open = false;
        words >> is_open;
        Switch made;
        made.positions.push_back({.name = "on", .closed = {{.from = 0, .to = 1}}});
        add_device(out, name, {"1", "2"}, made, is_open);
    } else if (kind == "wire") {
        read_wire(words, name, out.vehicle);
    }
}

std::string answer_of(const Circuitry& circuitry, const SourceZone& zone, int branch) {
    const FedBranch* const fed = zone.find(branch);
    if (fed == nullptr) {
        return {};
    }
    std::string out = circuitry.vehicle.device(zone.source).name + ":";
    for (const DeviceId device : zone.guards(branch)) {
        out += " " + circuitry.vehicle.device(device).name;
    }
    return out + (fed->is_bare ? " bare; " : "; ");
}

void answer(const Circuitry& circuitry) {
    const Network network = build_network(circuitry.vehicle);
    std::vector<std::uint8_t> closed;
    for (const Branch& branch : network.branches) {
        closed.push_back(
            branch.device.is_valid() && circuitry.is_open[branch.device.index()] != 0 ? 0 : 1);
    }
    const std::vector<SourceZone> zones = source_zones(circuitry.vehicle, network, closed);
    for (const int branch : network.wire_branch) {
        std::string line;
        for (const SourceZone& zone : zones) {
            line += answer_of(circuitry, zone, branch);
        }
        std::puts(line.c_str());
    }
    std::puts("end");
}

} // namespace

int main() {
    Circuitry circuitry;
    std::string line;
    while (std::getline(std::cin, line)) {
        if (line == "end") {
            answer(circuitry);
            circuitry = {};
        } else {
            read_line(line, circuitry);
        }
    }
    return 0;
}
