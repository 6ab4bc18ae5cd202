// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Routes the wires of a vehicle file and prints the question and the answer, for comparison with
// another program: the lines of routes_of_graph.cpp, then a line "answers", then one line a wire. A
// wire that is not routed (a written length, an end with no place) is left out of both.

#include "loom/routing.hpp"
#include "read/read.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>

namespace {

using namespace loomwright;

std::optional<std::string> text_of(const std::filesystem::path& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return in.good() ? std::optional(text.str()) : std::nullopt;
}

/// "r3" or "p7": the wish's run or point by number.
std::string as_number(const Vehicle& vehicle, const std::string& name) {
    const auto run = std::ranges::find(vehicle.runs, name, &Run::name);
    if (run != vehicle.runs.end()) {
        return "r" + std::to_string(run - vehicle.runs.begin());
    }
    const auto point = std::ranges::find(vehicle.points, name, &Point::name);
    return "p" + std::to_string(point - vehicle.points.begin());
}

bool is_routed(const WireRoute& route) {
    return route.source == LengthSource::routed || route.source == LengthSource::estimated ||
           route.source == LengthSource::same_place;
}

void print(const Vehicle& vehicle, const Routing& routing) {
    std::printf("points %zu\n", vehicle.points.size());
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        const ZoneId zone = routing.run_zones[i];
        std::printf("run %zu %zu %.17g %.17g %d %d %d\n", run.from.index(), run.to.index(),
                    routing.run_lengths[i].value(),
                    zone.is_valid() ? vehicle.zone(zone).air.value() : 0.0,
                    zone.is_valid() && vehicle.zone(zone).wet ? 1 : 0, run.moving ? 1 : 0,
                    run.hidden ? 1 : 0);
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const WireRoute& route = routing.wires[i];
        if (!is_routed(route)) {
            continue;
        }
        std::printf("wire %zu %zu", route.start.index(), route.end.index());
        for (const auto& name : vehicle.wires[i].via) {
            std::printf(" via %s", as_number(vehicle, name.value).c_str());
        }
        for (const auto& name : vehicle.wires[i].avoid) {
            std::printf(" avoid %s", as_number(vehicle, name.value).c_str());
        }
        std::puts("");
    }
    std::puts("answers");
    for (const WireRoute& route : routing.wires) {
        if (is_routed(route)) {
            std::printf("%.17g", route.runs_length.value());
            for (const RunId run : route.runs) {
                std::printf(" %zu", run.index());
            }
            std::puts("");
        }
    }
}

} // namespace

int main(int count, char** words) {
    if (count != 2) {
        std::cerr << "usage: routes_of_vehicle VEHICLE.yaml\n";
        return 2;
    }
    const std::filesystem::path path(words[1]);
    SourceFiles sources;
    Findings findings;
    const Catalogue catalogue = load_catalogue(sources, findings);
    const auto include = [&](const std::string& name, std::string& why_not) {
        auto text = text_of(path.parent_path() / name);
        why_not = text ? "" : "it cannot be read";
        return text;
    };
    const Vehicle vehicle = read_vehicle(path.filename().string(), text_of(path).value_or(""),
                                         catalogue, include, sources, findings);
    const Routing routing = route_wires(vehicle, catalogue, findings);
    for (const Finding& finding : findings.all()) {
        std::cerr << describe(finding, sources) << '\n';
    }
    print(vehicle, routing);
    return findings.has_input_fault() ? 1 : 0;
}
