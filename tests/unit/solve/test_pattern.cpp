// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The order of elimination hangs on who is joined to whom alone, and is found once.

#include "random_network.hpp"
#include "solve/pattern_shelf.hpp"
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

TEST_CASE("patterns from a shelf are one for circuits alike, and give the answers of their own") {
    PatternShelf shelf;
    for (int seed = 1; seed <= 30; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = random_network(static_cast<unsigned>(seed % 3), 40 + seed % 2);
        Circuit thicker = circuit;
        for (std::size_t k = 0; k < thicker.branch_count(); ++k) {
            thicker.a[k] *= thicker.law[k] == Law::conductance ? 1.5 : 1.0;
        }
        Solver sharing(&shelf);
        Solver alone;
        for (const Circuit& one : {circuit, thicker}) {
            const OperatingPoint shared = sharing.solve(one);
            const OperatingPoint own = alone.solve(one);
            CHECK(shared.status == own.status);
            CHECK(shared.volts == own.volts); // to the last bit
            CHECK(shared.amps == own.amps);
        }
    }
}

TEST_CASE("a shelf tells patterns apart by ends, roles, reference and which unknowns are wanted") {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    circuit.add(Law::conductance, 1, 2, 10.0);
    circuit.add(Law::conductance, 2, 0, 1.0);
    const std::vector<Role> roles{Role::source, Role::conducts, Role::conducts};
    PatternShelf shelf;
    const auto first = shelf.of(circuit, roles, Unknowns::needed);
    CHECK(shelf.of(circuit, roles, Unknowns::needed) == first);
    CHECK(shelf.of(circuit, roles, Unknowns::all) != first);
    CHECK(shelf.of(circuit, {Role::source, Role::conducts, Role::absent}, Unknowns::needed) !=
          first);
    Circuit other = circuit;
    other.a[1] = 20.0; // its value says nothing
    CHECK(shelf.of(other, roles, Unknowns::needed) == first);
    other.to[2] = 1;
    CHECK(shelf.of(other, roles, Unknowns::needed) != first);
    other = circuit;
    other.reference = 2;
    CHECK(shelf.of(other, roles, Unknowns::needed) != first);
}
