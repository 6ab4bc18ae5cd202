// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Currents of dead shorts: by hand on small networks, and on random ones against a dense solution
// by Eigen with the shorted nodes taken out of the equations.

#include "solve/short_currents.hpp"

#include "dice.hpp"

#include <Eigen/Dense>
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

Circuit empty(Index nodes, Index reference) {
    Circuit out;
    out.node_count = nodes;
    out.reference = reference;
    return out;
}

/// Current into shorts at some nodes of a circuit whose every node is joined to the reference, by
/// its definition: those nodes at 0 V, the others by Kirchhoff.
std::vector<double> by_definition(const Circuit& circuit, const std::vector<Index>& shorted) {
    const auto count = static_cast<Eigen::Index>(circuit.node_count);
    Eigen::MatrixXd g = Eigen::MatrixXd::Zero(count, count);
    Eigen::VectorXd j = Eigen::VectorXd::Zero(count);
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const double siemens = circuit.law[k] == Law::conductance ? circuit.a[k]
                               : circuit.law[k] == Law::source    ? circuit.b[k]
                                                                  : 0.0;
        const double amps = circuit.law[k] == Law::source           ? circuit.a[k] * circuit.b[k]
                            : circuit.law[k] == Law::limited_source ? circuit.c[k]
                                                                    : 0.0;
        const Index from = circuit.from[k];
        const Index to = circuit.to[k];
        g(from, from) += siemens;
        g(to, to) += siemens;
        g(from, to) -= siemens;
        g(to, from) -= siemens;
        j(from) += amps;
        j(to) -= amps;
    }
    const Eigen::MatrixXd all = g;
    const Eigen::VectorXd sent = j;
    std::vector<Index> held = shorted;
    held.push_back(circuit.reference);
    for (const Index node : held) {
        g.row(node).setZero();
        g.col(node).setZero();
        g(node, node) = 1.0;
        j(node) = 0.0;
    }
    const Eigen::VectorXd volts = g.fullPivLu().solve(j);
    std::vector<double> out;
    for (const Index node : shorted) {
        out.push_back(sent(node) - all.row(node).dot(volts));
    }
    return out;
}

} // namespace

TEST_CASE("one battery: V over everything on the way") {
    // 12.6 V behind 5 mohm, 2 mohm, 8 mohm: 2520 A at its post, 12.6 / 7 mohm = 1800 A, 12.6 / 15
    // mohm = 840 A.
    Circuit circuit = empty(4, 0);
    circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.005);
    circuit.add(Law::conductance, 1, 2, 1.0 / 0.002);
    circuit.add(Law::conductance, 2, 3, 1.0 / 0.008);
    ShortCurrents shorts(circuit);
    CHECK(shorts.open_volts(3) == doctest::Approx(12.6));
    CHECK(shorts.at_node(1) == doctest::Approx(2520.0));
    CHECK(shorts.at_node(2) == doctest::Approx(1800.0));
    CHECK(shorts.at_node(3) == doctest::Approx(840.0));
    // Beyond a node that hangs on the other alone nothing comes back.
    const ShortPair pair = shorts.at_pair(2, 3);
    CHECK(pair.a_amps == doctest::Approx(1800.0));
    CHECK(pair.b_amps == 0.0);
    const ShortPair turned = shorts.at_pair(3, 2);
    CHECK(turned.a_amps == 0.0);
    CHECK(turned.b_amps == doctest::Approx(1800.0));
}

TEST_CASE("a link between two batteries gives from each side what that side has") {
    // 12.6 V / 5 mohm, 12.0 V / 10 mohm, a link of 4 mohm between: 2520 A and 1200 A; the link,
    // with both its ends at 0 V, carries none.
    Circuit circuit = empty(3, 0);
    circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.005);
    circuit.add(Law::source, 2, 0, 12.0, 1.0 / 0.010);
    circuit.add(Law::conductance, 1, 2, 1.0 / 0.004);
    ShortCurrents shorts(circuit);
    const ShortPair pair = shorts.at_pair(1, 2);
    CHECK(pair.a_amps == doctest::Approx(2520.0));
    CHECK(pair.b_amps == doctest::Approx(1200.0));
    // One short at the first: 2520 A, and 12 V over 14 mohm from the other.
    CHECK(shorts.at_node(1) == doctest::Approx(2520.0 + 12.0 / 0.014));
}

TEST_CASE("every node joined to every other: the fill is heavy, the currents those of symmetry") {
    // N nodes, the same R between any two, E behind r from the reference to node 1. Nodes merged
    // into the reference leave the others at one voltage each by symmetry. M nodes merged have a
    // conductance of M / R to any other; from node 1 to them leads M / R itself and, by each of the
    // N - M - 1 others, 1 / R and M / R in series: G = N M / ((M + 1) R). Of E / (r + 1 / G) each
    // of the M takes the same.
    for (const Index nodes : {6, 80}) {
        CAPTURE(nodes);
        constexpr double emf = 12.6;
        constexpr double r = 0.005;
        constexpr double link = 0.5;
        Circuit circuit = empty(nodes, 0);
        circuit.add(Law::source, 1, 0, emf, 1.0 / r);
        for (Index i = 0; i < nodes; ++i) {
            for (Index j = 0; j < i; ++j) {
                circuit.add(Law::conductance, i, j, 1.0 / link);
            }
        }
        const auto each_of = [&](double merged) {
            const double ohm = (merged + 1.0) * link / (nodes * merged);
            return emf / (r + ohm) / merged;
        };
        ShortCurrents shorts(circuit);
        CHECK(shorts.at_node(1) == doctest::Approx(emf / r).epsilon(1e-9));
        CHECK(shorts.at_node(3) == doctest::Approx(each_of(2.0)).epsilon(1e-9));
        const ShortPair pair = shorts.at_pair(2, 4);
        CHECK(pair.a_amps == doctest::Approx(each_of(3.0)).epsilon(1e-9));
        CHECK(pair.b_amps == doctest::Approx(each_of(3.0)).epsilon(1e-9));
    }
}

TEST_CASE("a source that limits itself gives its limit") {
    // Alone: its limit wherever the short is. Beside a battery it divides by the conductances:
    // short behind 20 mohm at the post of 12.6 V / 5 mohm, 120 A there: V = 12.6 + 0.6 = 13.2 V
    // behind 25 mohm: 528 A, 504 A of it the battery's and 120 x 5 / 25 = 24 A the alternator's.
    Circuit alone = empty(3, 0);
    alone.add(Law::limited_source, 1, 0, 14.2, 500.0, 90.0);
    alone.add(Law::conductance, 1, 2, 1.0 / 0.05);
    ShortCurrents by_itself(alone);
    CHECK(by_itself.at_node(1) == doctest::Approx(90.0));
    CHECK(by_itself.at_node(2) == doctest::Approx(90.0));
    Circuit both = empty(3, 0);
    both.add(Law::source, 1, 0, 12.6, 1.0 / 0.005);
    both.add(Law::limited_source, 1, 0, 14.2, 500.0, 120.0);
    both.add(Law::conductance, 1, 2, 1.0 / 0.02);
    ShortCurrents beside(both);
    CHECK(beside.at_node(2) == doctest::Approx(528.0));
    // A charger at the far end of a fuse sends its own 90 A from there, and nothing more.
    Circuit far = empty(3, 0);
    far.add(Law::source, 1, 0, 12.6, 1.0 / 0.005);
    far.add(Law::conductance, 1, 2, 1.0 / 0.002);
    far.add(Law::limited_source, 2, 0, 14.2, 500.0, 90.0);
    ShortCurrents ends(far);
    const ShortPair pair = ends.at_pair(1, 2);
    CHECK(pair.a_amps == doctest::Approx(2520.0));
    CHECK(pair.b_amps == doctest::Approx(90.0));
}

TEST_CASE("loads and diodes carry nothing, and what is not joined to the reference is dead") {
    Circuit circuit = empty(6, 0);
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    circuit.add(Law::constant_current, 1, 0, 30.0, 2.0);
    circuit.add(Law::lamp, 1, 0, 5.0, 12.0, 10.0);
    circuit.add(Law::diode, 1, 2, 1e-9, 0.05);
    circuit.add(Law::source, 3, 4, 12.0, 100.0);
    circuit.add(Law::limited_source, 5, 0, 14.0, 100.0, 0.0);
    ShortCurrents shorts(circuit);
    CHECK(shorts.at_node(1) == doctest::Approx(1200.0));
    for (const Index node : {0, 2, 3, 4, 5}) {
        CAPTURE(node);
        CHECK(shorts.is_dead(node));
    }
    CHECK(ShortCurrents(empty(2, 0)).is_dead(1));
    CHECK(ShortCurrents(empty(2, -1)).is_dead(0));
}

TEST_CASE("random networks against the definition") {
    double worst = 0.0;
    int pairs = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        Dice dice(seed);
        const Index nodes = 4 + dice.below(40);
        Circuit circuit = empty(nodes, 0);
        // A tree over all nodes with a source at its first, then more of everything.
        circuit.add(Law::source, 1, 0, 12.6, 1.0 / dice.between(0.003, 0.02));
        for (Index node = 2; node < nodes; ++node) {
            const Index other = 1 + dice.below(node - 1);
            circuit.add(Law::conductance, node, other, 1.0 / dice.between(0.0005, 0.1));
        }
        for (int more = 0; more < nodes / 3; ++more) {
            const Index a = 1 + dice.below(nodes - 1);
            const Index b = 1 + dice.below(nodes - 1);
            switch (dice.below(3)) {
            case 0:
                circuit.add(Law::conductance, a, b, 1.0 / dice.between(0.0005, 0.1));
                break;
            case 1:
                circuit.add(Law::source, a, 0, dice.between(11.5, 13.0),
                            1.0 / dice.between(0.003, 0.02));
                break;
            default:
                circuit.add(Law::limited_source, a, 0, 14.2, 500.0, dice.between(20.0, 150.0));
                break;
            }
        }
        ShortCurrents shorts(circuit);
        for (Index a = 1; a < nodes; ++a) {
            const double expected = by_definition(circuit, {a}).front();
            worst = std::max(worst, std::abs(shorts.at_node(a) / expected - 1.0));
            const Index b = a + 1;
            if (b < nodes) {
                const std::vector<double> both = by_definition(circuit, {a, b});
                const ShortPair pair = shorts.at_pair(a, b);
                const double scale = std::abs(both[0]) + std::abs(both[1]);
                worst = std::max(worst, std::abs(pair.a_amps - both[0]) / scale);
                worst = std::max(worst, std::abs(pair.b_amps - both[1]) / scale);
                ++pairs;
            }
        }
    }
    CHECK(pairs > 500);
    // A source at its limit is held by 1e-9 S for each ampere: some 1e-7 S at up to 200 V, that is
    // 2e-5 A of a thousand.
    CHECK(worst < 1e-7);
}
