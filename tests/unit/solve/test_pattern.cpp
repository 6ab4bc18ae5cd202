// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The order of elimination hangs on who is joined to whom alone, and is found once.

#include "random_network.hpp"
#include "support.hpp"

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

TEST_CASE("other values, other laws: the pattern is not analysed again") {
    Circuit circuit = random_network(77, 200);
    Solver solver;
    CHECK(solver.analyses() == 0);
    const OperatingPoint first = solver.solve(circuit);
    CHECK(solver.analyses() == 1);
    for (int round = 1; round <= 20; ++round) {
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            if (circuit.law[k] == Law::conductance) {
                circuit.a[k] *= 1.01;
            }
        }
        static_cast<void>(solver.solve(circuit, first.volts));
        static_cast<void>(solver.solve(circuit));
    }
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (circuit.law[k] == Law::lamp && circuit.a[k] > 0.0) {
            circuit.law[k] = Law::constant_current;
        }
    }
    static_cast<void>(solver.solve(circuit));
    CHECK(solver.analyses() == 1);
}

TEST_CASE("what joins or feeds otherwise is analysed anew") {
    Circuit circuit;
    circuit.node_count = 4;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    circuit.add(Law::conductance, 1, 2, 10.0);
    circuit.add(Law::constant_current, 2, 0, 2.0, 3.0);
    circuit.add(Law::limited_source, 3, 0, 14.0, 50.0, 40.0);
    circuit.add(Law::conductance, 3, 1, 100.0);
    Solver solver;
    const auto analyses_after = [&solver](const Circuit& changed) {
        CHECK(solver.solve(changed).status == Status::solved);
        return solver.analyses();
    };
    CHECK(analyses_after(circuit) == 1);
    Circuit other = circuit;
    other.to[2] = 3; // lands elsewhere
    CHECK(analyses_after(other) == 2);
    CHECK(analyses_after(circuit) == 3);
    other = circuit;
    other.a[2] = 0.0; // a load at nothing joins nothing
    CHECK(analyses_after(other) == 4);
    other.a[2] = 1.0;
    CHECK(analyses_after(other) == 5);
    other.reference = 1;
    CHECK(analyses_after(other) == 6);
    other.c[3] = 0.0; // an alternator that can give nothing is no source
    CHECK(analyses_after(other) == 7);
    other.a[1] = 20.0;
    CHECK(analyses_after(other) == 7);
    Circuit bad = circuit;
    bad.a[1] = -1.0; // refused before it comes to that
    CHECK(solver.solve(bad).status == Status::bad_input);
    CHECK(solver.analyses() == 7);
}
