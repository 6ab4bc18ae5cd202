// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Against closed forms: resistances of ladders by series and parallel, the slope of a lamp's law.
#include "solve/tangent.hpp"

#include <doctest/doctest.h>

#include <cmath>

namespace loomwright::solve {
namespace {

/// 12 V behind 0.1 ohm at node 1, 0.4 ohm to node 2, 5.5 ohm to node 0.
Circuit divider() {
    Circuit out;
    out.node_count = 4;
    out.reference = 0;
    out.add(Law::source, 1, 0, 12.0, 10.0);
    out.add(Law::conductance, 1, 2, 2.5);
    out.add(Law::conductance, 2, 0, 1.0 / 5.5);
    return out;
}

TEST_CASE("one ampere into a divider") {
    const Circuit circuit = divider();
    const Tangent tangent(circuit, Solver().solve(circuit).volts);
    REQUIRE(tangent.is_solved());
    const std::vector<double> volts = tangent.respond(2, 0);
    CHECK(volts[2] == doctest::Approx(0.5 * 5.5 / 6.0)); // 0.5 ohm beside 5.5 ohm
    CHECK(volts[1] == doctest::Approx(0.5 * 5.5 / 6.0 * 0.1 / 0.5));
    CHECK(volts[0] == 0.0);
    CHECK(volts[3] == 0.0); // floats
    const std::vector<double> other = tangent.respond(1, 0);
    CHECK(other[2] == doctest::Approx(volts[1])); // reciprocity
}

TEST_CASE("a lamp by its slope, and a motor that takes the same at any voltage") {
    Circuit circuit = divider();
    circuit.law[2] = Law::lamp; // i = 4 (v / 13.5)^0.55
    circuit.a[2] = 4.0;
    circuit.b[2] = 13.5;
    circuit.c[2] = 10.0;
    const OperatingPoint point = Solver().solve(circuit);
    const double slope = 0.55 * 4.0 / 13.5 * std::pow(point.volts[2] / 13.5, -0.45);
    const Tangent lamp(circuit, point.volts);
    CHECK(lamp.siemens(2) == doctest::Approx(slope));
    CHECK(lamp.respond(2, 0)[2] == doctest::Approx(1.0 / (2.0 + slope)));

    circuit.law[2] = Law::constant_current;
    circuit.b[2] = 4.0;
    const Tangent motor(circuit, Solver().solve(circuit).volts);
    CHECK(motor.respond(2, 0)[2] == doctest::Approx(0.5)); // nothing but the source answers
}

} // namespace
} // namespace loomwright::solve
