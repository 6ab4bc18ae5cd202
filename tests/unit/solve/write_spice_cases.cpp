// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Writes random circuits as decks for a general circuit simulator, each with our own answer beside
// it:
//   write_spice_cases DIRECTORY FIRST_SEED COUNT BRANCHES_LEAST BRANCHES_MOST
// compare_with_ngspice.py has the decks solved by ngspice and compares.

#include "random_circuit.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

namespace {

using namespace loomwright::solve;

std::string node_name(const OperatingPoint& point, Index node) {
    // Every island of its own counts from its reference: that node is the deck's ground.
    return point.floating[static_cast<std::size_t>(node)] != 0 ? fmt::format("f{}", node)
                                                               : fmt::format("n{}", node);
}

void write_branch(std::string& deck, const Circuit& circuit, const OperatingPoint& point,
                  std::size_t k) {
    auto out = std::back_inserter(deck);
    const std::string from = node_name(point, circuit.from[k]);
    const std::string to = node_name(point, circuit.to[k]);
    const std::string v = fmt::format("V({},{})", from, to);
    const double a = circuit.a[k];
    const double b = circuit.b[k];
    const double c = circuit.c[k];
    switch (circuit.law[k]) {
    case Law::conductance:
        fmt::format_to(out, "R{} {} {} {:.17g}\n", k, from, to, 1.0 / a);
        break;
    case Law::source:
        fmt::format_to(out, "V{0} e{0} {1} DC {2:.17g}\nR{0} e{0} {3} {4:.17g}\n", k, to, a, from,
                       1.0 / b);
        break;
    case Law::limited_source:
        fmt::format_to(out, "B{} {} {} I=-min(max({:.17g}*({:.17g}-{}),0),{:.17g})\n", k, from, to,
                       b, a, v, c);
        break;
    case Law::constant_current:
        fmt::format_to(out, "B{} {} {} I={:.17g}*max(-1,min(1,{}/{:.17g}))\n", k, from, to, a, v,
                       b);
        break;
    case Law::constant_power:
        fmt::format_to(out, "B{} {} {} I=abs({})>={:.17g} ? {:.17g}/{} : {:.17g}*{}\n", k, from, to,
                       v, b, a, v, a / (b * b), v);
        break;
    case Law::lamp:
        fmt::format_to(
            out,
            "B{} {} {} "
            "I={:.17g}*sgn({})*min(pow(max(abs({}/{:.17g}),1e-12),0.55),{:.17g}*abs({}/{:.17g}))\n",
            k, from, to, a, v, v, b, c, v, b);
        break;
    case Law::diode:
        fmt::format_to(out, "B{} {} {} I={:.17g}*(exp(min({}/{:.17g},40))-1)\n", k, from, to, a, v,
                       b);
        break;
    }
}

bool write_case(const std::string& stem, std::uint64_t seed, int branches) {
    testing::RandomShape shape;
    shape.branches = branches;
    Circuit circuit = testing::random_circuit(seed, shape);
    Solver solver;
    OperatingPoint point = solver.solve(circuit);
    // A voltage collapse is no case for comparison: the same size is drawn again.
    for (std::uint64_t again = 1;
         again < 20 && point.status == Status::no_solution && point.worst_branch >= 0; ++again) {
        circuit = testing::random_circuit(seed + again * 1'000'000, shape);
        point = solver.solve(circuit);
    }
    if (point.status != Status::solved) {
        std::fprintf(stderr, "seed %llu: not solved\n", static_cast<unsigned long long>(seed));
        return false;
    }
    std::string deck = fmt::format("random circuit {}\n", seed);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (point.floating[static_cast<std::size_t>(circuit.from[k])] == 0) {
            write_branch(deck, circuit, point, k);
        }
    }
    std::string volts;
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        if (point.floating[node] != 0) {
            continue;
        }
        fmt::format_to(std::back_inserter(volts), "n{} {:.17g}\n", node, point.volts[node]);
        if (point.volts[node] == 0.0) { // a reference: one resistor to ground carries nothing
            fmt::format_to(std::back_inserter(deck), "RG{} n{} 0 1\n", node, node);
        }
    }
    deck +=
        ".options reltol=1e-9 abstol=1e-14 vntol=1e-11 gmin=1e-15 itl1=500 itl2=500\n.op\n.end\n";
    std::ofstream(stem + ".cir") << deck;
    std::ofstream(stem + ".volts") << volts;
    return true;
}

} // namespace

int main(int count, char** words) {
    if (count != 6) {
        std::fputs("usage: write_spice_cases DIRECTORY FIRST_SEED COUNT LEAST MOST\n", stderr);
        return 2;
    }
    const std::string directory = words[1];
    const auto first = std::stoull(words[2]);
    const auto cases = std::stoull(words[3]);
    const double least = std::stod(words[4]);
    const double most = std::stod(words[5]);
    bool all = true;
    for (std::uint64_t k = 0; k < cases; ++k) {
        const double share =
            cases > 1 ? static_cast<double>(k) / static_cast<double>(cases - 1) : 0.0;
        const int branches = static_cast<int>(std::lround(least * std::pow(most / least, share)));
        all = write_case(fmt::format("{}/case-{:05}", directory, first + k), first + k, branches) &&
              all;
    }
    return all ? 0 : 1;
}
