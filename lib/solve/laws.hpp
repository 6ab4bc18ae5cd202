// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright::solve {

// The laws of circuit.hpp, inline for the inner loops. The voltage comes as an unevaluated sum
// high + low, so that a source's small inner drop (emf - v) does not drown in the emf.

constexpr double lamp_exponent = 0.55;   ///< I ~ V^0.55 of a tungsten filament near its rated point
constexpr double diode_linear_from = 40; ///< in units of b; exp(40) is beyond any real junction

[[nodiscard]] inline BranchCurrent limited_source_current(double a, double b, double c, double high,
                                                          double low) {
    const double wanted = b * ((a - high) - low);
    if (wanted <= 0.0) {
        return {.amps = 0.0, .siemens = 0.0};
    }
    if (wanted >= c) {
        return {.amps = -c, .siemens = 0.0};
    }
    return {.amps = -wanted, .siemens = b};
}

[[nodiscard]] inline BranchCurrent lamp_current(double a, double b, double c, double volts) {
    const double x = std::abs(volts) / b;
    const double hot = std::pow(x, lamp_exponent);
    if (c * x <= hot) { // so cold that the filament is an ordinary resistor
        return {.amps = a * c * (volts / b), .siemens = a * c / b};
    }
    return {.amps = std::copysign(a * hot, volts), .siemens = lamp_exponent * a * hot / (x * b)};
}

[[nodiscard]] inline BranchCurrent diode_current(double a, double b, double volts) {
    const double x = volts / b;
    if (x > diode_linear_from) {
        const double top = std::exp(diode_linear_from);
        return {.amps = a * (top * (1.0 + (x - diode_linear_from)) - 1.0), .siemens = a * top / b};
    }
    return {.amps = a * std::expm1(x), .siemens = a * std::exp(x) / b};
}

/// Current and slope of one law at the voltage high + low.
[[nodiscard]] inline BranchCurrent law_current(Law law, double a, double b, double c, double high,
                                               double low) {
    const double volts = high + low;
    switch (law) {
    case Law::conductance:
        return {.amps = a * volts, .siemens = a};
    case Law::source:
        return {.amps = b * ((high - a) + low), .siemens = b};
    case Law::limited_source:
        return limited_source_current(a, b, c, high, low);
    case Law::constant_current:
        if (std::abs(volts) >= b) {
            return {.amps = std::copysign(a, volts), .siemens = 0.0};
        }
        return {.amps = a * (volts / b), .siemens = a / b};
    case Law::constant_power:
        if (std::abs(volts) >= b) {
            const double amps = a / volts;
            return {.amps = amps, .siemens = -amps / volts};
        }
        return {.amps = (a / b) * (volts / b), .siemens = (a / b) / b};
    case Law::lamp:
        return lamp_current(a, b, c, volts);
    case Law::diode:
        return diode_current(a, b, volts);
    }
    return {};
}

/// A conductance too small to matter that keeps the matrix regular where a law is flat: at its
/// limit a source is a pure current source, and two equal current sinks in series leave the node
/// between free.
[[nodiscard]] inline double least_siemens(Law law, double a, double b) {
    switch (law) {
    case Law::limited_source:
        return 1e-9 * b;
    case Law::constant_current:
        return 1e-6 * a / b;
    case Law::constant_power:
        return 1e-6 * (a / b) / b;
    case Law::diode:
        return 1e-3 * a / b;
    case Law::conductance:
    case Law::source:
    case Law::lamp:
        break;
    }
    return 0.0;
}

/// What a law with this slope adds to the matrix of Newton's method.
[[nodiscard]] inline double matrix_siemens(Law law, double a, double b, double slope) {
    return law == Law::constant_power ? slope : std::max(slope, least_siemens(law, a, b));
}

} // namespace loomwright::solve
