// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Voltage collapse: a load of P watts behind E volts and R ohms has an operating point only for
// P <= E^2 / (4 R) (maximum power transfer, any textbook of circuit theory).

#include "support.hpp"

#include <algorithm>

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

namespace {

/// A long thin wire from a battery in `cells` pieces, with a load of constant power after each.
Circuit long_feed(Index cells, double watts_each, double ohm_each, double least) {
    Circuit circuit;
    circuit.node_count = cells + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    for (Index k = 1; k <= cells; ++k) {
        circuit.add(Law::conductance, k, k + 1, 1.0 / ohm_each);
        circuit.add(Law::constant_power, k + 1, 0, watts_each, least);
    }
    return circuit;
}

/// The load at a place of the long feed.
std::size_t at_load(Index node) {
    return 2 * static_cast<std::size_t>(node - 1);
}

/// The greatest power for each of the loads at which all have theirs, by going back from the end:
/// with v at the last, each place before it follows; the emf that this takes is least somewhere.
double most_watts_each(Index cells, double ohm_each) {
    const auto emf_needed = [&](double last_v, double watts) {
        double volts = last_v;
        double amps = 0.0;
        for (Index k = 0; k < cells; ++k) {
            amps += watts / volts;
            volts += amps * ohm_each;
        }
        return volts + amps / 200.0;
    };
    double low = 0.0;
    double high = 1e3;
    for (int halving = 0; halving < 60; ++halving) {
        const double watts = 0.5 * (low + high);
        double least = 1e9;
        for (double last_v = 0.05; last_v < 12.6; last_v += 1e-3) {
            least = std::min(least, emf_needed(last_v, watts));
        }
        (least <= 12.6 ? low : high) = watts;
    }
    return low;
}

} // namespace

TEST_CASE("many loads of constant power along a long thin wire: the one at the end is named") {
    for (const Index cells : {2, 5, 20, 60}) {
        CAPTURE(cells);
        const double ohm = 0.6 / cells;
        const double most = most_watts_each(cells, ohm);
        const OperatingPoint point = solved(long_feed(cells, 0.999 * most, ohm, 2.0));
        for (Index k = 2; k < cells + 2; ++k) {
            CHECK(volts_at(point, k) * amps_of(point, at_load(k)) ==
                  doctest::Approx(0.999 * most).epsilon(1e-9)); // each has its power
        }
        Solver solver;
        const OperatingPoint none = solver.solve(long_feed(cells, 1.001 * most, ohm, 2.0));
        CHECK(none.status == Status::no_solution);
        CHECK(none.worst_node == cells + 1);
        CHECK(none.worst_branch == static_cast<Index>(at_load(cells + 1)));
    }
}

TEST_CASE("two loads that collapse, each on a wire of its own: the worse is named") {
    Circuit circuit;
    circuit.node_count = 4;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 500.0);
    circuit.add(Law::conductance, 1, 2, 1.0); // 36 W to be had
    circuit.add(Law::constant_power, 2, 0, 50.0, 3.0);
    circuit.add(Law::conductance, 1, 3, 2.0); // 72 W
    circuit.add(Law::constant_power, 3, 0, 200.0, 3.0);
    Solver solver;
    const OperatingPoint both = solver.solve(circuit);
    CHECK(both.status == Status::no_solution);
    CHECK(both.worst_branch == 4);
    circuit.a[4] = 20.0; // mended: the other remains
    const OperatingPoint one = solver.solve(circuit);
    CHECK(one.status == Status::no_solution);
    CHECK(one.worst_branch == 2);
    circuit.a[2] = 20.0;
    CHECK(solver.solve(circuit).status == Status::solved);
}

TEST_CASE("a load behind a diode that blocks gets only its leakage: dropped out, no collapse") {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    circuit.add(Law::diode, 2, 1, 1e-8, 0.05);
    circuit.add(Law::constant_power, 2, 0, 20.0, 8.0);
    const OperatingPoint point = solved(circuit);
    CHECK(std::abs(amps_of(point, 2)) == doctest::Approx(1e-8).epsilon(1e-6).scale(0.0));
}

TEST_CASE("a load that could have run alone lacks its voltage once another is on: no collapse") {
    // 12 V behind 0.1 ohm. The first wants 9 V for its 20 W, the second is content with 3 V for 300
    // W: with the second on there are 8.45 V for the first, so that it stays off.
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, stiff);
    circuit.add(Law::conductance, 1, 2, 10.0);
    circuit.add(Law::constant_power, 2, 0, 20.0, 9.0);
    circuit.add(Law::constant_power, 2, 0, 300.0, 3.0);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) < 9.0);
    CHECK(volts_at(point, 2) * amps_of(point, 3) == doctest::Approx(300.0));
}

TEST_CASE("named is the load that collapses, not one that its current leaves without a supply") {
    // 12 V behind 0.1 ohm gives 360 W at most. D wants 300 W and has them alone, at 6 + sqrt(36 -
    // 30) = 8.45 V; A wants 250 W at 9 V or more, and alone has them at 6 + sqrt(36 - 25) = 9.32 V.
    // Together they want too much, and once A has let go, a resistor of 81 / 250 ohm, 360 x 0.324 /
    // 0.424 = 275 W are left for D. D would be fed well without itself (9.32 V) and has its power
    // nowhere; A would not (8.45 V).
    for (const bool is_first : {false, true}) {
        Circuit circuit;
        circuit.node_count = 3;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, stiff);
        circuit.add(Law::conductance, 1, 2, 10.0);
        circuit.add(Law::constant_power, 2, 0, is_first ? 300.0 : 250.0, is_first ? 3.0 : 9.0);
        circuit.add(Law::constant_power, 2, 0, is_first ? 250.0 : 300.0, is_first ? 9.0 : 3.0);
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.status == Status::no_solution);
        CHECK(point.worst_branch == (is_first ? 2 : 3));
    }
}

TEST_CASE("two loads of constant power in series carry one current, whichever balance is found") {
    // There are several: both at their power (v1 / v2 = 20 W / 25 W), or one of them sagging below
    // its least voltage, where it is a resistor. In life the first tips into one of the others.
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    circuit.add(Law::constant_power, 1, 2, 20.0, 4.0);
    circuit.add(Law::constant_power, 2, 0, 25.0, 4.0);
    const OperatingPoint point = solved(circuit);
    CHECK(amps_of(point, 1) == doctest::Approx(amps_of(point, 2)).epsilon(1e-9));
    const double ratio = between(point, 1, 2) / between(point, 2, 0);
    const bool both = std::abs(ratio - 0.8) < 1e-6;
    const bool one_sags = between(point, 1, 2) < 4.0 || between(point, 2, 0) < 4.0;
    CHECK((both || one_sags));
}
