// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Times the sweep of faults of a vehicle, and the first operating point of a short alone:
//   bench_faults VEHICLE.yaml STATES STATE
// The sweep is of the first STATES states of the file, bringing them to rest included. The first
// operating points are those of shorts at every fed node in STATE, one after another on one core.
// Prints "name value" a line; times are medians of several runs.

#include "engine/engine.hpp"
#include "sizing/opening_curves.hpp"
#include "solve/altered.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <functional>
#include <sstream>
#include <string>
#include <vector>

namespace {

using namespace loomwright;

constexpr int runs = 7;

std::string text_of(const std::string& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// Processor milliseconds of all threads.
double cpu_ms() {
    return static_cast<double>(std::clock()) * 1e3 / CLOCKS_PER_SEC;
}

struct Times {
    double wall_ms = 0.0;
    double cpu_ms = 0.0;
};

Times medians_of(const std::function<void()>& work) {
    std::vector<double> walls;
    std::vector<double> cpus;
    for (int k = 0; k < runs; ++k) {
        const auto start = std::chrono::steady_clock::now();
        const double before = cpu_ms();
        work();
        cpus.push_back(cpu_ms() - before);
        walls.push_back(
            std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count() * 1e3);
    }
    std::ranges::sort(walls);
    std::ranges::sort(cpus);
    return {walls[runs / 2], cpus[runs / 2]};
}

void time_sweep(const Project& project, std::size_t states) {
    std::vector<StateId> wanted;
    for (std::size_t i = 0; i < std::min(states, project.vehicle.states.size()); ++i) {
        wanted.emplace_back(i);
    }
    const StudyInput study = project.study();
    FaultOrder order;
    order.curves = opening_curves(study, project.sizing.design);
    FaultCounts counts;
    const Times times = medians_of(
        [&] { counts = FaultStudy(study, project.sizing.design, wanted).sweep(order).counts; });
    std::printf("states %zu\nwires %zu\ncases %llu\npoints %llu\nrefactored %llu\nfrom_nothing "
                "%llu\nsweep_ms %.1f\nsweep_cpu_ms %.1f\n",
                wanted.size(), project.vehicle.wires.size(),
                static_cast<unsigned long long>(counts.cases),
                static_cast<unsigned long long>(counts.points),
                static_cast<unsigned long long>(counts.refactored),
                static_cast<unsigned long long>(counts.from_nothing), times.wall_ms, times.cpu_ms);
}

void time_first_points(const Project& project, const std::string& name) {
    const StateId state = project.vehicle.find_state(name);
    const StateSolution solution = solve_state(project.study(), project.sizing.design, state);
    const solve::AlteredBase base(solution.circuit,
                                  std::vector<std::uint8_t>(solution.circuit.branch_count(), 1),
                                  solution.node_volts);
    if (!base.is_solved()) {
        std::fprintf(stderr, "the state has no answer\n");
        std::exit(1);
    }
    const double siemens = 1.0 / project.catalogue.default_value("short-contact").value;
    solve::AlteredSolver solver(base);
    int points = 0;
    const Times times = medians_of([&] {
        points = 0;
        for (solve::Index node = 0; node < solution.circuit.node_count; ++node) {
            if (node == solution.circuit.reference ||
                solution.floating[static_cast<std::size_t>(node)] != 0) {
                continue;
            }
            solver.reset();
            solver.bridge(node, solution.circuit.reference, siemens);
            points += solver.solve() ? 1 : 0;
        }
    });
    std::printf("first_points %d\nfirst_point_us %.2f\nfirst_from_nothing %llu\n", points,
                times.cpu_ms * 1e3 / std::max(points, 1),
                static_cast<unsigned long long>(solver.counts().from_nothing / runs));
}

} // namespace

int main(int count, char** words) {
    if (count != 4) {
        std::fprintf(stderr, "usage: bench_faults VEHICLE.yaml STATES STATE\n");
        return 2;
    }
    const std::string path = words[1];
    const std::string folder = path.substr(0, path.rfind('/') + 1);
    const auto project = load_project(path, text_of(path), [&](const std::string& name, auto&) {
        return std::optional<std::string>(text_of(folder + name));
    });
    if (project->findings.has_input_fault()) {
        std::fprintf(stderr, "the vehicle has input faults\n");
        return 1;
    }
    size_project(*project);
    time_sweep(*project, static_cast<std::size_t>(std::stoul(words[2])));
    time_first_points(*project, words[3]);
    return 0;
}
