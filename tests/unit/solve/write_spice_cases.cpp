// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Writes the random networks as decks for a general circuit simulator, each with our own answer
// beside it:
//   write_spice_cases DIRECTORY MOST_WIRES SEED...
//   SEED.cir + SEED.volts            the deck, and our voltage of each node
//   SEED.cir + SEED.collapse         we say that a load has pulled its own feed down: the deck
//                                    without it, and which load that was
// compare_with_ngspice.py has the decks solved by ngspice and compares.

#include "random_network.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>

namespace {

using namespace loomwright::solve;

/// k T / q at the 27 C of a deck (SI 2019: k = 1.380649e-23 J/K, q = 1.602176634e-19 C, both
/// exact). ngspice 39 has the values of 2014, which are 4e-7 away: a quarter of a microvolt in a
/// diode's drop.
constexpr double thermal_v = 1.380649e-23 * 300.15 / 1.602176634e-19;

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
    case Law::limited_source: // its voltage as a source, so that stepping of sources moves it too
        fmt::format_to(out,
                       "V{0} e{0} {1} DC {2:.17g}\nB{0} e{0} {3} "
                       "I=max(min({4:.17g}*V(e{0},{3}),{5:.17g}),0)\n",
                       k, to, a, from, b, c);
        break;
    case Law::constant_current:
        fmt::format_to(out, "B{} {} {} I={:.17g}*max(-1,min(1,{}/{:.17g}))\n", k, from, to, a, v,
                       b);
        break;
    case Law::constant_power: // times the voltage of `level`, 1 V, so that a search can bring it up
        fmt::format_to(out, "B{} {} {} I=V(level)*(abs({})>={:.17g} ? {:.17g}/{} : {:.17g}*{})\n",
                       k, from, to, v, b, a, v, a / (b * b), v);
        break;
    case Law::lamp:
        fmt::format_to(
            out,
            "B{} {} {} "
            "I={:.17g}*sgn({})*min(pow(max(abs({}/{:.17g}),1e-12),0.55),{:.17g}*abs({}/{:.17g}))\n",
            k, from, to, a, v, v, b, c, v, b);
        break;
    case Law::diode:
        fmt::format_to(out, "X{} {} {} junction is={:.17g} slope={:.17g}\n", k, from, to, a, b);
        break;
    }
}

/// The deck of a network; without one branch unless `left_out` is -1.
std::string deck_of(std::uint64_t seed, const Circuit& circuit, const OperatingPoint& point,
                    Index left_out) {
    std::string deck = fmt::format("random network {}\n", seed);
    auto out = std::back_inserter(deck);
    deck += "Vlevel level 0 DC 1\n";
    // The simulator's own diode, for the sake of its search, with the exponential put back where it
    // has a cubic in its place: below -3 slopes, as SPICE3 had.
    fmt::format_to(out,
                   ".subckt junction a k is=1e-9 slope=0.05\nD1 a k law\n"
                   ".model law D(IS={{is}} N={{slope/{:.17g}}})\n"
                   "B1 a k I=V(a,k)<-3*{{slope}} ? {{is}}*(exp(V(a,k)/{{slope}})"
                   "-(3*{{slope}}/(2.718281828459045*abs(V(a,k))))^3) : 0\n.ends\n",
                   thermal_v);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (point.floating[static_cast<std::size_t>(circuit.from[k])] == 0 &&
            static_cast<Index>(k) != left_out) {
            write_branch(deck, circuit, point, k);
        }
    }
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        if (point.floating[node] == 0 && point.volts[node] == 0.0) {
            // A reference: one resistor to ground carries nothing.
            fmt::format_to(out, "RG{} n{} 0 1\n", node, node);
        }
    }
    return deck;
}

bool write_case(const std::string& stem, std::uint64_t seed) {
    const Circuit circuit = testing::random_network(seed, testing::wires_of(seed));
    Solver solver;
    const OperatingPoint point = solver.solve(circuit);
    const bool is_collapse = point.status == Status::no_solution && point.worst_branch >= 0;
    if (point.status != Status::solved && !is_collapse) {
        std::fprintf(stderr, "seed %llu: not solved\n", static_cast<unsigned long long>(seed));
        return false;
    }
    std::ofstream(stem + ".cir") << deck_of(seed, circuit, point, point.worst_branch);
    if (is_collapse) {
        const auto k = static_cast<std::size_t>(point.worst_branch);
        std::ofstream(stem + ".collapse")
            << fmt::format("{} {} {:.17g} {:.17g}\n", node_name(point, circuit.from[k]),
                           node_name(point, circuit.to[k]), circuit.a[k], circuit.b[k]);
        return true;
    }
    std::ofstream volts(stem + ".volts");
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        if (point.floating[node] == 0) {
            volts << fmt::format("n{} {:.17g}\n", node, point.volts[node]);
        }
    }
    return true;
}

} // namespace

int main(int count, char** words) {
    if (count < 4) {
        std::fputs("usage: write_spice_cases DIRECTORY MOST_WIRES SEED...\n", stderr);
        return 2;
    }
    const int most_wires = std::atoi(words[2]);
    bool all = true;
    for (int k = 3; k < count; ++k) {
        const std::uint64_t seed = std::strtoull(words[k], nullptr, 10);
        if (testing::wires_of(seed) > most_wires) {
            continue;
        }
        all = write_case(fmt::format("{}/{:05}", words[1], seed), seed) && all;
    }
    return all ? 0 : 1;
}
