// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Linear circuits whose answer is a formula of any textbook of circuit theory (voltage divider,
// Wheatstone bridge, Millman's theorem, ladder, cube): derived by hand, the derivation beside each.

#include "support.hpp"

#include <array>
#include <numbers>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

TEST_CASE("a divider divides") {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, stiff);
    circuit.add(Law::conductance, 1, 2, 1.0 / 2.0);
    circuit.add(Law::conductance, 2, 0, 1.0 / 4.0);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) == doctest::Approx(12.0 * 4.0 / 6.0).epsilon(1e-11));
    CHECK(amps_of(point, 1) == doctest::Approx(2.0).epsilon(1e-11));
    CHECK(amps_of(point, 0) == doctest::Approx(-2.0).epsilon(1e-11));
    CHECK(point.source_current_a == doctest::Approx(2.0).epsilon(1e-11));
    CHECK(volts_at(point, 0) == 0.0);
}

TEST_CASE("a source's own resistance drops its share") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.006); // 6 mohm
    circuit.add(Law::conductance, 1, 0, 1.0 / 0.054);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 1) == doctest::Approx(12.6 * 0.9).epsilon(1e-14));
    CHECK(point.source_current_a == doctest::Approx(210.0).epsilon(1e-14));
}

TEST_CASE("Wheatstone bridge, balanced and not") {
    struct Bridge {
        double r1, r2, r3, r4, galvanometer;
    };
    for (const Bridge& bridge : {Bridge{100, 200, 50, 100, 30}, Bridge{100, 200, 60, 90, 30},
                                 Bridge{1, 1000, 5, 4, 0.01}}) {
        Circuit circuit;
        circuit.node_count = 4;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 10.0, stiff);
        circuit.add(Law::conductance, 1, 2, 1.0 / bridge.r1);
        circuit.add(Law::conductance, 2, 0, 1.0 / bridge.r2);
        circuit.add(Law::conductance, 1, 3, 1.0 / bridge.r3);
        circuit.add(Law::conductance, 3, 0, 1.0 / bridge.r4);
        circuit.add(Law::conductance, 2, 3, 1.0 / bridge.galvanometer);
        const OperatingPoint point = solved(circuit);
        // Thevenin at the galvanometer: two dividers, their parallel resistances in series.
        const double emf =
            10.0 * (bridge.r2 / (bridge.r1 + bridge.r2) - bridge.r4 / (bridge.r3 + bridge.r4));
        const double inner = bridge.r1 * bridge.r2 / (bridge.r1 + bridge.r2) +
                             bridge.r3 * bridge.r4 / (bridge.r3 + bridge.r4);
        CHECK(amps_of(point, 5) ==
              doctest::Approx(emf / (inner + bridge.galvanometer)).epsilon(1e-9).scale(0.01));
    }
}

TEST_CASE("a long ladder of equal resistors takes on the golden ratio") {
    // One resistor in series, one across, endlessly: R_in = 1 + R_in / (1 + R_in).
    constexpr Index rungs = 60;
    Circuit circuit;
    circuit.node_count = rungs + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 1.0, stiff);
    for (Index k = 1; k <= rungs; ++k) {
        circuit.add(Law::conductance, k, k + 1, 1.0);
        circuit.add(Law::conductance, k + 1, 0, 1.0);
    }
    const OperatingPoint point = solved(circuit);
    CHECK(1.0 / point.source_current_a == doctest::Approx(std::numbers::phi).epsilon(1e-11));
}

TEST_CASE("a cube of resistors measures 5/6 across its diagonal, 3/4 across a face, 7/12 an edge") {
    constexpr std::array<double, 8> expected = {0,        7.0 / 12, 7.0 / 12, 3.0 / 4,
                                                7.0 / 12, 3.0 / 4,  3.0 / 4,  5.0 / 6};
    for (Index corner = 1; corner < 8; ++corner) {
        Circuit circuit;
        circuit.node_count = 8;
        circuit.reference = 0;
        circuit.add(Law::source, corner, 0, 1.0, stiff);
        for (Index a = 0; a < 8; ++a) {
            for (Index axis = 1; axis < 8; axis *= 2) {
                if ((a & axis) == 0) {
                    circuit.add(Law::conductance, a, a | axis, 1.0);
                }
            }
        }
        const OperatingPoint point = solved(circuit);
        CHECK(1.0 / point.source_current_a ==
              doctest::Approx(expected[static_cast<std::size_t>(corner)]).epsilon(1e-11));
    }
}

TEST_CASE("two batteries and a load: Millman's theorem") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.006);
    circuit.add(Law::source, 1, 0, 12.2, 1.0 / 0.010);
    circuit.add(Law::conductance, 1, 0, 1.0 / 1.5);
    const OperatingPoint point = solved(circuit);
    const double volts = (12.6 / 0.006 + 12.2 / 0.010) / (1.0 / 0.006 + 1.0 / 0.010 + 1.0 / 1.5);
    CHECK(volts_at(point, 1) == doctest::Approx(volts).epsilon(1e-14));
    CHECK(amps_of(point, 0) == doctest::Approx((volts - 12.6) / 0.006).epsilon(1e-11));
    CHECK(amps_of(point, 1) == doctest::Approx((volts - 12.2) / 0.010).epsilon(1e-11));
    // The stronger one charges the weaker: only the first delivers.
    CHECK(amps_of(point, 1) > 0.0);
    CHECK(point.source_current_a == doctest::Approx(-amps_of(point, 0)));
}

TEST_CASE("10 mA through 0.1 mohm under 12 V keeps its digits") {
    constexpr Index cables = 50;
    Circuit circuit;
    circuit.node_count = cables + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e4);
    for (Index k = 1; k <= cables; ++k) {
        circuit.add(Law::conductance, k, k + 1, 1e4);
    }
    circuit.add(Law::constant_current, cables + 1, 0, 0.010, 6.0);
    const OperatingPoint point = solved(circuit);
    CHECK(point.imbalance_a <= 1e-12 * 0.010);
    for (Index k = 1; k <= cables; ++k) {
        CHECK(between(point, k, k + 1) == doctest::Approx(1e-6).epsilon(1e-12).scale(0.0));
        CHECK(amps_of(point, static_cast<std::size_t>(k)) ==
              doctest::Approx(0.010).epsilon(1e-12).scale(0.0));
    }
}

TEST_CASE("1 uohm and 10 Mohm in one circuit") {
    // A chain of bars, and only a voltmeter's input at its end: 1.26 uA in all.
    constexpr Index bars = 100;
    Circuit circuit;
    circuit.node_count = bars + 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.006);
    for (Index k = 1; k <= bars; ++k) {
        circuit.add(Law::conductance, k, k + 1, 1e6);
    }
    const Index end = bars + 1;
    circuit.add(Law::conductance, end, bars + 2, 1e-7);
    circuit.add(Law::conductance, bars + 2, 0, 1e6);
    const OperatingPoint point = solved(circuit);
    const double amps = 12.6 / (10e6 + 0.006 + bars * 1e-6 + 1e-6);
    CHECK(point.source_current_a == doctest::Approx(amps).epsilon(1e-12));
    CHECK(between(point, bars + 2, 0) == doctest::Approx(amps * 1e-6).epsilon(1e-12).scale(0.0));
    CHECK(between(point, 1, end) == doctest::Approx(amps * bars * 1e-6).epsilon(1e-9));
}

TEST_CASE("an open circuit: full voltage everywhere, no current") {
    Circuit circuit;
    circuit.node_count = 4;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    circuit.add(Law::conductance, 1, 2, 1e4);
    circuit.add(Law::conductance, 2, 3, 1e3);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 3) == 12.6);
    CHECK(std::abs(amps_of(point, 2)) < 1e-15);
    CHECK(point.power_error == 0.0);
}
