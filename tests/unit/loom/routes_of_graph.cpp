// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Routes the wires of graphs given on standard input, for comparison with another program:
//   points COUNT
//   run FROM TO LENGTH AIR_C WET MOVING HIDDEN   (runs are numbered from 0 in the order given)
//   wire FROM TO [via rR|pP]... [avoid rR|pP]...
//   end                          (of this graph)
// Answers one line a wire, "none" or the sum of its runs and their numbers, and "end" after each
// graph.

#include "loom/routing.hpp"

#include <cstdio>
#include <iostream>
#include <sstream>
#include <string>

namespace {

using namespace loomwright;

void read_wire(std::istringstream& words, Vehicle& vehicle) {
    std::size_t from = 0;
    std::size_t to = 0;
    words >> from >> to;
    Wire wire;
    wire.from.device = DeviceId(from);
    wire.to.device = DeviceId(to);
    std::string word;
    std::string name;
    while (words >> word >> name) {
        (word == "via" ? wire.via : wire.avoid).push_back({name, {}});
    }
    vehicle.wires.push_back(std::move(wire));
}

void read_line(const std::string& line, Vehicle& vehicle) {
    std::istringstream words(line);
    std::string kind;
    words >> kind;
    if (kind == "points") {
        std::size_t count = 0;
        words >> count;
        for (std::size_t i = 0; i < count; ++i) {
            vehicle.points.push_back({.name = "p" + std::to_string(i)});
            Device device;
            device.name = "d" + std::to_string(i);
            device.terminals = {""};
            device.spec = Splice{};
            device.at = PointId(i);
            vehicle.devices.push_back(std::move(device));
        }
    } else if (kind == "run") {
        std::size_t from = 0;
        std::size_t to = 0;
        double length = 0.0;
        double air_c = 0.0;
        int wet = 0;
        int moving = 0;
        int hidden = 0;
        words >> from >> to >> length >> air_c >> wet >> moving >> hidden;
        vehicle.zones.push_back({.name = "z" + std::to_string(vehicle.zones.size()),
                                 .air = Celsius(air_c),
                                 .wet = wet != 0});
        vehicle.runs.push_back({.name = "r" + std::to_string(vehicle.runs.size()),
                                .from = PointId(from),
                                .to = PointId(to),
                                .length = Metres(length),
                                .hidden = hidden != 0,
                                .moving = moving != 0,
                                .zone = ZoneId(vehicle.zones.size() - 1)});
    } else if (kind == "wire") {
        read_wire(words, vehicle);
    }
}

void answer(const Vehicle& vehicle, const Catalogue& catalogue) {
    Findings findings;
    const Routing routing = route_wires(vehicle, catalogue, findings);
    for (const WireRoute& route : routing.wires) {
        if (route.source == LengthSource::assumed) {
            std::puts("none");
            continue;
        }
        std::printf("%.17g", route.runs_length.value());
        for (const RunId run : route.runs) {
            std::printf(" %zu", run.index());
        }
        std::puts("");
    }
    std::puts("end");
}

} // namespace

int main() {
    SourceFiles files;
    Findings faults;
    const Catalogue catalogue = load_catalogue(files, faults);
    Vehicle vehicle;
    std::string line;
    while (std::getline(std::cin, line)) {
        if (line == "end") {
            answer(vehicle, catalogue);
            vehicle = {};
        } else {
            read_line(line, vehicle);
        }
    }
    return faults.empty() ? 0 : 1;
}
