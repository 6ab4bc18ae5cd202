// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <algorithm>
#include <cmath>

namespace loomwright::solve {

/// The root of an increasing function in [low, high], where it is negative at low and positive at
/// high, to about a nanokelvin: the secant method, a bisection wherever it would leave the bracket.
///
/// A secant step leaves e = C |x_new - x| |x_new - x_last|, C half the curvature over the slope.
/// For heat that goes with the n-th power of the rise above `low`, C = (n - 1) / (2 rise): with n
/// = 1.25 of still air an eighth of what is taken here, 1 / rise, and near runaway, where the slope
/// is small, a few times more.
template <typename Function>
double root_between(double low, double high, double guess, Function function) {
    constexpr int limit = 80;
    constexpr double tolerance_k = 1e-9;
    const double foot = low;
    double x = std::clamp(guess, low, high);
    const double nudge = 1e-5 * (1.0 + std::abs(x));
    double last_x = x + nudge;
    double last_value = function(last_x);
    for (int k = 0; k < limit; ++k) {
        const double value = function(x);
        (value < 0.0 ? low : high) = x;
        double next = x - value * (x - last_x) / (value - last_value);
        double leaves = std::abs((next - x) * (next - last_x)) / (next - foot);
        if (!(next > low && next < high)) {
            next = 0.5 * (low + high);
            leaves = std::abs(next - x);
        }
        last_x = x;
        last_value = value;
        x = next;
        if (leaves < tolerance_k || high - low < tolerance_k) {
            break;
        }
    }
    return x;
}

} // namespace loomwright::solve
