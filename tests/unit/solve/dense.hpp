// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

// A circuit by a dense matrix in a wider type than the solver's: another matrix, another
// elimination (Eigen's, with full pivoting), other arithmetic. Real: long double (64 bits of
// mantissa), or a type of Boost.Multiprecision.

#include "support.hpp"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <vector>

namespace loomwright::solve::testing {

template <typename Real> using DenseVector = Eigen::Matrix<Real, Eigen::Dynamic, 1>;
template <typename Real> using DenseMatrix = Eigen::Matrix<Real, Eigen::Dynamic, Eigen::Dynamic>;

template <typename Real> struct WideLaw {
    Real amps;
    Real siemens;
};

/// Lamp: current as a power of the voltage, a resistor while cold.
template <typename Real> WideLaw<Real> wide_lamp(Real a, Real b, Real c, Real v) {
    using std::abs;
    using std::pow;
    const Real x = abs(v) / b;
    const Real power = Real(55) / 100;
    const Real hot = pow(x, power);
    if (c * x <= hot) {
        return {a * c * v / b, a * c / b};
    }
    const Real amps = v < 0 ? Real(-a * hot) : Real(a * hot);
    return {amps, power * a * hot / (x * b)};
}

/// i(v) and its slope by the table of circuit.hpp, written here anew.
template <typename Real> WideLaw<Real> wide_law(const Circuit& circuit, std::size_t k, Real v) {
    using std::abs;
    using std::exp;
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
        const bool is_inside = wanted > 0 && wanted < c;
        const Real given = wanted < 0 ? Real(0) : wanted > c ? c : wanted;
        return {-given, is_inside ? b : Real(0)};
    }
    case Law::constant_current: {
        if (abs(v) < b) {
            return {a * v / b, a / b};
        }
        return {v < 0 ? Real(-a) : a, Real(0)};
    }
    case Law::constant_power:
        if (abs(v) < b) {
            return {a * v / (b * b), a / (b * b)};
        }
        return {a / v, -a / (v * v)};
    case Law::lamp:
        return wide_lamp(a, b, c, v);
    case Law::diode:
        return {a * (exp(v / b) - 1), a * exp(v / b) / b};
    }
    return {Real(0), Real(0)};
}

template <typename Real> DenseVector<Real> no_volts(const Circuit& circuit) {
    return DenseVector<Real>::Zero(static_cast<Eigen::Index>(circuit.node_count));
}

/// Our answer with all its digits.
template <typename Real>
DenseVector<Real> our_volts(const Circuit& circuit, const OperatingPoint& point) {
    DenseVector<Real> volts = no_volts<Real>(circuit);
    for (std::size_t node = 0; node < point.volts.size(); ++node) {
        volts(static_cast<Eigen::Index>(node)) =
            Real(point.volts[node]) + Real(point.volts_low[node]);
    }
    return volts;
}

/// Voltages by Newton's method from those given, all nodes against the reference. Every node is
/// joined to the reference.
template <typename Real>
DenseVector<Real> dense(const Circuit& circuit, DenseVector<Real> volts, int steps) {
    const auto count = static_cast<Eigen::Index>(circuit.node_count);
    for (int step = 0; step < steps; ++step) {
        DenseMatrix<Real> slopes = DenseMatrix<Real>::Zero(count, count);
        DenseVector<Real> leaving = DenseVector<Real>::Zero(count);
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            const Index i = circuit.from[k];
            const Index j = circuit.to[k];
            const WideLaw<Real> now = wide_law<Real>(circuit, k, volts(i) - volts(j));
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
        volts -= Eigen::FullPivLU<DenseMatrix<Real>>(slopes).solve(leaving);
    }
    return volts;
}

/// Ours against the dense solution: every branch's voltage, as a share of `emf`, and current, as a
/// share of itself or, where that is more, of all that the sources deliver.
template <typename Real>
void check_dense(const Circuit& circuit, const OperatingPoint& point,
                 const DenseVector<Real>& volts, double tolerance, double emf = 12.0) {
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        CAPTURE(k);
        const Real v = volts(circuit.from[k]) - volts(circuit.to[k]);
        const double ours = between(point, circuit.from[k], circuit.to[k]);
        REQUIRE(std::abs(ours - static_cast<double>(v)) <= tolerance * emf);
        const auto amps = static_cast<double>(wide_law<Real>(circuit, k, v).amps);
        REQUIRE(std::abs(amps_of(point, k) - amps) <=
                tolerance * std::max(std::abs(amps), point.source_current_a));
    }
}

} // namespace loomwright::solve::testing
