// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Each branch law behind an emf and a resistance, against its closed form or a bisection of one
// equation that is written here anew.

#include "support.hpp"

#include <functional>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

/// One load behind `emf` and `ohm`; its node is 2.
Circuit one_load(double emf, double ohm, Law law, double a, double b = 0.0, double c = 0.0) {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, emf, stiff);
    circuit.add(Law::conductance, 1, 2, 1.0 / ohm);
    circuit.add(law, 2, 0, a, b, c);
    return circuit;
}

double bisect(double low, double high, const std::function<double(double)>& rising) {
    for (int k = 0; k < 200; ++k) {
        const double middle = 0.5 * (low + high);
        (rising(middle) < 0.0 ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

} // namespace

TEST_CASE("constant current: full above its knee, a resistor below") {
    CHECK(volts_at(solved(one_load(12.0, 0.5, Law::constant_current, 4.0, 6.0)), 2) ==
          doctest::Approx(10.0).epsilon(1e-11));
    // 4 A would leave 4 V, under the knee of 6 V: a resistor of 1.5 ohm.
    CHECK(volts_at(solved(one_load(12.0, 2.0, Law::constant_current, 4.0, 6.0)), 2) ==
          doctest::Approx(12.0 * 1.5 / 3.5).epsilon(1e-11));
    // The wrong way round it takes the same current.
    CHECK(volts_at(solved(one_load(-12.0, 0.5, Law::constant_current, 4.0, 6.0)), 2) ==
          doctest::Approx(-10.0).epsilon(1e-11));
}

TEST_CASE("constant power: the upper root of (E - v) v = P R") {
    for (const double power : {1.0, 55.0, 200.0, 300.0}) {
        const OperatingPoint point = solved(one_load(12.0, 0.1, Law::constant_power, power, 5.0));
        const double volts = 6.0 + std::sqrt(36.0 - power * 0.1);
        CHECK(volts_at(point, 2) == doctest::Approx(volts).epsilon(1e-10));
        CHECK(amps_of(point, 2) * volts_at(point, 2) == doctest::Approx(power).epsilon(1e-12));
    }
}

TEST_CASE("a tungsten lamp follows V^0.55, and is a resistor when nearly cold") {
    for (const double emf : {0.001, 0.02, 1.0, 12.0, 16.0, -12.0}) {
        const double ohm = 0.4;
        const OperatingPoint point = solved(one_load(emf, ohm, Law::lamp, 4.6, 13.5, 12.0));
        const double size = std::abs(emf);
        const double volts = bisect(0.0, size, [&](double v) {
            const double x = v / 13.5;
            return 4.6 * std::min(std::pow(x, 0.55), 12.0 * x) - (size - v) / ohm;
        });
        CHECK(std::abs(volts_at(point, 2)) == doctest::Approx(volts).epsilon(1e-9));
        CHECK(std::signbit(volts_at(point, 2)) == std::signbit(emf));
    }
}

TEST_CASE("a diode behind a resistor, forward and reverse") {
    // a (exp(v/b) - 1) = (E - v) / R; solved for v by bisection in its logarithmic form.
    for (const double saturation : {1e-14, 1e-9, 1e-6}) {
        for (const double thermal : {0.026, 0.052}) {
            for (const double emf : {0.2, 1.0, 12.0, 48.0}) {
                const double ohm = 0.8;
                const OperatingPoint point =
                    solved(one_load(emf, ohm, Law::diode, saturation, thermal));
                const double volts = bisect(0.0, emf, [&](double v) {
                    return v - thermal * std::log1p((emf - v) / (ohm * saturation));
                });
                CHECK(volts_at(point, 2) == doctest::Approx(volts).epsilon(1e-9));
            }
            const OperatingPoint blocked =
                solved(one_load(-12.0, 0.8, Law::diode, saturation, thermal));
            CHECK(amps_of(blocked, 2) == doctest::Approx(-saturation).epsilon(1e-9));
        }
    }
}

TEST_CASE("diodes in series and against each other") {
    Circuit circuit = one_load(12.0, 1.0, Law::diode, 1e-12, 0.04);
    circuit.node_count = 5;
    circuit.to[2] = 3;
    circuit.add(Law::diode, 3, 4, 1e-12, 0.04);
    circuit.add(Law::conductance, 4, 0, 1.0);
    const OperatingPoint forward = solved(circuit);
    // Equal diodes share: 2 v + 2 i = 12.
    CHECK(between(forward, 2, 3) == doctest::Approx(between(forward, 3, 4)).epsilon(1e-9));
    std::swap(circuit.from[3], circuit.to[3]);
    const OperatingPoint against = solved(circuit);
    CHECK(std::abs(amps_of(against, 1)) == doctest::Approx(1e-12).epsilon(1e-3).scale(0.0));
}

TEST_CASE("the alternator gives what it can, the battery the rest; the two regimes meet") {
    constexpr double set = 14.3;
    constexpr double alternator_siemens = 1.0 / 0.02;
    constexpr double limit = 65.0;
    constexpr double emf = 12.6;
    constexpr double battery_siemens = 1.0 / 0.006;
    double last_volts = set;
    for (double load = 0.0; load <= 200.0; load += 2.5) {
        Circuit circuit;
        circuit.node_count = 2;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, emf, battery_siemens);
        circuit.add(Law::limited_source, 1, 0, set, alternator_siemens, limit);
        circuit.add(Law::constant_current, 1, 0, load, 6.0);
        const OperatingPoint point = solved(circuit);
        // Below the limit both are emfs behind resistances (Millman); at it a current source.
        const double free = (emf * battery_siemens + set * alternator_siemens - load) /
                            (battery_siemens + alternator_siemens);
        const bool is_limited = alternator_siemens * (set - free) > limit;
        const double volts = is_limited ? emf + (limit - load) / battery_siemens : free;
        CAPTURE(load);
        CHECK(volts_at(point, 1) == doctest::Approx(volts).epsilon(1e-12));
        CHECK(
            -amps_of(point, 1) ==
            doctest::Approx(is_limited ? limit : alternator_siemens * (set - free)).epsilon(1e-10));
        CHECK(volts_at(point, 1) <= last_volts); // no step up anywhere
        last_volts = volts_at(point, 1);
    }
}

TEST_CASE("an alternator below the battery's voltage gives nothing and takes nothing") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 14.6, 100.0);
    circuit.add(Law::limited_source, 1, 0, 14.0, 50.0, 65.0);
    circuit.add(Law::conductance, 1, 0, 1.0);
    const OperatingPoint point = solved(circuit);
    CHECK(amps_of(point, 1) == 0.0);
    CHECK(volts_at(point, 1) == doctest::Approx(14.6 / 1.01).epsilon(1e-13));
}

TEST_CASE("an alternator alone beyond its limit sags until its loads take what it gives") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::limited_source, 1, 0, 14.0, 50.0, 60.0);
    circuit.add(Law::constant_current, 1, 0, 80.0, 8.0);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 1) == doctest::Approx(8.0 * 60.0 / 80.0).epsilon(1e-12));
    CHECK(point.source_current_a == doctest::Approx(60.0).epsilon(1e-12));
}

TEST_CASE("two current sinks in series: the smaller one rules") {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e3);
    circuit.add(Law::constant_current, 1, 2, 0.5, 3.0);
    circuit.add(Law::constant_current, 2, 0, 0.3, 3.0);
    const OperatingPoint point = solved(circuit);
    CHECK(amps_of(point, 0) == doctest::Approx(-0.3).epsilon(1e-12));
    CHECK(between(point, 1, 2) == doctest::Approx(3.0 * 0.3 / 0.5).epsilon(1e-9));
    circuit.a[2] = 0.5; // equal: any split will do, but the current must balance
    CHECK(amps_of(solved(circuit), 0) == doctest::Approx(-0.5).epsilon(1e-12));
}

TEST_CASE("laws are continuous where their pieces meet, and slopes are those of the currents") {
    struct Piece {
        Law law;
        double a, b, c;
    };
    for (const Piece& piece :
         {Piece{Law::conductance, 2.0, 0, 0}, Piece{Law::source, 12.0, 3.0, 0},
          Piece{Law::limited_source, 14.0, 30.0, 60.0}, Piece{Law::constant_current, 5.0, 6.0, 0},
          Piece{Law::constant_power, 55.0, 6.0, 0}, Piece{Law::lamp, 4.6, 13.5, 12.0},
          Piece{Law::diode, 1e-12, 0.03, 0}}) {
        double last = 0.0;
        for (double volts = -20.0; volts <= 20.0; volts += 1e-3) {
            const auto here = branch_current(piece.law, piece.a, piece.b, piece.c, volts);
            const double step = 1e-7;
            const auto near = branch_current(piece.law, piece.a, piece.b, piece.c, volts + step);
            const double slope = (near.amps - here.amps) / step;
            const double steepest = std::max(std::abs(here.siemens), std::abs(near.siemens));
            const double flattest = std::min(here.siemens, near.siemens);
            CAPTURE(static_cast<int>(piece.law));
            CAPTURE(volts);
            REQUIRE(slope <= steepest * 1.001 + 1e-4 * (1.0 + std::abs(here.amps)));
            REQUIRE(slope >= flattest - 1e-3 * steepest - 1e-4 * (1.0 + std::abs(here.amps)));
            if (volts > -20.0 && piece.law != Law::constant_power) {
                REQUIRE(here.amps >= last); // every other law rises
            }
            last = here.amps;
        }
    }
}
