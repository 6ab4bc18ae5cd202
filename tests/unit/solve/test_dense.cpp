// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Circuits that are hard on the digits, against a dense solution in long double (64 bits of
// mantissa) with full pivoting by Eigen: another matrix, another elimination, other arithmetic.

#include "dice.hpp"
#include "random_network.hpp"
#include "support.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

using Real = long double;
using Vector = Eigen::Matrix<Real, Eigen::Dynamic, 1>;
using Matrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

/// i(v) and its slope by the table of circuit.hpp, written here anew in long double.
struct Law80 {
    Real amps;
    Real siemens;
};
Law80 law(const Circuit& circuit, std::size_t k, Real v) {
    const Real a = circuit.a[k];
    const Real b = circuit.b[k];
    const Real c = circuit.c[k];
    switch (circuit.law[k]) {
    case Law::conductance:
        return {a * v, a};
    case Law::source:
        return {b * (v - a), b};
    case Law::limited_source: {
        const Real wanted = b * (a - v);
        return {-std::clamp<Real>(wanted, 0, c), wanted > 0 && wanted < c ? b : 0};
    }
    case Law::constant_current:
        return {a * std::clamp<Real>(v / b, -1, 1), std::abs(v) < b ? a / b : 0};
    case Law::constant_power:
        return std::abs(v) < b ? Law80{a * v / (b * b), a / (b * b)} : Law80{a / v, -a / (v * v)};
    case Law::lamp: {
        const Real x = std::abs(v) / b;
        const Real hot = std::pow(x, 0.55L);
        return c * x <= hot ? Law80{a * c * v / b, a * c / b}
                            : Law80{std::copysign(a * hot, v), 0.55L * a * hot / (x * b)};
    }
    case Law::diode:
        return {a * std::expm1(v / b), a * std::exp(v / b) / b};
    }
    return {0, 0};
}

/// Voltages by Newton's method from those given, all nodes against the reference, which is fed.
Vector dense(const Circuit& circuit, Vector volts, int steps) {
    const auto count = static_cast<Eigen::Index>(circuit.node_count);
    for (int step = 0; step < steps; ++step) {
        Matrix slopes = Matrix::Zero(count, count);
        Vector leaving = Vector::Zero(count);
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            const Index i = circuit.from[k];
            const Index j = circuit.to[k];
            const Law80 now = law(circuit, k, volts(i) - volts(j));
            leaving(i) += now.amps;
            leaving(j) -= now.amps;
            slopes(i, i) += now.siemens;
            slopes(j, j) += now.siemens;
            slopes(i, j) -= now.siemens;
            slopes(j, i) -= now.siemens;
        }
        slopes.row(circuit.reference).setZero();
        slopes(circuit.reference, circuit.reference) = 1;
        leaving(circuit.reference) = 0;
        volts -= Eigen::FullPivLU<Matrix>(slopes).solve(leaving);
    }
    return volts;
}

Vector zero(const Circuit& circuit) {
    return Vector::Zero(static_cast<Eigen::Index>(circuit.node_count));
}

/// Ours against the dense solution: every branch's voltage and current.
void check_dense(const Circuit& circuit, const OperatingPoint& point, const Vector& volts,
                 double tolerance) {
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const Real v = volts(circuit.from[k]) - volts(circuit.to[k]);
        const double ours = between(point, circuit.from[k], circuit.to[k]);
        REQUIRE(std::abs(ours - static_cast<double>(v)) <= tolerance * 12.0);
        const auto amps = static_cast<double>(law(circuit, k, v).amps);
        REQUIRE(std::abs(amps_of(point, k) - amps) <=
                tolerance * std::max(std::abs(amps), point.source_current_a));
    }
}

} // namespace

TEST_CASE("resistances from 1 uohm to 10 Mohm in one mesh") {
    for (std::uint64_t seed = 1; seed <= 40; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        Circuit circuit;
        circuit.node_count = 30;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.6, 1.0 / 0.006);
        circuit.add(Law::source, 9, 3, 11.9, 1.0 / 0.009);
        for (Index node = 2; node < circuit.node_count; ++node) {
            circuit.add(Law::conductance, dice.below(node), node, dice.log_between(1e-7, 1e6));
        }
        for (int k = 0; k < 40; ++k) {
            circuit.add(Law::conductance, dice.below(30), dice.below(30),
                        dice.log_between(1e-7, 1e6));
        }
        check_dense(circuit, solved(circuit), dense(circuit, zero(circuit), 2), 1e-9);
    }
}

TEST_CASE("two cars joined by next to nothing: a matrix that is almost singular") {
    for (const double joint : {1e-3, 1e-5, 1e-7}) { // 10 Mohm beside 1 uohm
        CAPTURE(joint);
        Circuit circuit;
        circuit.node_count = 6;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 200.0);
        circuit.add(Law::conductance, 1, 2, 1e6);
        circuit.add(Law::conductance, 2, 0, 10.0);
        circuit.add(Law::source, 3, 4, 24.0, 200.0);
        circuit.add(Law::conductance, 3, 5, 1e6);
        circuit.add(Law::conductance, 5, 4, 10.0);
        circuit.add(Law::conductance, 2, 5, joint);
        const OperatingPoint point = solved(circuit);
        check_dense(circuit, point, dense(circuit, zero(circuit), 2), 1e-9);
        CHECK(std::abs(amps_of(point, 6)) <= 1e-12); // it leads nowhere
    }
}

TEST_CASE("loops of ideal conductors: each has its share of a current that no voltage shows") {
    // Four bars of a micro-ohm and less in a ring with a cross: the split is the ratio of the bars.
    Circuit circuit;
    circuit.node_count = 5;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e3);
    circuit.add(Law::conductance, 1, 2, 1e6);
    circuit.add(Law::conductance, 2, 4, 3e6);
    circuit.add(Law::conductance, 1, 3, 2e6);
    circuit.add(Law::conductance, 3, 4, 1e9);
    circuit.add(Law::conductance, 2, 3, 1e6);
    circuit.add(Law::conductance, 4, 0, 20.0);
    check_dense(circuit, solved(circuit), dense(circuit, zero(circuit), 2), 1e-9);
}

TEST_CASE("hundreds of sources in a mesh") {
    Dice dice(7);
    Circuit circuit;
    circuit.node_count = 250;
    circuit.reference = 0;
    for (Index node = 1; node < circuit.node_count; ++node) {
        circuit.add(Law::conductance, dice.below(node), node, dice.log_between(1.0, 1e4));
        circuit.add(Law::source, node, dice.below(node), dice.between(-2.0, 14.0),
                    dice.log_between(1.0, 300.0));
    }
    check_dense(circuit, solved(circuit), dense(circuit, zero(circuit), 2), 1e-9);
}

TEST_CASE("random networks: Newton in long double from our answer finds nothing to move") {
    int compared = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = random_network(seed, 12 + static_cast<int>(seed));
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        if (point.status != Status::solved || circuit.reference < 0 ||
            std::ranges::count(point.floating, 1) > 0) {
            continue; // one island, so that the dense matrix is regular
        }
        Vector volts = zero(circuit);
        for (Index node = 0; node < circuit.node_count; ++node) {
            volts(node) = static_cast<Real>(point.volts[at(node)]) + point.volts_low[at(node)];
        }
        const Vector better = dense(circuit, volts, 3);
        CHECK(static_cast<double>((better - volts).cwiseAbs().maxCoeff()) <= 1e-9);
        ++compared;
    }
    CHECK(compared >= 25);
}

TEST_CASE("a thousand alternators at their limit on one battery") {
    Circuit circuit;
    circuit.node_count = 1002;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 200.0);
    circuit.add(Law::constant_current, 1, 0, 5.0, 2.0);
    for (Index k = 0; k < 1000; ++k) {
        circuit.add(Law::limited_source, k + 2, 0, 14.0 + 1e-3 * k, 50.0, 0.01);
        circuit.add(Law::conductance, k + 2, 1, 100.0);
    }
    const OperatingPoint point = solved(circuit);
    // Each gives its 0.01 A: 10 A in all, of which the load takes 5 and the battery the rest.
    CHECK(volts_at(point, 1) == doctest::Approx(12.0 + 5.0 / 200.0).epsilon(1e-12));
}

TEST_CASE("a rung without resistance is refused, one of a nano-ohm is not") {
    Circuit circuit;
    circuit.node_count = 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 200.0);
    circuit.add(Law::conductance, 1, 0, 1.0 / 0.0);
    Solver solver;
    const OperatingPoint refused = solver.solve(circuit);
    CHECK(refused.status == Status::bad_input);
    CHECK(refused.worst_branch == 1);
    circuit.a[1] = 1e9; // a source shorted: its own resistance holds the current
    const OperatingPoint point = solved(circuit);
    CHECK(point.source_current_a == doctest::Approx(12.0 / (1.0 / 200.0 + 1e-9)).epsilon(1e-12));
}
