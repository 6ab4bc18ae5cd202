// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "extreme_network.hpp"

#include "dice.hpp"

namespace loomwright::solve::testing {
namespace {

constexpr double least_siemens = 1e-7; // 10 Mohm
constexpr double most_siemens = 1e6;   // 1 uohm

double any_siemens(Dice& dice) {
    return dice.log_between(least_siemens, most_siemens);
}

/// A load whose current rises with its voltage: there is one answer.
void add_load(Circuit& circuit, Dice& dice, Index from, Index to) {
    const double amps = dice.log_between(1e-6, 30.0);
    const double kind = dice.share();
    if (kind < 0.3) {
        circuit.add(Law::conductance, from, to, amps / 12.0);
    } else if (kind < 0.6) {
        circuit.add(Law::constant_current, from, to, amps, dice.between(0.5, 6.0));
    } else if (kind < 0.85) {
        circuit.add(Law::lamp, from, to, amps, 13.5, dice.between(5.0, 15.0));
    } else { // conducts at any car's voltage, as a string of diodes does
        circuit.add(Law::diode, from, to, amps * 1e-6, dice.between(0.3, 0.8));
    }
}

} // namespace

Circuit wide_ratios(std::uint64_t seed, Index nodes) {
    Dice dice(seed);
    Circuit circuit;
    circuit.node_count = nodes;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, dice.log_between(10.0, most_siemens));
    circuit.add(Law::source, nodes - 1, 0, 12.2, dice.log_between(10.0, 1000.0));
    circuit.add(Law::limited_source, nodes / 2, 0, 14.3, 100.0, dice.between(5.0, 120.0));
    for (Index node = 2; node < nodes; ++node) {
        circuit.add(Law::conductance, dice.below(node), node, any_siemens(dice));
    }
    for (Index k = 0; k < nodes; ++k) {
        circuit.add(Law::conductance, 1 + dice.below(nodes - 1), 1 + dice.below(nodes - 1),
                    any_siemens(dice));
    }
    for (Index k = 0; k < nodes / 2; ++k) {
        add_load(circuit, dice, 1 + dice.below(nodes - 1),
                 dice.chance(0.8) ? 0 : dice.below(nodes));
    }
    return circuit;
}

Circuit thousand_sources(std::uint64_t seed) {
    constexpr Index nodes = 250;
    Dice dice(seed);
    Circuit circuit;
    circuit.node_count = nodes;
    circuit.reference = 0;
    for (Index node = 1; node < nodes; ++node) {
        circuit.add(Law::conductance, dice.below(node), node, dice.log_between(0.1, 1e4));
    }
    for (int k = 0; k < 1000; ++k) {
        const Index plus = dice.below(nodes);
        const Index minus = dice.below(nodes);
        if (dice.chance(0.2)) {
            circuit.add(Law::limited_source, plus, minus, dice.between(12.0, 14.6),
                        dice.log_between(10.0, 300.0), dice.log_between(1.0, 150.0));
        } else {
            circuit.add(Law::source, plus, minus, dice.between(-2.0, 14.0),
                        dice.log_between(1e-3, 1e3));
        }
    }
    return circuit;
}

Circuit long_ladder(std::uint64_t seed, Index rungs) {
    Dice dice(seed);
    Circuit circuit;
    circuit.node_count = rungs + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    for (Index rung = 0; rung < rungs; ++rung) {
        circuit.add(Law::conductance, rung + 1, rung + 2, dice.log_between(1e2, most_siemens));
        circuit.add(Law::conductance, rung + 2, 0, dice.log_between(least_siemens, 1e-3));
    }
    return circuit;
}

Circuit tight_loops(std::uint64_t seed, Index rings) {
    Dice dice(seed);
    Circuit circuit;
    circuit.node_count = 1;
    circuit.reference = 0;
    for (Index ring = 0; ring < rings; ++ring) {
        const Index first = circuit.node_count;
        const Index size = 3 + dice.below(4);
        circuit.node_count += size;
        // Its own plus and minus, joined to the ring before by 10 Mohm alone.
        circuit.add(Law::conductance, first - 1, first, least_siemens);
        for (Index k = 0; k < size; ++k) {
            const Index here = first + k;
            const Index next = first + (k + 1) % size;
            if (dice.chance(0.3)) { // a micro-volt between two ends that a micro-ohm joins
                circuit.add(Law::source, here, next, dice.between(-1e-6, 1e-6), most_siemens);
            } else {
                circuit.add(Law::conductance, here, next, most_siemens * dice.between(0.1, 1.0));
            }
        }
        for (int twin = 0; twin < 2; ++twin) { // of 12 V, but for a millionth
            circuit.add(Law::source, first, first + 1, 12.0 + dice.between(-1e-5, 1e-5), 200.0);
        }
    }
    return circuit;
}

Circuit many_islands(std::uint64_t seed, Index islands) {
    Dice dice(seed);
    Circuit circuit;
    circuit.reference = 0;
    for (Index island = 0; island < islands; ++island) {
        const Index minus = circuit.node_count;
        circuit.node_count += 4;
        const bool has_load = island % 3 != 1;
        if (island % 3 != 2) {
            circuit.add(Law::source, minus + 1, minus, dice.between(5.0, 50.0),
                        dice.log_between(1.0, most_siemens));
        }
        circuit.add(Law::conductance, minus + 1, minus + 2, any_siemens(dice));
        circuit.add(Law::conductance, minus + 2, minus + 3, any_siemens(dice));
        if (has_load) {
            circuit.add(Law::conductance, minus + 3, minus, any_siemens(dice));
        }
    }
    return circuit;
}

Circuit extreme_network(std::uint64_t seed) {
    switch (seed % 3) {
    case 0:
        return wide_ratios(seed, 30);
    case 1:
        return long_ladder(seed, 1000);
    default:
        return many_islands(seed, 60);
    }
}

} // namespace loomwright::solve::testing
