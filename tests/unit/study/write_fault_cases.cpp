// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// One state of a vehicle as a deck for a general circuit simulator, and beside it our own answers
// with each conductor's end shorted to metal in turn, and with each conductor, contact, fuse and
// ground opened in turn, before anything turns over:
//   write_fault_cases DIRECTORY VEHICLE.yaml STATE
// state.cir   the deck, without its run
// cases.txt   a case a line: what to alter in the deck ("short n12", "open R40")
// volts.txt   a case a line: node=volts, those that float left out

#include "network/branch_kinds.hpp"
#include "study/faults.hpp"
#include "study/file_car.hpp"

#include <fmt/format.h>

#include <fstream>
#include <iostream>
#include <set>
#include <string>

namespace {

using namespace loomwright;

class CaseWriter {
public:
    CaseWriter(const testing::FileCar& car, const FaultStudy& faults, const std::string& folder)
        : car_(car), faults_(faults), cases_(folder + "/cases.txt"), volts_(folder + "/volts.txt") {
    }

    bool shorts(const StateSolution& base) {
        std::set<int> seen;
        bool all = true;
        for (const int index : car_.network.wire_branch) {
            const Branch& branch = car_.network.branches[static_cast<std::size_t>(index)];
            for (const int node : {branch.from, branch.to}) {
                const bool floats = base.floating[static_cast<std::size_t>(node)] != 0;
                if (node != car_.network.reference && !floats && seen.insert(node).second) {
                    cases_ << "short n" << node << '\n';
                    all = write(faults_.short_point(0, node)) && all;
                }
            }
        }
        return all;
    }
    bool opens(const StateSolution& base) {
        bool all = true;
        for (std::size_t i = 0; i < car_.network.branches.size(); ++i) {
            const Branch& branch = car_.network.branches[i];
            const bool floats = base.floating[static_cast<std::size_t>(branch.from)] != 0;
            if (is_conductor(branch.kind) && base.closed[i] != 0 && !floats) {
                cases_ << "open R" << i << '\n';
                all = write(faults_.open_point(0, static_cast<int>(i))) && all;
            }
        }
        return all;
    }

private:
    bool write(const FaultPoint& point) {
        for (std::size_t node = 0; node < point.node_volts.size(); ++node) {
            if (point.floating[node] == 0 && static_cast<int>(node) != car_.network.reference) {
                volts_ << fmt::format("n{}={:.17g} ", node, point.node_volts[node]);
            }
        }
        volts_ << '\n';
        return point.is_solved;
    }

    const testing::FileCar& car_;
    const FaultStudy& faults_;
    std::ofstream cases_;
    std::ofstream volts_;
};

} // namespace

int main(int count, char** words) {
    if (count != 4) {
        std::cerr << "usage: write_fault_cases DIRECTORY VEHICLE.yaml STATE\n";
        return 2;
    }
    const std::string folder = words[1];
    const auto car = testing::read_file_car(words[2]);
    const StateId state = car ? car->vehicle.find_state(words[3]) : StateId();
    if (!state.is_valid()) {
        std::cerr << "no such vehicle, or no such state in it\n";
        return 2;
    }
    const StateSolution base = solve_state(car->input(), car->design, state);
    const FaultStudy faults(car->input(), car->design, {state});
    if (!base.converged) {
        std::cerr << "the state has no answer: " << base.failure << '\n';
        return 1;
    }
    const std::string deck = spice_deck(car->input(), car->design, base);
    std::ofstream(folder + "/state.cir") << deck.substr(0, deck.find(".control"));
    CaseWriter writer(*car, faults, folder);
    const bool shorts = writer.shorts(base);
    const bool opens = writer.opens(base);
    return shorts && opens ? 0 : 1;
}
