// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Loops of ideal things and slopes that all but cancel: an answer that is right, or a refusal that
// names the branch. Closed forms; the numbers of a loop of two sources are Ohm's law.

#include "support.hpp"

#include <limits>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

Circuit two_sources(double first_v, double second_v, double siemens) {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, first_v, siemens);
    circuit.add(Law::source, 1, 0, second_v, siemens);
    circuit.add(Law::conductance, 1, 0, 0.5);
    return circuit;
}

} // namespace

TEST_CASE(
    "extreme: two sources of one voltage on one post share the load, however stiff they are") {
    for (const double siemens : {1.0, 1e3, 1e6, 1e9, 1e12}) {
        CAPTURE(siemens);
        const OperatingPoint point = solved(two_sources(12.0, 12.0, siemens));
        // V = 12 x 2 S / (2 S + g); the currents are half each, by symmetry.
        const double volts = 12.0 / (1.0 + 0.5 / (2.0 * siemens));
        CHECK(volts_at(point, 1) == doctest::Approx(volts).epsilon(1e-14));
        CHECK(amps_of(point, 0) == doctest::Approx(-0.25 * volts).epsilon(1e-9));
        CHECK(amps_of(point, 1) == doctest::Approx(-0.25 * volts).epsilon(1e-9));
    }
}

TEST_CASE("extreme: two stiff sources that disagree drive what their resistances let through") {
    for (const double siemens : {1e3, 1e6, 1e9}) {
        CAPTURE(siemens);
        const OperatingPoint point = solved(two_sources(12.0, 12.001, siemens));
        const double across = 0.5 * (12.0 + 12.001) / (1.0 + 0.5 / (2.0 * siemens));
        CHECK(volts_at(point, 1) == doctest::Approx(across).epsilon(1e-14));
        // 1 mV over two of their resistances, and half of the load's current.
        CHECK(amps_of(point, 0) ==
              doctest::Approx(0.0005 * siemens - 0.25 * across).epsilon(1e-9).scale(0.0));
    }
}

TEST_CASE("extreme: a ring of conductors without resistance worth the name carries no current") {
    // Rings of 1 uohm down to 1e-15 ohm hang on a lamp's feed; all places of a ring stand at one
    // voltage, and what enters a ring at one place and leaves it at the opposite one divides
    // evenly.
    for (const double siemens : {1e6, 1e9, 1e12, 1e15}) {
        CAPTURE(siemens);
        Circuit circuit;
        circuit.node_count = 6;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 100.0);
        circuit.add(Law::conductance, 1, 2, 10.0);
        circuit.add(Law::conductance, 2, 3, siemens);
        circuit.add(Law::conductance, 3, 4, siemens);
        circuit.add(Law::conductance, 4, 5, siemens);
        circuit.add(Law::conductance, 5, 2, siemens);
        circuit.add(Law::conductance, 4, 0, 1.0);
        const OperatingPoint point = solved(circuit);
        const double amps = 12.0 / (0.01 + 0.1 + 1.0 / siemens + 1.0);
        CHECK(amps_of(point, 6) == doctest::Approx(amps).epsilon(1e-12));
        CHECK(amps_of(point, 2) == doctest::Approx(0.5 * amps).epsilon(1e-9));
        CHECK(amps_of(point, 4) == doctest::Approx(-0.5 * amps).epsilon(1e-9));
    }
}

TEST_CASE("extreme: what has no resistance at all is refused, in a loop or out of one, and named") {
    constexpr double infinite = std::numeric_limits<double>::infinity();
    for (const std::size_t branch : {0U, 1U, 2U}) {
        Circuit circuit = two_sources(12.0, 12.0, 100.0);
        (circuit.law[branch] == Law::source ? circuit.b : circuit.a)[branch] = infinite;
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.status == Status::bad_input);
        CHECK(point.worst_branch == static_cast<Index>(branch));
    }
}

TEST_CASE("extreme: a load of constant power at the edge of what its feed can give") {
    // E = 12 V behind R = 0.1 ohm gives E^2 / 4R = 360 W at most, at half its voltage: there the
    // slope of the feed and that of the load cancel. V = E/2 (1 + sqrt(1 - 4 P R / E^2)).
    constexpr double most_w = 360.0;
    for (const double short_of : {1e-2, 1e-4, 1e-6, 1e-8, 1e-10}) {
        CAPTURE(short_of);
        Circuit circuit;
        circuit.node_count = 2;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 10.0);
        circuit.add(Law::constant_power, 1, 0, most_w * (1.0 - short_of), 3.0);
        const OperatingPoint point = solved(circuit);
        // The root makes an error of 1e-16 in the power one of 1e-16 / sqrt(short_of) in the
        // voltage; the balance that is promised, 1e-9 of 60 A, one of 6e-9 V / sqrt(short_of).
        const double volts = 6.0 * (1.0 + std::sqrt(short_of));
        CHECK(std::abs(volts_at(point, 1) - volts) <= 6e-9 / std::sqrt(short_of));
    }
    for (const double over : {1e-10, 1e-8, 1e-6, 1e-4, 1e-2}) {
        CAPTURE(over);
        Circuit circuit;
        circuit.node_count = 2;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 10.0);
        circuit.add(Law::constant_power, 1, 0, most_w * (1.0 + over), 3.0);
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.status == Status::no_solution);
        CHECK(point.worst_branch == 1);
        CHECK(point.worst_node == 1);
    }
}
