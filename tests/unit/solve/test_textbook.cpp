// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Theorems and closed forms of circuit theory, each by its name: ladders (continued fraction,
// iterative resistance), Wheatstone bridge, delta and star (Kennelly 1899), Millman 1940, Thevenin
// 1883, Norton 1926, maximum power transfer (Jacobi 1840), Tellegen 1952. They are in any textbook,
// e.g. Desoer and Kuh, "Basic Circuit Theory" (1969); names and years from memory, the formulas
// derived where they stand.

#include "dice.hpp"
#include "support.hpp"

#include <array>
#include <utility>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

/// Resistance between two nodes, measured with 1 V.
double resistance_between(Circuit circuit, Index a, Index b) {
    circuit.reference = b;
    circuit.add(Law::source, a, b, 1.0, stiff);
    return 1.0 / solved(circuit).source_current_a;
}

} // namespace

TEST_CASE("ladder: its resistance is a continued fraction") {
    // R = r1 + 1 / (g1 + 1 / (r2 + 1 / (g2 + ...))), by series and parallel from the far end.
    Dice dice(1);
    for (const Index rungs : {1, 2, 7, 100, 1000}) {
        Circuit circuit;
        circuit.node_count = rungs + 2;
        std::vector<std::pair<long double, long double>> cells;
        for (Index k = 1; k <= rungs; ++k) {
            const double series = dice.log_between(1.0, 1e4);
            const double across = dice.log_between(1e-3, 10.0);
            circuit.add(Law::conductance, k, k + 1, series);
            circuit.add(Law::conductance, k + 1, 0, across);
            cells.emplace_back(series, across);
        }
        long double siemens = 0.0L; // beyond the last cell
        for (std::size_t k = cells.size(); k-- > 0;) {
            siemens = 1.0L / (1.0L / cells[k].first + 1.0L / (cells[k].second + siemens));
        }
        CHECK(resistance_between(circuit, 1, 0) ==
              doctest::Approx(static_cast<double>(1.0L / siemens)).epsilon(1e-11));
    }
}

TEST_CASE("ladder of 5,000 equal cells: voltages as a hyperbolic cosine") {
    // v(k-1) - (2 + r g) v(k) + v(k+1) = 0 with the far end open, so with cosh t = 1 + r g / 2:
    // v(k) = E cosh((n + 1/2 - k) t) / cosh((n + 1/2) t): the half because the last shunt stands
    // at the end of the last series resistor.
    constexpr Index cells = 5000;
    for (const double product : {1e-8, 1e-6, 1e-4}) {
        CAPTURE(product);
        Circuit circuit;
        circuit.node_count = cells + 2;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, stiff);
        for (Index k = 1; k <= cells; ++k) {
            circuit.add(Law::conductance, k, k + 1, 1e3);
            circuit.add(Law::conductance, k + 1, 0, product * 1e3);
        }
        const OperatingPoint point = solved(circuit);
        const long double t = 2.0L * std::asinh(std::sqrt(static_cast<long double>(product)) / 2);
        for (const Index k : {1, 10, 500, 2500, 5000}) {
            const long double expected =
                12.0L * std::cosh((cells + 0.5L - k) * t) / std::cosh((cells + 0.5L) * t);
            CHECK(volts_at(point, k + 1) ==
                  doctest::Approx(static_cast<double>(expected)).epsilon(1e-9));
        }
    }
}

TEST_CASE("Wheatstone bridge: balanced, nothing flows through the middle, whatever is there") {
    for (const double middle : {1e-6, 1.0, 1e6}) {
        Circuit circuit;
        circuit.node_count = 4;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 100.0);
        circuit.add(Law::conductance, 1, 2, 3.0);
        circuit.add(Law::conductance, 2, 0, 6.0);
        circuit.add(Law::conductance, 1, 3, 0.5);
        circuit.add(Law::conductance, 3, 0, 1.0);
        circuit.add(Law::conductance, 2, 3, middle);
        CHECK(std::abs(amps_of(solved(circuit), 5)) <= 1e-13);
    }
}

TEST_CASE("delta and star (Kennelly): the same between each pair of corners") {
    Dice dice(2);
    for (int draw = 0; draw < 20; ++draw) {
        const std::array<double, 3> delta = {dice.log_between(0.01, 100.0),
                                             dice.log_between(0.01, 100.0),
                                             dice.log_between(0.01, 100.0)};
        const double sum = delta[0] + delta[1] + delta[2];
        Circuit triangle;
        triangle.node_count = 3;
        Circuit star;
        star.node_count = 4;
        for (Index k = 0; k < 3; ++k) {
            const auto i = static_cast<std::size_t>(k);
            triangle.add(Law::conductance, k, (k + 1) % 3, 1.0 / delta[i]);
            // Of the two sides that meet at corner k: delta k (k to k + 1) and delta k + 2.
            star.add(Law::conductance, k, 3, sum / (delta[i] * delta[(i + 2) % 3]));
        }
        for (Index a = 0; a < 3; ++a) {
            const Index b = (a + 1) % 3;
            CHECK(resistance_between(triangle, a, b) ==
                  doctest::Approx(resistance_between(star, a, b)).epsilon(1e-11));
        }
    }
}

TEST_CASE("Millman: a thousand batteries side by side") {
    Dice dice(3);
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    long double amps = 0.0L;
    long double siemens = 0.0L;
    for (int k = 0; k < 1000; ++k) {
        const double emf = dice.between(11.0, 14.0);
        const double own = dice.log_between(0.1, 300.0);
        circuit.add(Law::source, 1, 0, emf, own);
        amps += static_cast<long double>(emf) * own;
        siemens += own;
    }
    circuit.add(Law::conductance, 1, 0, 50.0);
    CHECK(volts_at(solved(circuit), 1) ==
          doctest::Approx(static_cast<double>(amps / (siemens + 50.0L))).epsilon(1e-13));
}

TEST_CASE("Thevenin and Norton: a network is its open voltage behind its resistance") {
    Circuit network; // a battery on a divider with a side branch, seen at nodes 3 and 0
    network.node_count = 4;
    network.reference = 0;
    network.add(Law::source, 1, 0, 12.0, 50.0);
    network.add(Law::conductance, 1, 2, 4.0);
    network.add(Law::conductance, 2, 0, 2.0);
    network.add(Law::conductance, 2, 3, 5.0);
    network.add(Law::conductance, 3, 0, 0.5);
    const double open = volts_at(solved(network), 3);
    Circuit shorted = network;
    shorted.add(Law::conductance, 3, 0, stiff);
    const double inner = open / amps_of(solved(shorted), 5); // Norton's current
    for (const double ohm : {0.01, 0.3, 1.0, 40.0}) {
        Circuit loaded = network;
        loaded.add(Law::conductance, 3, 0, 1.0 / ohm);
        CHECK(volts_at(solved(loaded), 3) ==
              doctest::Approx(open * ohm / (ohm + inner)).epsilon(1e-11));
    }
}

TEST_CASE("maximum power transfer (Jacobi): the load of the source's own resistance takes most") {
    constexpr double emf = 12.0;
    constexpr double inner = 0.08;
    double most = 0.0;
    double most_ohm = 0.0;
    for (int k = -40; k <= 40; ++k) {
        const double ohm = inner * std::pow(1.05, k);
        Circuit circuit;
        circuit.node_count = 2;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, emf, 1.0 / inner);
        circuit.add(Law::conductance, 1, 0, 1.0 / ohm);
        const OperatingPoint point = solved(circuit);
        const double watts = volts_at(point, 1) * amps_of(point, 1);
        CHECK(watts ==
              doctest::Approx(emf * emf * ohm / ((ohm + inner) * (ohm + inner))).epsilon(1e-12));
        if (watts > most) {
            most = watts;
            most_ohm = ohm;
        }
    }
    CHECK(most_ohm == inner);
    CHECK(most == doctest::Approx(emf * emf / (4.0 * inner)).epsilon(1e-12));
}

TEST_CASE("Tellegen: the powers of all branches of any circuit add up to nothing") {
    Circuit circuit;
    circuit.node_count = 5;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 150.0);
    circuit.add(Law::limited_source, 2, 0, 14.2, 50.0, 20.0);
    circuit.add(Law::conductance, 1, 2, 200.0);
    circuit.add(Law::diode, 2, 3, 1e-9, 0.05);
    circuit.add(Law::lamp, 3, 0, 4.6, 13.5, 11.0);
    circuit.add(Law::constant_power, 2, 4, 55.0, 6.0);
    circuit.add(Law::constant_current, 4, 0, 6.0, 1.0);
    const OperatingPoint point = solved(circuit);
    long double watts = 0.0L;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        watts += static_cast<long double>(between(point, circuit.from[k], circuit.to[k])) *
                 point.amps[k];
    }
    CHECK(std::abs(static_cast<double>(watts)) <= 1e-12 * 14.0 * point.source_current_a);
}
