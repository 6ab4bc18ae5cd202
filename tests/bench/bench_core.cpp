// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The numeric core alone against one bare sparse factor-and-solve of the same matrix (analysis
// included), on the circuits of generated vehicles. `--benchmark_filter` and the like work; after
// the benchmarks the ratios are printed, each of the medians of several runs taken in turn.

#include "vehicle_generator.hpp"

#include "engine/engine.hpp"
#include "solve/circuit.hpp"

#include <Eigen/CholmodSupport>
#include <Eigen/SparseCholesky>
#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <functional>
#include <map>
#include <vector>

namespace {

using namespace loomwright;
using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;

/// Sizes and ratings as written; the generator leaves nothing to be chosen.
Design design_of(const Project& project) {
    const Insulation* insulation = &project.catalogue.default_insulation();
    Design design;
    for (std::size_t k = 0; k < project.vehicle.wires.size(); ++k) {
        design.wires.push_back(
            {.conductor = project.catalogue.find_conductor(project.vehicle.wires[k].size->value),
             .insulation = insulation,
             .length = project.routing.wires[k].length});
    }
    for (const Device& device : project.vehicle.devices) {
        const auto* protection = device.as<Protection>();
        design.ratings.push_back(protection != nullptr ? protection->rating : std::nullopt);
    }
    return design;
}

/// The circuit of the state in which everything burns, as it was solved last.
solve::Circuit circuit_of(int wires) {
    const auto no_includes = [](const std::string&, std::string&) {
        return std::optional<std::string>();
    };
    const auto project =
        load_project("generated.yaml", bench::generate_vehicle(wires, 1), no_includes);
    if (project->findings.has_input_fault()) {
        std::fprintf(stderr, "the generated vehicle has input faults\n");
        std::exit(1);
    }
    const StateId night = project->vehicle.find_state("night");
    return solve_state(project->study(), design_of(*project), night).circuit;
}

const solve::Circuit& cached_circuit(int wires) {
    static std::map<int, solve::Circuit> circuits;
    auto found = circuits.find(wires);
    if (found == circuits.end()) {
        found = circuits.emplace(wires, circuit_of(wires)).first;
    }
    return found->second;
}

/// The matrix of the last Newton step, and a right-hand side of ones.
struct System {
    Matrix lower;
    Eigen::VectorXd right;
};

System system_of(const solve::Circuit& circuit) {
    solve::Solver solver;
    const solve::OperatingPoint point = solver.solve(circuit);
    std::vector<int> unknown(point.volts.size(), -1);
    int count = 0;
    for (std::size_t node = 0; node < unknown.size(); ++node) {
        const bool is_reference = static_cast<int>(node) == circuit.reference;
        unknown[node] = point.floating[node] != 0 || is_reference ? -1 : count++;
    }
    std::vector<Eigen::Triplet<double>> entries;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const auto from = static_cast<std::size_t>(circuit.from[k]);
        const auto to = static_cast<std::size_t>(circuit.to[k]);
        const double siemens =
            std::max(1e-9, solve::branch_current(circuit.law[k], circuit.a[k], circuit.b[k],
                                                 circuit.c[k], point.volts[from] - point.volts[to])
                               .siemens);
        const int i = unknown[from];
        const int j = unknown[to];
        for (const int at : {i, j}) {
            if (at >= 0) {
                entries.emplace_back(at, at, siemens);
            }
        }
        if (i >= 0 && j >= 0) {
            entries.emplace_back(std::max(i, j), std::min(i, j), -siemens);
        }
    }
    System system{Matrix(count, count), Eigen::VectorXd::Ones(count)};
    system.lower.setFromTriplets(entries.begin(), entries.end());
    return system;
}

template <typename Factorisation> double bare(const System& system) {
    Factorisation factor;
    factor.compute(system.lower);
    const Eigen::VectorXd x = factor.solve(system.right);
    return x[0];
}
using EigenFactor = Eigen::SimplicialLDLT<Matrix, Eigen::Lower>;
using CholmodFactor = Eigen::CholmodDecomposition<Matrix, Eigen::Lower>;

void core_from_nothing(benchmark::State& state) {
    const solve::Circuit& circuit = cached_circuit(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        solve::Solver solver;
        benchmark::DoNotOptimize(solver.solve(circuit));
    }
}
void core_same_pattern(benchmark::State& state) {
    const solve::Circuit& circuit = cached_circuit(static_cast<int>(state.range(0)));
    solve::Solver solver;
    for (auto _ : state) {
        benchmark::DoNotOptimize(solver.solve(circuit));
    }
}
void core_warm(benchmark::State& state) {
    const solve::Circuit& circuit = cached_circuit(static_cast<int>(state.range(0)));
    solve::Solver solver;
    const std::vector<double> start = solver.solve(circuit).volts;
    for (auto _ : state) {
        benchmark::DoNotOptimize(solver.solve(circuit, start));
    }
}
template <typename Factorisation> void bare_factor(benchmark::State& state) {
    const System system = system_of(cached_circuit(static_cast<int>(state.range(0))));
    for (auto _ : state) {
        benchmark::DoNotOptimize(bare<Factorisation>(system));
    }
}

BENCHMARK(core_from_nothing)->Arg(250)->Arg(1000)->Arg(10000)->Arg(100000);
BENCHMARK(core_same_pattern)->Arg(250)->Arg(1000)->Arg(10000)->Arg(100000);
BENCHMARK(core_warm)->Arg(250)->Arg(1000)->Arg(10000)->Arg(100000);
BENCHMARK(bare_factor<EigenFactor>)->Arg(250)->Arg(1000)->Arg(10000)->Arg(100000);
BENCHMARK(bare_factor<CholmodFactor>)->Arg(250)->Arg(1000)->Arg(10000)->Arg(100000);

double seconds_of(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double median(std::vector<double>& numbers) {
    std::ranges::sort(numbers);
    return numbers[numbers.size() / 2];
}

void print_ratio(int wires) {
    const solve::Circuit& circuit = cached_circuit(wires);
    const System system = system_of(circuit);
    const int rounds = wires >= 100'000 ? 5 : wires >= 10'000 ? 15 : 51;
    std::vector<double> ours;
    std::vector<double> eigen;
    std::vector<double> cholmod;
    for (int k = 0; k < rounds; ++k) { // in turn, so that a busy machine is busy for all
        ours.push_back(seconds_of([&] {
            solve::Solver solver;
            benchmark::DoNotOptimize(solver.solve(circuit));
        }));
        eigen.push_back(seconds_of([&] { benchmark::DoNotOptimize(bare<EigenFactor>(system)); }));
        cholmod.push_back(
            seconds_of([&] { benchmark::DoNotOptimize(bare<CholmodFactor>(system)); }));
    }
    const double best = std::min(median(eigen), median(cholmod));
    std::printf("%8d %10zu %10.3f %10.3f %10.3f %8.2f %s\n", wires, circuit.branch_count(),
                median(ours) * 1e3, median(eigen) * 1e3, median(cholmod) * 1e3, median(ours) / best,
                wires == 100'000 ? "(target 3)" : "");
}

} // namespace

int main(int count, char** words) {
    benchmark::Initialize(&count, words);
    if (benchmark::ReportUnrecognizedArguments(count, words)) {
        return 2;
    }
    benchmark::RunSpecifiedBenchmarks();
    std::printf("\nwhole operating point from nothing against one bare factor-and-solve, ms\n"
                "%8s %10s %10s %10s %10s %8s\n",
                "wires", "branches", "core", "Eigen", "CHOLMOD", "ratio");
    for (const int wires : {1'000, 10'000, 100'000}) {
        print_ratio(wires);
    }
    benchmark::Shutdown();
    return 0;
}
