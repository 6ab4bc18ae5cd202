// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Voltage collapse: a load of P watts behind E volts and R ohms has an operating point only for
// P <= E^2 / (4 R) (maximum power transfer, any textbook of circuit theory).

#include "support.hpp"

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

Circuit power_load(double emf, double ohm, double watts, double least) {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, emf, stiff);
    circuit.add(Law::conductance, 1, 2, 1.0 / ohm);
    circuit.add(Law::constant_power, 2, 0, watts, least);
    return circuit;
}

} // namespace

TEST_CASE("a load beyond what its feed can give has no operating point, just below it has") {
    for (const double emf : {6.0, 12.0, 48.0}) {
        for (const double ohm : {0.01, 0.1, 3.0}) {
            const double most = emf * emf / (4.0 * ohm);
            for (const double least : {0.1 * emf, 0.3 * emf, 0.49 * emf}) {
                CAPTURE(emf);
                CAPTURE(ohm);
                CAPTURE(least);
                for (const double share : {0.5, 0.99, 0.9999, 0.999999}) {
                    const OperatingPoint point = solved(power_load(emf, ohm, share * most, least));
                    CHECK(
                        volts_at(point, 2) ==
                        doctest::Approx(0.5 * emf * (1.0 + std::sqrt(1.0 - share))).epsilon(1e-7));
                }
                for (const double share : {1.000001, 1.0001, 1.01, 2.0, 50.0}) {
                    Solver solver;
                    const OperatingPoint point =
                        solver.solve(power_load(emf, ohm, share * most, least));
                    CHECK(point.status == Status::no_solution);
                    CHECK(point.worst_node == 2);
                    CHECK(point.worst_branch == 2);
                    CHECK(point.iterations < 60);
                    CHECK(std::isfinite(volts_at(point, 2)));
                }
            }
        }
    }
}

TEST_CASE("a supply below the load's least voltage drops it out: that is an answer") {
    // Cranking: 200 A pull the battery to 8.4 V, the controller wants 9 V.
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.4, 1.0 / 0.020);
    circuit.add(Law::constant_current, 1, 0, 200.0, 3.0);
    circuit.add(Law::conductance, 1, 2, 20.0);
    circuit.add(Law::constant_power, 2, 0, 30.0, 9.0);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) < 9.0);
    CHECK(volts_at(point, 2) > 8.0);
    // Dropped out it is a resistor of b^2 / P.
    CHECK(amps_of(point, 3) == doctest::Approx(volts_at(point, 2) * 30.0 / 81.0).epsilon(1e-12));
}

TEST_CASE(
    "a little below the least voltage by its own current, but with power to be had: no collapse") {
    // 12 V behind 1 ohm, 30 W: the upper root is 8.45 V, the load gives up below 9 V.
    const OperatingPoint point = solved(power_load(12.0, 1.0, 30.0, 9.0));
    CHECK(volts_at(point, 2) == doctest::Approx(12.0 / (1.0 + 30.0 / 81.0)).epsilon(1e-10));
}

TEST_CASE("two loads that each could live alone drag each other down") {
    // 12 V behind 0.1 ohm gives 360 W at most.
    Circuit circuit = power_load(12.0, 0.1, 200.0, 3.0);
    CHECK(volts_at(solved(circuit), 2) > 6.0);
    circuit.add(Law::constant_power, 2, 0, 150.0, 3.0);
    CHECK(volts_at(solved(circuit), 2) > 6.0);
    circuit.a[3] = 170.0;
    Solver solver;
    CHECK(solver.solve(circuit).status == Status::no_solution);
}

TEST_CASE("a start on the lower branch does not keep an answer from being found") {
    const Circuit circuit = power_load(12.0, 0.1, 300.0, 2.0);
    Solver solver;
    const std::vector<double> low = {0.0, 12.0, 1.0};
    const OperatingPoint point = solver.solve(circuit, low);
    REQUIRE(point.status == Status::solved);
    check_balance(circuit, point);
    CHECK(volts_at(point, 2) == doctest::Approx(6.0 + std::sqrt(6.0)).epsilon(1e-9));
}

TEST_CASE("an alternator without a battery cannot hold up constant power beyond its limit") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::limited_source, 1, 0, 14.0, 50.0, 40.0);
    circuit.add(Law::constant_power, 1, 0, 500.0, 6.0); // 40 A at 13.2 V give 528 W
    CHECK(volts_at(solved(circuit), 1) > 12.5);
    circuit.a[1] = 700.0;
    Solver solver;
    CHECK(solver.solve(circuit).status == Status::no_solution);
}
