// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// How much work it is to alter a circuit: rounds by what Newton's method takes, and when factors
// are made anew. Answers are held in test_altered.cpp.

#include "one_heater.hpp"
#include "solve/altered.hpp"
#include "solve/laws.hpp"
#include "support.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

TEST_CASE("straight circuits are solved by one step, and by one look that nothing is left") {
    // Newton's method is exact in one step there (any textbook of numerical mathematics).
    const Circuit circuit = one_heater();
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    const auto rounds = [&solver] {
        const std::uint64_t before = solver.counts().rounds;
        REQUIRE(solver.solve());
        return solver.counts().rounds - before;
    };
    CHECK(rounds() == 1); // as it was
    solver.bridge(2, 0, 10.0);
    CHECK(rounds() == 2);
    solver.put(1, Law::conductance, 0.5, 0.0, 0.0);
    CHECK(rounds() == 2);
    solver.put(0, Law::source, 13.0, 20.0, 0.0);
    CHECK(rounds() == 2);
    solver.open(2);
    CHECK(rounds() == 2);
    solver.open(1);
    CHECK(rounds() == 2);
    CHECK(solver.counts().refactored == 0);
    CHECK(solver.counts().from_nothing == 0);
}

TEST_CASE("loads whose supply is gone are let down in one step, as the resistors they look like") {
    // One step as what they are goes nowhere, one more as resistors ends at 0 V, one look is left.
    for (const Law law : {Law::constant_power, Law::constant_current}) {
        Circuit circuit = one_heater();
        circuit.add(law, 2, 0, law == Law::constant_power ? 30.0 : 3.0, 8.0);
        circuit.a[2] = 1e-4; // next to no heater: alone it would not hold the place down
        circuit.add(Law::conductance, 1, 0, 0.2); // the battery goes on giving
        const AlteredBase base(circuit, all_in_force(circuit));
        REQUIRE(base.is_solved());
        AlteredSolver solver(base);
        solver.open(1);
        REQUIRE(solver.solve());
        CHECK(std::abs(solver.volts(2)) <= 1e-9);
        CHECK(std::abs(solver.amps(3)) <= 1e-9);
        CHECK(solver.counts().rounds <= 3);
        CHECK(solver.counts().from_nothing == 0);
    }
}

TEST_CASE(
    "a straight circuit takes no more steps with new factors and a bridge between two places") {
    // Two heaters, each behind 30 wires side by side that all become others: more than are taken
    // one by one, so that the factors are made anew. A bridge has no place in them.
    constexpr int wires = 30;
    Circuit circuit;
    circuit.node_count = 4;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    circuit.add(Law::conductance, 2, 0, 1.0);
    circuit.add(Law::conductance, 3, 0, 5.0);
    for (int k = 0; k < wires; ++k) {
        circuit.add(Law::conductance, 1, 2, 0.1);
        circuit.add(Law::conductance, 1, 3, 0.2);
    }
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    for (int k = 0; k < wires; ++k) {
        solver.put(3 + 2 * k, Law::conductance, 0.3, 0.0, 0.0); // 9 S to place 2
        solver.put(4 + 2 * k, Law::conductance, 0.1, 0.0, 0.0); // 3 S to place 3
    }
    solver.bridge(2, 3, 4.0);
    REQUIRE(solver.solve());
    // Kirchhoff: 1200 A come by the battery's 100 S, unknowns are the three places.
    Eigen::Matrix3d matrix;
    matrix << 112.0, -9.0, -3.0, -9.0, 14.0, -4.0, -3.0, -4.0, 12.0;
    const Eigen::Vector3d volts = matrix.fullPivLu().solve(Eigen::Vector3d(1200.0, 0.0, 0.0));
    for (Index node = 1; node < 4; ++node) {
        CHECK(solver.volts(node) == doctest::Approx(volts(node - 1)).epsilon(1e-12));
    }
    CHECK(solver.bridge_amps() == doctest::Approx(4.0 * (volts(1) - volts(2))).epsilon(1e-11));
    CHECK(solver.counts().rounds == 2); // one step, and one look
    CHECK(solver.counts().refactored == 1);
    CHECK(solver.counts().from_nothing == 0);
}

TEST_CASE("forty lamps that a short dims are found by their own voltages, without new factors") {
    // 12 V behind 10 mohm; each lamp of some amperes behind 0.5 ohm. A short of 10 mohm at the
    // post halves its voltage; what a lamp takes hardly moves that, but its slope moves far.
    constexpr int lamps = 40;
    Circuit circuit;
    circuit.node_count = 2 + lamps;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 100.0);
    for (int k = 0; k < lamps; ++k) {
        circuit.add(Law::conductance, 1, 2 + k, 2.0);
        circuit.add(Law::lamp, 2 + k, 0, 2.0 + 0.1 * k, 12.0, 10.0);
    }
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    solver.bridge(1, 0, 100.0);
    REQUIRE(solver.solve());
    double taken = 0.0;
    for (int k = 0; k < lamps; ++k) {
        const double lamp_v = solver.volts(2 + k);
        const double lamp_a = (2.0 + 0.1 * k) * std::pow(lamp_v / 12.0, 0.55); // hot: above 1 %
        CHECK((solver.volts(1) - lamp_v) * 2.0 == doctest::Approx(lamp_a).epsilon(1e-9));
        taken += lamp_a;
    }
    const double post_v = solver.volts(1);
    CHECK((12.0 - post_v) * 100.0 == doctest::Approx(taken + 100.0 * post_v).epsilon(1e-9));
    CHECK(solver.counts().refactored == 0);
    CHECK(solver.counts().from_nothing == 0);
}

TEST_CASE(
    "a load whose battery sags takes the steps of Newton's method, each as the load that it is") {
    // 20 W behind 0.5 ohm, and 12 V become 9 V: the first step takes it from 11.1 V to 7.8 V, less
    // than half of what it had. The same steps by hand, on (E - v) / R = P / v.
    constexpr double power_w = 20.0;
    constexpr double siemens = 2.0;
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e9); // so stiff that its posts have its emf
    circuit.add(Law::conductance, 1, 2, siemens);
    circuit.add(Law::constant_power, 2, 0, power_w, 4.0);
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    solver.put(0, Law::source, 9.0, 1e9, 0.0);
    REQUIRE(solver.solve());
    CHECK(solver.volts(2) ==
          doctest::Approx(4.5 + std::sqrt(4.5 * 4.5 - power_w / siemens)).epsilon(1e-8));
    double volts = 6.0 + std::sqrt(36.0 - power_w / siemens);
    double last = 1.0;
    std::uint64_t steps = 0;
    for (double step = 1.0; std::abs(step) * std::min(std::abs(step) / last, 1.0) > 12e-11;) {
        last = std::abs(step);
        step = (siemens * (9.0 - volts) - power_w / volts) / (siemens - power_w / (volts * volts));
        CHECK(std::abs(step) < 0.5 * volts);
        volts += step;
        ++steps;
    }
    CHECK(solver.counts().rounds == steps);
    CHECK(solver.counts().from_nothing == 0);
}

TEST_CASE(
    "of hundreds of lamps beside three loads that hold the search up only the loads are blamed") {
    // Too many lamps to be searched by their own voltages. A short takes a sixth of the post's; the
    // lamps hardly bend over that, the loads of constant power lean on one another behind 1 ohm, so
    // that each looks harmless and all together are not. New factors are not called for.
    constexpr int lamps = 600;
    Circuit circuit;
    circuit.node_count = 3 + lamps;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 10.0);
    circuit.add(Law::conductance, 1, 2, 1.0);
    for (int k = 0; k < 3; ++k) {
        circuit.add(Law::constant_power, 2, 0, 4.0, 4.0);
    }
    for (int k = 0; k < lamps; ++k) {
        circuit.add(Law::conductance, 1, 3 + k, 0.1);
        circuit.add(Law::lamp, 3 + k, 0, 0.01, 12.0, 10.0);
    }
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    solver.bridge(1, 0, 2.0);
    REQUIRE(solver.solve());
    const double load_a = 3.0 * 4.0 / solver.volts(2);
    CHECK(solver.volts(1) - solver.volts(2) == doctest::Approx(load_a).epsilon(1e-9));
    const double lamp_a = 0.01 * std::pow(solver.volts(3) / 12.0, 0.55);
    CHECK((12.0 - solver.volts(1)) * 10.0 ==
          doctest::Approx(load_a + lamps * lamp_a + 2.0 * solver.volts(1)).epsilon(1e-9));
    CHECK(solver.counts().refactored == 0);
    CHECK(solver.counts().from_nothing == 0);
}

TEST_CASE("a motor that falls with the load before it is let down in the same step") {
    // 16 W behind 9.4 ohm and a motor of 2.85 A behind 1.4 ohm more; what held both up, 70 mohm to
    // the motor, opens, and 9.3 V become 6 V. Both are lost below their 2.1 V. As they are they
    // lead nowhere; with the load as a resistor it is still the motor that leads nowhere; as two
    // resistors they fall. From there one step ends where the laws are straight, and one look is
    // left: five in all.
    constexpr double least_v = 2.1;
    Circuit circuit;
    circuit.node_count = 4;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 9.3, 1e9);
    circuit.add(Law::conductance, 1, 2, 1.0 / 9.4);
    circuit.add(Law::conductance, 2, 3, 1.0 / 1.4);
    circuit.add(Law::conductance, 1, 3, 1.0 / 0.07);
    circuit.add(Law::constant_power, 2, 0, 16.0, least_v);
    circuit.add(Law::constant_current, 3, 0, 2.85, least_v);
    const AlteredBase base(circuit, all_in_force(circuit));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    solver.put(0, Law::source, 6.0, 1e9, 0.0);
    solver.open(3);
    REQUIRE(solver.solve());
    const double motor_ohm = 1.4 + least_v / 2.85; // the motor's branch beside the load
    const double load_siemens = 16.0 / (least_v * least_v) + 1.0 / motor_ohm;
    const double load_v = 6.0 / (1.0 + 9.4 * load_siemens);
    CHECK(solver.volts(2) == doctest::Approx(load_v).epsilon(1e-8));
    CHECK(solver.amps(5) == doctest::Approx(load_v / motor_ohm).epsilon(1e-8));
    CHECK(solver.counts().rounds <= 5);
    CHECK(solver.counts().refactored == 0);
    CHECK(solver.counts().from_nothing == 0);
}

namespace {

/// Two loads of constant power at nodes 2 and 3, a resistor from 1 to 2, one from 2 to 3 and one
/// from 1 to 3, behind a battery at node 1.
struct TwoLoads {
    double emf_v = 0.0;
    double inside_ohm = 0.0;
    double ohm_12 = 0.0;
    double ohm_23 = 0.0;
    double ohm_13 = 0.0;
    double watts_2 = 0.0;
    double watts_3 = 0.0;
    double least_v = 0.0;

    [[nodiscard]] Circuit circuit() const {
        Circuit out;
        out.node_count = 4;
        out.reference = 0;
        out.add(Law::source, 1, 0, emf_v, 1.0 / inside_ohm);
        out.add(Law::conductance, 1, 2, 1.0 / ohm_12);
        out.add(Law::conductance, 2, 3, 1.0 / ohm_23);
        out.add(Law::conductance, 1, 3, 1.0 / ohm_13);
        out.add(Law::constant_power, 2, 0, watts_2, least_v);
        out.add(Law::constant_power, 3, 0, watts_3, least_v);
        return out;
    }
};

/// With the resistor from 1 to 3 away: what node 2 and node 3 are out of balance by, A, and the
/// determinant of the matrix of slopes, which a balance that is kept has above 0, as the sum of its
/// diagonal.
struct OpenBalance {
    double at_2 = 0.0;
    double at_3 = 0.0;
    double determinant = 0.0;
    double trace = 0.0;
};
OpenBalance balance_without_13(const TwoLoads& is, double emf_v, double v2, double v3) {
    const double ahead = 1.0 / (is.inside_ohm + is.ohm_12);
    const double between = 1.0 / is.ohm_23;
    const double s2 = ahead + between - is.watts_2 / (v2 * v2);
    const double s3 = between - is.watts_3 / (v3 * v3);
    return {(emf_v - v2) * ahead - (v2 - v3) * between - is.watts_2 / v2,
            (v2 - v3) * between - is.watts_3 / v3, s2 * s3 - between * between, s2 + s3};
}

} // namespace

TEST_CASE("of two balances of loads of constant power the one that a circuit keeps is found") {
    // 11.048 V and 6.078 V at the loads balance too, but the least disturbance leads away from
    // there: the determinant is below 0.
    const TwoLoads is{.emf_v = 9.844,
                      .inside_ohm = 0.01,
                      .ohm_12 = 2.119,
                      .ohm_23 = 6.761,
                      .ohm_13 = 2.433,
                      .watts_2 = 7.965,
                      .watts_3 = 4.468,
                      .least_v = 3.18};
    constexpr double charged_v = 14.149;
    const OpenBalance other = balance_without_13(is, charged_v, 11.048, 6.078);
    CHECK(std::abs(other.at_2) < 1e-3);
    CHECK(std::abs(other.at_3) < 1e-3);
    CHECK(other.determinant < 0.0);

    const AlteredBase base(is.circuit(), std::vector<std::uint8_t>(6, 1));
    REQUIRE(base.is_solved());
    AlteredSolver solver(base);
    solver.put(0, Law::source, charged_v, 1.0 / is.inside_ohm, 0.0);
    solver.open(3);
    REQUIRE(solver.solve());
    const OpenBalance found = balance_without_13(is, charged_v, solver.volts(2), solver.volts(3));
    CHECK(std::abs(found.at_2) < 1e-9);
    CHECK(std::abs(found.at_3) < 1e-9);
    CHECK(found.determinant > 0.0);
    CHECK(found.trace > 0.0);
}
