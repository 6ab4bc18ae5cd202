// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Islands, references, loops, empty things, impossible numbers: what a circuit may look like.

#include "support.hpp"

#include <limits>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

Circuit lamp_circuit() {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    circuit.add(Law::conductance, 1, 2, 50.0);
    circuit.add(Law::lamp, 2, 0, 4.6, 13.5, 12.0);
    return circuit;
}

} // namespace

TEST_CASE("islands stand apart, each on its own reference") {
    Circuit circuit = lamp_circuit();
    const OperatingPoint alone = solved(circuit);
    circuit.node_count = 8;
    circuit.add(Law::source, 3, 4, 6.3, 100.0); // its minus, node 4, is the reference there
    circuit.add(Law::conductance, 3, 5, 10.0);
    circuit.add(Law::constant_current, 5, 4, 1.0, 2.0);
    circuit.add(Law::conductance, 6, 7, 1.0); // nothing feeds these
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) == volts_at(alone, 2));
    CHECK(volts_at(point, 4) == 0.0);
    CHECK(volts_at(point, 3) == doctest::Approx(6.29).epsilon(1e-13));
    CHECK(volts_at(point, 5) == doctest::Approx(6.19).epsilon(1e-13));
    CHECK(point.floating == std::vector<std::uint8_t>{0, 0, 0, 0, 0, 0, 1, 1});
    CHECK(volts_at(point, 6) == 0.0);
    CHECK(amps_of(point, 6) == 0.0);
}

TEST_CASE("the reference only shifts voltages") {
    Circuit circuit = lamp_circuit();
    const OperatingPoint chassis = solved(circuit);
    for (const Index reference : {-1, 1, 2}) {
        circuit.reference = reference;
        const OperatingPoint shifted = solved(circuit);
        CHECK(volts_at(shifted, std::max<Index>(reference, 0)) == 0.0);
        CHECK(between(shifted, 2, 0) == doctest::Approx(between(chassis, 2, 0)).epsilon(1e-13));
        CHECK(amps_of(shifted, 2) == doctest::Approx(amps_of(chassis, 2)).epsilon(1e-13));
    }
}

TEST_CASE("a switched-off load joins nothing") {
    Circuit circuit = lamp_circuit();
    circuit.node_count = 4;
    circuit.add(Law::constant_current, 2, 3, 0.0, 2.0); // at 0 %: node 3 hangs in the air
    const OperatingPoint point = solved(circuit);
    CHECK(point.floating[3] == 1);
    CHECK(amps_of(point, 3) == 0.0);
}

TEST_CASE("a branch from a node to itself does no harm") {
    Circuit circuit = lamp_circuit();
    const OperatingPoint before = solved(circuit);
    circuit.add(Law::conductance, 2, 2, 5.0);
    circuit.add(Law::lamp, 0, 0, 4.6, 13.5, 12.0);
    circuit.add(Law::source, 1, 1, 2.0, 10.0); // a cell shorted by itself
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) == doctest::Approx(volts_at(before, 2)).epsilon(1e-14));
    CHECK(amps_of(point, 3) == 0.0);
    CHECK(amps_of(point, 5) == doctest::Approx(-20.0));
}

TEST_CASE("nothing, no source, no branch") {
    Solver solver;
    Circuit circuit;
    CHECK(solver.solve(circuit).status == Status::solved);
    circuit.node_count = 3;
    const OperatingPoint bare = solver.solve(circuit);
    CHECK(bare.status == Status::solved);
    CHECK(bare.floating == std::vector<std::uint8_t>{1, 1, 1});
    circuit.reference = 0;
    circuit.add(Law::conductance, 0, 1, 1.0);
    circuit.add(Law::lamp, 1, 2, 4.6, 13.5, 12.0);
    const OperatingPoint dead = solver.solve(circuit);
    CHECK(dead.status == Status::solved);
    CHECK(dead.amps == std::vector<double>{0.0, 0.0});
    CHECK(dead.source_current_a == 0.0);
    CHECK(dead.power_error == 0.0);
}

TEST_CASE("sources of no voltage deliver nothing") {
    Circuit circuit = lamp_circuit();
    circuit.a[0] = 0.0;
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) == 0.0);
    CHECK(amps_of(point, 2) == 0.0);
}

TEST_CASE("impossible parameters are named by their branch") {
    const double not_a_number = std::numeric_limits<double>::quiet_NaN();
    const double infinite = std::numeric_limits<double>::infinity();
    struct Bad {
        Law law;
        double a, b, c;
    };
    for (const Bad& bad : {
             Bad{Law::conductance, 0.0, 0, 0},
             Bad{Law::conductance, -1.0, 0, 0},
             Bad{Law::conductance, not_a_number, 0, 0},
             Bad{Law::conductance, infinite, 0, 0},
             Bad{Law::source, not_a_number, 1, 0},
             Bad{Law::source, 12, 0, 0},
             Bad{Law::source, infinite, 1, 0},
             Bad{Law::source, 12, not_a_number, 0},
             Bad{Law::limited_source, 14, 1, -1},
             Bad{Law::limited_source, 14, -1, 1},
             Bad{Law::limited_source, 14, 1, not_a_number},
             Bad{Law::constant_current, -1, 6, 0},
             Bad{Law::constant_current, 1, 0, 0},
             Bad{Law::constant_power, -1, 6, 0},
             Bad{Law::constant_power, 1, 0, 0},
             Bad{Law::constant_power, infinite, 6, 0},
             Bad{Law::lamp, -1, 12, 10},
             Bad{Law::lamp, 1, 0, 10},
             Bad{Law::lamp, 1, 12, 1.0},
             Bad{Law::lamp, 1, 12, not_a_number},
             Bad{Law::diode, 0, 0.026, 0},
             Bad{Law::diode, 1e-12, 0, 0},
             Bad{static_cast<Law>(99), 1, 1, 2},
         }) {
        Circuit circuit = lamp_circuit();
        circuit.add(bad.law, 2, 0, bad.a, bad.b, bad.c);
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.status == Status::bad_input);
        CHECK(point.worst_branch == 3);
        CHECK(point.volts == std::vector<double>{0.0, 0.0, 0.0});
    }
}

TEST_CASE("nodes that are not there and arrays that do not match are refused") {
    Solver solver;
    for (const Index node : {-1, 3, 1000000}) {
        Circuit circuit = lamp_circuit();
        circuit.from[1] = node;
        CHECK(solver.solve(circuit).status == Status::bad_input);
        circuit = lamp_circuit();
        circuit.to[2] = node;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.status == Status::bad_input);
        CHECK(point.worst_branch == 2);
    }
    Circuit circuit = lamp_circuit();
    circuit.reference = 3;
    CHECK(solver.solve(circuit).status == Status::bad_input);
    circuit = lamp_circuit();
    circuit.a.pop_back();
    CHECK(solver.solve(circuit).status == Status::bad_input);
    circuit = lamp_circuit();
    circuit.from.push_back(0);
    CHECK(solver.solve(circuit).status == Status::bad_input);
    circuit = lamp_circuit();
    circuit.node_count = -5;
    CHECK(solver.solve(circuit).status == Status::bad_input);
    CHECK(solver.solve(lamp_circuit()).status == Status::solved); // and it goes on working
}

TEST_CASE("numbers at the ends of their range give an answer or say that there is none") {
    for (const double siemens : {1e-29, 1e-15, 1e15, 1e29}) {
        for (const double emf : {1e-29, 1e-6, 1e6, 1e29}) {
            Circuit circuit;
            circuit.node_count = 3;
            circuit.reference = 0;
            circuit.add(Law::source, 1, 0, emf, siemens);
            circuit.add(Law::conductance, 1, 2, 1.0 / siemens);
            circuit.add(Law::diode, 2, 0, 1e-12, 0.026);
            circuit.add(Law::constant_power, 2, 0, 1e10, 1e-3);
            circuit.add(Law::lamp, 2, 0, 1e-10, 1e10, 1e6);
            Solver solver;
            const OperatingPoint point = solver.solve(circuit);
            for (std::size_t k = 0; k < 3; ++k) {
                CHECK(std::isfinite(point.volts[k]));
            }
            for (const double amps : point.amps) {
                CHECK(std::isfinite(amps));
            }
            CHECK(point.status != Status::bad_input);
            if (point.status == Status::solved) {
                CHECK(point.imbalance_a <= 1e-9 * point.source_current_a + 1e-12);
            }
        }
    }
}

TEST_CASE("a place that nothing holds to speak of is given its volts, or none to the last digit") {
    // Between two loads of 1e-310 A, of which no number can be the inverse.
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 10.0);
    circuit.add(Law::constant_current, 1, 2, 1e-310, 1.0);
    circuit.add(Law::constant_current, 2, 0, 1e-310, 1.0);
    Solver solver;
    const OperatingPoint point = solver.solve(circuit);
    const double post_v = point.status == Status::solved ? 12.0 : 0.0;
    CHECK(point.volts[1] + point.volts_low[1] == doctest::Approx(post_v).epsilon(1e-12));
    CHECK(point.volts[0] + point.volts_low[0] == 0.0);
    CHECK((point.status == Status::solved || point.volts[2] + point.volts_low[2] == 0.0));
}

TEST_CASE("a start of nonsense is set aside") {
    const Circuit circuit = lamp_circuit();
    const OperatingPoint cold = solved(circuit);
    Solver solver;
    const double not_a_number = std::numeric_limits<double>::quiet_NaN();
    for (const std::vector<double>& start :
         {std::vector<double>{1.0}, std::vector<double>{0.0, not_a_number, 0.0},
          std::vector<double>{0.0, -1e9, 1e9}, std::vector<double>{0.0, 5.0, 20.0}}) {
        const OperatingPoint point = solver.solve(circuit, start);
        CHECK(point.status == Status::solved);
        check_balance(circuit, point);
        CHECK(volts_at(point, 2) == doctest::Approx(volts_at(cold, 2)).epsilon(1e-13));
    }
}
