// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Circuits that are hard on the digits, against a dense solution in long double (64 bits of
// mantissa) with full pivoting by Eigen: another matrix, another elimination, other arithmetic.

#include "dense.hpp"
#include "dice.hpp"
#include "random_network.hpp"
#include "support.hpp"

#include <algorithm>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

using Real = long double;

DenseVector<Real> from_nothing(const Circuit& circuit) {
    return dense<Real>(circuit, no_volts<Real>(circuit), 2);
}

} // namespace

TEST_CASE("resistances from 1 uohm to 10 Mohm in one mesh") {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        Circuit circuit;
        circuit.node_count = 30;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.006);
        circuit.add(Law::source, 9, 3, 11.9, 1.0 / 0.009);
        for (Index node = 2; node < circuit.node_count; ++node) {
            circuit.add(Law::conductance, dice.below(node), node, dice.log_between(1e-7, 1e6));
        }
        for (int k = 0; k < 40; ++k) {
            circuit.add(Law::conductance, dice.below(30), dice.below(30),
                        dice.log_between(1e-7, 1e6));
        }
        check_dense(circuit, solved(circuit), from_nothing(circuit), 1e-9);
    }
}

TEST_CASE("two cars joined by next to nothing: a matrix that is almost singular") {
    for (const double joint : {1e-3, 1e-5, 1e-7}) { // 10 Mohm beside 1 uohm
        CAPTURE(joint);
        Circuit circuit;
        circuit.node_count = 6;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 200.0);
        circuit.add(Law::conductance, 1, 2, 1e6);
        circuit.add(Law::conductance, 2, 0, 10.0);
        circuit.add(Law::source, 3, 4, 24.0, 200.0);
        circuit.add(Law::conductance, 3, 5, 1e6);
        circuit.add(Law::conductance, 5, 4, 10.0);
        circuit.add(Law::conductance, 2, 5, joint);
        const OperatingPoint point = solved(circuit);
        check_dense(circuit, point, from_nothing(circuit), 1e-9);
        CHECK(std::abs(amps_of(point, 6)) <= 1e-12); // it leads nowhere
    }
}

TEST_CASE("loops of ideal conductors: each has its share of a current that no voltage shows") {
    // Four bars of a micro-ohm and less in a ring with a cross: the split is the ratio of the bars.
    Circuit circuit;
    circuit.node_count = 5;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e3);
    circuit.add(Law::conductance, 1, 2, 1e6);
    circuit.add(Law::conductance, 2, 4, 3e6);
    circuit.add(Law::conductance, 1, 3, 2e6);
    circuit.add(Law::conductance, 3, 4, 1e9);
    circuit.add(Law::conductance, 2, 3, 1e6);
    circuit.add(Law::conductance, 4, 0, 20.0);
    check_dense(circuit, solved(circuit), from_nothing(circuit), 1e-9);
}

TEST_CASE("hundreds of sources in a mesh") {
    Dice dice(7);
    Circuit circuit;
    circuit.node_count = 250;
    circuit.reference = 0;
    for (Index node = 1; node < circuit.node_count; ++node) {
        circuit.add(Law::conductance, dice.below(node), node, dice.log_between(1.0, 1e4));
        circuit.add(Law::source, node, dice.below(node), dice.between(-2.0, 14.0),
                    dice.log_between(1.0, 300.0));
    }
    check_dense(circuit, solved(circuit), from_nothing(circuit), 1e-9);
}

TEST_CASE("random networks: Newton in long double from our answer finds nothing to move") {
    int compared = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = random_network(seed, 12 + static_cast<int>(seed));
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        if (point.status != Status::solved || circuit.reference < 0 ||
            std::ranges::count(point.floating, 1) > 0) {
            continue; // one island, so that the dense matrix is regular
        }
        const DenseVector<Real> volts = our_volts<Real>(circuit, point);
        const DenseVector<Real> better = dense<Real>(circuit, volts, 3);
        CHECK(static_cast<double>((better - volts).cwiseAbs().maxCoeff()) <= 1e-9);
        ++compared;
    }
    CHECK(compared >= 25);
}

TEST_CASE("a thousand alternators at their limit on one battery") {
    Circuit circuit;
    circuit.node_count = 1002;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 200.0);
    circuit.add(Law::constant_current, 1, 0, 5.0, 2.0);
    for (Index k = 0; k < 1000; ++k) {
        circuit.add(Law::limited_source, k + 2, 0, 14.0 + 1e-3 * k, 50.0, 0.01);
        circuit.add(Law::conductance, k + 2, 1, 100.0);
    }
    const OperatingPoint point = solved(circuit);
    // Each gives its 0.01 A: 10 A in all, of which the load takes 5 and the battery the rest.
    CHECK(volts_at(point, 1) == doctest::Approx(12.0 + 5.0 / 200.0).epsilon(1e-12));
}

TEST_CASE("a rung without resistance is refused, one of a nano-ohm is not") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 200.0);
    circuit.add(Law::conductance, 1, 0, 1.0 / 0.0);
    Solver solver;
    const OperatingPoint refused = solver.solve(circuit);
    CHECK(refused.status == Status::bad_input);
    CHECK(refused.worst_branch == 1);
    circuit.a[1] = 1e9; // a source shorted: its own resistance holds the current
    const OperatingPoint point = solved(circuit);
    CHECK(point.source_current_a == doctest::Approx(12.0 / (1.0 / 200.0 + 1e-9)).epsilon(1e-12));
}
