// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Writes the random networks as decks for a general circuit simulator, each with our own answer
// beside it:
//   write_spice_cases DIRECTORY MOST_WIRES SEED...
//   SEED.cir + SEED.volts            the deck, and our voltage of each node
//   SEED.cir + SEED.collapse         we say that a load has pulled its own feed down: the deck
//                                    without it, and which load that was
// Seeds from 2000 on are the extreme networks. compare_with_ngspice.py has the decks solved by
// ngspice and compares.

#include "extreme_network.hpp"
#include "random_network.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <numeric>
#include <string>
#include <vector>

namespace {

using namespace loomwright::solve;

/// k T / q at the 27 C of a deck (SI 2019: k = 1.380649e-23 J/K, q = 1.602176634e-19 C, both
/// exact). ngspice 39 has the values of 2014, which are 4e-7 away: a quarter of a microvolt in a
/// diode's drop.
constexpr double thermal_v = 1.380649e-23 * 300.15 / 1.602176634e-19;

/// The node at 0 V of each island: the circuit's reference, else the minus of its first source.
/// Found here anew from the law table of circuit.hpp, so that no voltage of ours is in the deck.
class References {
public:
    explicit References(const Circuit& circuit)
        : root_(static_cast<std::size_t>(circuit.node_count)),
          of_island_(static_cast<std::size_t>(circuit.node_count), -1) {
        std::iota(root_.begin(), root_.end(), 0);
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            if (!is_absent(circuit, k)) {
                root_[at(island(circuit.from[k]))] = island(circuit.to[k]);
            }
        }
        if (circuit.reference >= 0) {
            of_island_[at(island(circuit.reference))] = circuit.reference;
        }
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            const bool is_source =
                circuit.law[k] == Law::source || circuit.law[k] == Law::limited_source;
            Index& known = of_island_[at(island(circuit.to[k]))];
            if (is_source && !is_absent(circuit, k) && known < 0) {
                known = circuit.to[k];
            }
        }
    }

    [[nodiscard]] bool holds(Index node) const { return of_island_[at(island(node))] == node; }

private:
    [[nodiscard]] static std::size_t at(Index index) { return static_cast<std::size_t>(index); }

    [[nodiscard]] static bool is_absent(const Circuit& circuit, std::size_t k) {
        switch (circuit.law[k]) {
        case Law::limited_source:
            return circuit.c[k] == 0.0;
        case Law::constant_current:
        case Law::constant_power:
        case Law::lamp:
            return circuit.a[k] == 0.0;
        case Law::conductance:
        case Law::source:
        case Law::diode:
            break;
        }
        return false;
    }

    [[nodiscard]] Index island(Index node) const {
        while (root_[at(node)] != node) {
            node = root_[at(node)];
        }
        return node;
    }

    std::vector<Index> root_;
    std::vector<Index> of_island_;
};

/// Writes one network as a deck.
class Deck {
public:
    Deck(const Circuit& circuit, const OperatingPoint& point)
        : circuit_(circuit), point_(point), references_(circuit) {}

    /// Every island of its own counts from its reference: that node is the deck's ground.
    [[nodiscard]] std::string name(Index node) const {
        return references_.holds(node) ? "0" : fmt::format("n{}", node);
    }

    [[nodiscard]] bool is_fed(Index node) const {
        return point_.floating[static_cast<std::size_t>(node)] == 0;
    }

    /// The deck; without one branch unless `left_out` is -1.
    [[nodiscard]] std::string text(std::uint64_t seed, Index left_out) const;

private:
    void write_branch(std::string& deck, std::size_t k) const;

    const Circuit& circuit_;
    const OperatingPoint& point_;
    References references_;
};

// Numbers are written with as few digits as give the same number back: the simulator reads digit by
// digit, and loses the last bit over seventeen of them.
//
// The simulator differentiates what a B source says. So that its search finds a slope wherever it
// stands, 0 V among them, each law is spelled out piece by piece, and no piece has a kink or a root
// at 0 V inside.
void Deck::write_branch(std::string& deck, std::size_t k) const {
    auto out = std::back_inserter(deck);
    const std::string from = name(circuit_.from[k]);
    const std::string to = name(circuit_.to[k]);
    const std::string v = fmt::format("V({},{})", from, to);
    const double a = circuit_.a[k];
    const double b = circuit_.b[k];
    const double c = circuit_.c[k];
    switch (circuit_.law[k]) {
    case Law::conductance:
        fmt::format_to(out, "R{} {} {} {}\n", k, from, to, 1.0 / a);
        break;
    case Law::source:
        fmt::format_to(out, "V{0} e{0} {1} DC {2}\nR{0} e{0} {3} {4}\n", k, to, a, from, 1.0 / b);
        break;
    case Law::limited_source: // its voltage as a source, so that stepping of sources moves it too
        fmt::format_to(out,
                       "V{0} e{0} {1} DC {2}\nB{0} e{0} {3} "
                       "I=V(e{0},{3})<0 ? 0 : (V(e{0},{3})>{4} ? {5} : {6}*V(e{0},{3}))\n",
                       k, to, a, from, c / b, c, b);
        break;
    case Law::constant_current: // its knee at that over V(level)
        fmt::format_to(out,
                       "B{0} {1} {2} I=abs({3})*max(V(level),0.01)<{4} ? "
                       "{5}*max(V(level),0.01)*{3} : {6}*sgn({3})\n",
                       k, from, to, v, b, a / b, a);
        break;
    case Law::constant_power: // as much of it as V(level)
        fmt::format_to(out,
                       "B{0} {1} {2} I=max(V(level),0.01)*(abs({3})<{4} ? {5}*{3} : {6}/{3})\n", k,
                       from, to, v, b, a / (b * b), a);
        break;
    case Law::lamp: { // cold where c x < x^0.55
        const double cold_below = b * std::pow(c, -1.0 / 0.45);
        fmt::format_to(out,
                       "B{0} {1} {2} I=abs({3})<{4} ? {5}*{3} : {6}*sgn({3})*pow(abs({3})/{7},"
                       "0.55)\n",
                       k, from, to, v, cold_below, a * c / b, a, b);
        break;
    }
    case Law::diode:
        fmt::format_to(out, "X{} {} {} junction is={} slope={}\n", k, from, to, a, b);
        break;
    }
}

std::string Deck::text(std::uint64_t seed, Index left_out) const {
    std::string deck = fmt::format("random network {}\n", seed);
    deck += "Vlevel level 0 DC 1\n";
    // The simulator's own diode, for the sake of its search, with the exponential put back where it
    // has a cubic in its place: below -3 slopes, as SPICE3 had.
    fmt::format_to(std::back_inserter(deck),
                   ".subckt junction a k is=1e-9 slope=0.05\nD1 a k law\n"
                   ".model law D(IS={{is}} N={{slope/{}}})\n"
                   "B1 a k I=V(a,k)<-3*{{slope}} ? {{is}}*(exp(V(a,k)/{{slope}})"
                   "-(3*{{slope}}/(2.718281828459045*abs(V(a,k))))^3) : 0\n.ends\n",
                   thermal_v);
    for (std::size_t k = 0; k < circuit_.branch_count(); ++k) {
        if (is_fed(circuit_.from[k]) && static_cast<Index>(k) != left_out) {
            write_branch(deck, k);
        }
    }
    return deck;
}

constexpr std::uint64_t first_extreme = 2000;

Circuit network_of(std::uint64_t seed) {
    return seed < first_extreme ? testing::random_network(seed, testing::wires_of(seed))
                                : testing::extreme_network(seed - first_extreme);
}

bool write_case(const std::string& stem, std::uint64_t seed) {
    const Circuit circuit = network_of(seed);
    Solver solver;
    const OperatingPoint point = solver.solve(circuit);
    const bool is_collapse = point.status == Status::no_solution && point.worst_branch >= 0;
    if (point.status != Status::solved && !is_collapse) {
        std::fprintf(stderr, "seed %llu: not solved\n", static_cast<unsigned long long>(seed));
        return false;
    }
    const Deck deck(circuit, point);
    std::ofstream(stem + ".cir") << deck.text(seed, point.worst_branch);
    if (is_collapse) {
        const auto k = static_cast<std::size_t>(point.worst_branch);
        std::ofstream(stem + ".collapse")
            << fmt::format("{} {} {} {}\n", deck.name(circuit.from[k]), deck.name(circuit.to[k]),
                           circuit.a[k], circuit.b[k]);
        return true;
    }
    std::ofstream volts(stem + ".volts");
    for (Index node = 0; node < circuit.node_count; ++node) {
        if (deck.is_fed(node) && deck.name(node) != "0") {
            volts << fmt::format("{} {}\n", deck.name(node),
                                 point.volts[static_cast<std::size_t>(node)]);
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
        if (seed < first_extreme && testing::wires_of(seed) > most_wires) {
            continue;
        }
        all = write_case(fmt::format("{}/{:05}", words[1], seed), seed) && all;
    }
    return all ? 0 : 1;
}
