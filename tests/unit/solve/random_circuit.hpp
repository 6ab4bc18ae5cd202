// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>

namespace loomwright::solve::testing {

/// Numbers that are the same on every machine: the standard's engine, our own mapping to ranges.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    /// Evenly in [0, 1).
    double share() { return static_cast<double>(engine_() >> 11U) * 0x1p-53; }
    double between(double low, double high) { return low + (high - low) * share(); }
    /// Evenly in the logarithm.
    double log_between(double low, double high) { return low * std::pow(high / low, share()); }
    Index below(Index count) { return static_cast<Index>(share() * static_cast<double>(count)); }
    bool chance(double probability) { return share() < probability; }

private:
    std::mt19937_64 engine_;
};

/// What a random circuit may hold.
struct RandomShape {
    int branches = 50;
    bool with_diodes = true;
    bool with_alternator = true;
    bool with_second_island = true;
    double cable_siemens_least = 5.0;
    double cable_siemens_most = 5e3;
};

/// One load of a random law between two nodes, about `amps` at 12 V.
inline void add_random_load(Circuit& circuit, Dice& dice, Index from, Index to, double amps,
                            bool with_diodes) {
    const double kind = dice.share();
    if (kind < 0.25) {
        circuit.add(Law::conductance, from, to, amps / 12.0);
    } else if (kind < 0.50) {
        circuit.add(Law::constant_current, from, to, amps, dice.between(1.0, 6.0));
    } else if (kind < 0.65) {
        circuit.add(Law::constant_power, from, to, 12.0 * amps, dice.between(2.0, 4.0));
    } else if (kind < 0.90 || !with_diodes) {
        circuit.add(Law::lamp, from, to, amps, 13.5, dice.between(6.0, 15.0));
    } else {
        // Across a coil, blocking; now and then the other way round behind a resistance.
        const Index middle = circuit.node_count++;
        circuit.add(Law::conductance, from, middle, amps / 10.0);
        const bool conducts = dice.chance(0.5);
        circuit.add(Law::diode, conducts ? middle : to, conducts ? to : middle,
                    dice.log_between(1e-12, 1e-8), dice.between(0.026, 0.052));
    }
}

/// A tree of cables from a battery with a few cross links, loads of every law between it and a
/// metal body, some over a ground cable of their own; an alternator beside the battery.
inline Circuit random_circuit(std::uint64_t seed, const RandomShape& shape) {
    Dice dice(seed);
    Circuit circuit;
    circuit.reference = 0;
    circuit.node_count = 2;
    const auto cable = [&](Index a, Index b) {
        circuit.add(Law::conductance, a, b,
                    dice.log_between(shape.cable_siemens_least, shape.cable_siemens_most));
    };
    circuit.add(Law::source, 1, 0, dice.between(11.8, 12.9), dice.between(50.0, 300.0));
    if (shape.with_alternator && dice.chance(0.6)) {
        circuit.add(Law::limited_source, 1, 0, dice.between(13.6, 14.6), dice.between(50.0, 500.0),
                    dice.between(5.0, 60.0));
    }
    const Index trunk = std::max(3, shape.branches / 3);
    for (Index k = 0; k < trunk; ++k) {
        // Mostly near the last ones, so that there are long runs; never on the return side.
        const Index recent = std::max<Index>(1, circuit.node_count - 12);
        const Index old = dice.chance(0.5) ? recent + dice.below(circuit.node_count - recent)
                                           : 1 + dice.below(circuit.node_count - 1);
        const Index fresh = circuit.node_count++;
        cable(old, fresh);
        if (dice.chance(0.1) && k > 2) {
            const Index other =
                std::max<Index>(1, fresh - 1 - dice.below(40)); // not far: little fill
            cable(other, fresh);
        }
    }
    const Index feed_end = circuit.node_count;
    const double amps = 40.0 / std::max(8.0, 0.4 * shape.branches);
    while (static_cast<int>(circuit.branch_count()) < shape.branches) {
        const Index from = 1 + dice.below(feed_end - 1);
        Index to = 0;
        if (dice.chance(0.4)) {
            to = circuit.node_count++;
            cable(to, 0);
        }
        add_random_load(circuit, dice, from, to, amps * dice.between(0.2, 1.8), shape.with_diodes);
    }
    if (shape.with_second_island && dice.chance(0.5)) {
        const Index plus = circuit.node_count++;
        const Index minus = circuit.node_count++;
        const Index load = circuit.node_count++;
        circuit.add(Law::source, plus, minus, dice.between(5.0, 7.0), dice.between(10.0, 100.0));
        cable(plus, load);
        add_random_load(circuit, dice, load, minus, 1.0, shape.with_diodes);
        circuit.node_count += 2; // and two nodes that nothing feeds
        circuit.add(Law::conductance, circuit.node_count - 2, circuit.node_count - 1, 3.0);
    }
    return circuit;
}

} // namespace loomwright::solve::testing
