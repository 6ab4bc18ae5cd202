// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The tail of the chi-square distribution of n degrees of freedom, by its finite series:
//
//   n even:  Q = exp(-x/2) sum_{j=0}^{n/2-1} (x/2)^j / j!
//   n odd:   Q = erfc(sqrt(x/2)) + exp(-x/2) sum_{j=1}^{(n-1)/2} (x/2)^(j-1/2) / Gamma(j+1/2)
//
// M. Abramowitz, I. Stegun, Handbook of Mathematical Functions (1964), 26.4.4 and 26.4.5 (memory).
// Range: x >= 0, n up to some hundreds; terms are summed in logarithms, so that none overflows.
#include "study/chi_square.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {

double chi_square_beyond(double x, int degrees) {
    if (degrees <= 0 || !(x > 0.0)) {
        return 1.0;
    }
    const double half = x / 2.0;
    const bool is_odd = degrees % 2 != 0;
    double sum = is_odd ? std::erfc(std::sqrt(half)) : 0.0;
    // log of (x/2)^a / Gamma(a+1), a = 0, 1, ... or 1/2, 3/2, ...
    for (double a = is_odd ? 0.5 : 0.0; a < degrees / 2.0 - 0.75; a += 1.0) {
        sum += std::exp(a * std::log(half) - half - std::lgamma(a + 1.0));
    }
    return std::clamp(sum, 0.0, 1.0);
}

double largest_of(int count, double share) {
    const double each = share / std::max(count, 1);
    double low = 0.0;
    double high = 40.0;
    constexpr int halvings = 60;
    for (int i = 0; i < halvings; ++i) {
        const double middle = (low + high) / 2.0;
        (std::erfc(middle / std::sqrt(2.0)) > each ? low : high) = middle;
    }
    return high;
}

} // namespace loomwright
