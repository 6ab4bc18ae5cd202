// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

namespace loomwright::solve {

/// A voltage as an unevaluated sum: the drop of a heavy cable is the difference of two nearly equal
/// voltages.
struct SplitVolts {
    double high = 0.0;
    double low = 0.0;
};

/// (high_a + low_a) - (high_b + low_b), the rounding of the first difference kept (Knuth's
/// two-sum).
[[nodiscard]] inline SplitVolts difference(double high_a, double low_a, double high_b,
                                           double low_b) {
    const double high = high_a - high_b;
    const double part = high - high_a;
    const double error = (high_a - (high - part)) - (high_b + part);
    return {.high = high, .low = error + (low_a - low_b)};
}

} // namespace loomwright::solve
