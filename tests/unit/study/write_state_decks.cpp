// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Solves every state of vehicles and writes each as a deck for a general circuit simulator, with
// our own answer beside it:
//   write_state_decks [--spread N] DIRECTORY VEHICLE.yaml...
// With --spread the first N spread samples of each state instead, each also solved from rest by the
// whole model: relays and loads must then stand as they do from the nominal answer.
// Sizes and ratings that the file leaves open are taken as 2.5 mm2 and 20 A: the comparison is of
// the same circuit solved twice, whatever its wires are.

#include "study/file_car.hpp"
#include "study/spread.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <string>

namespace {

using namespace loomwright;
namespace files = std::filesystem;

/// Writes one state; false when it has no answer or does not carry its proof.
bool write_state(const StudyInput& input, const Design& design, const StateSolution& solution,
                 const files::path& stem) {
    const std::string name = state_name(input.vehicle, solution);
    if (!solution.converged) {
        std::cerr << stem.filename().string() << ' ' << name << ": " << solution.failure << '\n';
        return false;
    }
    const bool is_proved =
        solution.imbalance_a <= 1e-9 * solution.source_current_a && solution.power_error <= 1e-9;
    if (!is_proved) {
        std::cerr << name << ": imbalance " << solution.imbalance_a << " A of "
                  << solution.source_current_a << " A, power error " << solution.power_error
                  << '\n';
    }
    std::ofstream(stem.string() + ".cir") << spice_deck(input, design, solution);
    std::ofstream volts(stem.string() + ".volts");
    for (std::size_t node = 0; node < solution.node_volts.size(); ++node) {
        if (solution.floating[node] == 0 && static_cast<int>(node) != solution.circuit.reference) {
            volts << fmt::format("n{} {:.17g}\n", node, solution.node_volts[node]);
        }
    }
    return is_proved;
}

/// Farthest that a node's voltage, and a conductor's temperature as a share of its rise, differ.
struct Difference {
    double volts = 0.0;
    double rise_share = 0.0;
};

Difference difference(const StateSolution& near, const StateSolution& far) {
    Difference out;
    for (std::size_t i = 0; i < far.node_volts.size(); ++i) {
        out.volts = std::max(out.volts, std::abs(near.node_volts[i] - far.node_volts[i]));
    }
    for (std::size_t i = 0; i < far.wires.size(); ++i) {
        const double rise = far.wires[i].conductor_c - far.wires[i].air_c;
        if (rise > 2.0) {
            out.rise_share =
                std::max(out.rise_share,
                         std::abs(near.wires[i].conductor_c - far.wires[i].conductor_c) / rise);
        }
    }
    return out;
}

/// The table with conductors as the standard has them: the whole model knows no others.
SpreadTable with_standard_conductors(const SpreadTable& table) {
    std::vector<Spread> rows = table.rows();
    for (Spread& row : rows) {
        if (row.name == "conductor") {
            row.middle = 1.0;
            row.width = 0.0;
        }
    }
    return SpreadTable(std::move(rows));
}

/// Every contact stands alike. A lamp that lets current through one way only is left out: within
/// 0.05 V of nothing (either_way_v of lib/study/plan.cpp) it stands as it stood on the way.
bool stand_alike(const Network& network, const StateSolution& a, const StateSolution& b) {
    for (std::size_t i = 0; i < a.closed.size(); ++i) {
        if (network.branches[i].kind != BranchKind::load && a.closed[i] != b.closed[i]) {
            return false;
        }
    }
    return true;
}

/// Do samples stand from rest as they do from the nominal answer?
bool compare_ways(const Network& network, const SpreadStudy& samples, int count,
                  const std::string& name) {
    // Between the shares of the current that the heat model was asked for a straight line stands in
    // for it: within a fiftieth of the rise. Where such a lamp stands otherwise, what hangs on it
    // alone is as far off as the lamp's 0.05 V; all else is within 0.01 V.
    constexpr double band_v = 0.05;
    constexpr Difference most{.volts = 0.01, .rise_share = 0.02};
    bool all = true;
    for (int k = 0; k < count; ++k) {
        const auto index = static_cast<std::uint64_t>(k);
        const StateSolution near = samples.sample(1, index);
        const StateSolution far = samples.sample_from_rest(1, index);
        if (near.converged != far.converged || !stand_alike(network, near, far)) {
            std::cerr << name << ": sample " << k << " stands otherwise from rest\n";
            all = false;
        } else if (near.converged) {
            const Difference off = difference(near, far);
            if (off.volts > (near.closed == far.closed ? most.volts : band_v) ||
                off.rise_share > most.rise_share) {
                std::cerr << name << ": sample " << k << " is " << off.volts << " V and "
                          << off.rise_share << " of a rise from its answer from rest\n";
                all = false;
            }
        }
    }
    return all;
}

bool write_samples(const StudyInput& input, const Design& design, StateId state, int count,
                   const files::path& stem) {
    SourceFiles sources;
    Findings findings;
    const SpreadTable table = load_spreads(sources, findings);
    bool all = compare_ways(input.network, {input, design, with_standard_conductors(table), state},
                            count, stem.filename().string());
    const SpreadStudy samples(input, design, table, state);
    for (int k = 0; k < std::min(count, 3); ++k) { // the simulator is slow
        const StateSolution solution = samples.sample(1, static_cast<std::uint64_t>(k));
        if (solution.converged) { // a car may be so unlucky that it has no answer
            all = write_state(input, design, solution, stem.string() + "-" + std::to_string(k)) &&
                  all;
        }
    }
    return all;
}

bool write_vehicle(const files::path& path, const files::path& directory, int samples) {
    const auto car = testing::read_file_car(path);
    if (!car) {
        return false;
    }
    const StudyInput input = car->input();
    const Design& design = car->design;
    bool all = true;
    for (const StateSolution& solution : solve_states(input, design)) {
        const std::string name =
            path.stem().string() + "-" +
            std::to_string(solution.state.is_valid() ? solution.state.index() : std::size_t{0});
        all = (samples > 0 ? write_samples(input, design, solution.state, samples, directory / name)
                           : write_state(input, design, solution, directory / name)) &&
              all;
    }
    return all;
}

} // namespace

int main(int count, char** words) {
    int first = 1;
    int samples = 0;
    if (count > 3 && std::string(words[1]) == "--spread") {
        samples = std::stoi(words[2]);
        first = 3;
    }
    if (count < first + 2) {
        std::cerr << "usage: write_state_decks [--spread N] DIRECTORY VEHICLE.yaml...\n";
        return 2;
    }
    bool all = true;
    for (int i = first + 1; i < count; ++i) {
        all = write_vehicle(words[i], words[first], samples) && all;
    }
    return all ? 0 : 1;
}
