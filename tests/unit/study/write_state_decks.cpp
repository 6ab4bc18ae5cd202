// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Solves every state of vehicles and writes each as a deck for a general circuit simulator, with
// our own answer beside it:
//   write_state_decks DIRECTORY VEHICLE.yaml...
// Sizes and ratings that the file leaves open are taken as 2.5 mm2 and 20 A: the comparison is of
// the same circuit solved twice, whatever its wires are.

#include "read/read.hpp"
#include "study/as_written.hpp"
#include "study/operating.hpp"

#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iostream>
#include <iterator>
#include <sstream>

namespace {

using namespace loomwright;
namespace files = std::filesystem;

std::optional<std::string> text_of(const files::path& path) {
    std::ifstream in(path);
    std::ostringstream text;
    text << in.rdbuf();
    return in.good() ? std::optional(text.str()) : std::nullopt;
}

/// Writes one state; false when it has no answer or does not carry its proof.
bool write_state(const StudyInput& input, const StateSolution& solution, const files::path& stem) {
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
    std::ofstream(stem.string() + ".cir") << spice_deck(input, solution);
    std::ofstream volts(stem.string() + ".volts");
    for (std::size_t node = 0; node < solution.node_volts.size(); ++node) {
        if (solution.floating[node] == 0 && static_cast<int>(node) != solution.circuit.reference) {
            volts << fmt::format("n{} {:.17g}\n", node, solution.node_volts[node]);
        }
    }
    return is_proved;
}

bool write_vehicle(const files::path& path, const files::path& directory) {
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
    if (findings.has_input_fault()) {
        for (const Finding& finding : findings.all()) {
            std::cerr << describe(finding, sources) << '\n';
        }
        return false;
    }
    const Network network = build_network(vehicle);
    const StudyInput input{vehicle, catalogue, routing, network};
    const Design design = testing::design_as_written(vehicle, catalogue, routing);
    bool all = true;
    for (const StateSolution& solution : solve_states(input, design)) {
        const std::string name =
            path.stem().string() + "-" +
            std::to_string(solution.state.is_valid() ? solution.state.index() : std::size_t{0});
        all = write_state(input, solution, directory / name) && all;
    }
    return all;
}

} // namespace

int main(int count, char** words) {
    if (count < 3) {
        std::cerr << "usage: write_state_decks DIRECTORY VEHICLE.yaml...\n";
        return 2;
    }
    bool all = true;
    for (int i = 2; i < count; ++i) {
        all = write_vehicle(words[i], words[1]) && all;
    }
    return all ? 0 : 1;
}
