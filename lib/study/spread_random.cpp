// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Random numbers by counter.
//
//   Philox-4x32-10: J. K. Salmon, M. A. Moraes, R. O. Dror, D. E. Shaw, "Parallel random numbers:
//   as easy as 1, 2, 3", SC11 (2011). Known-answer vectors of the authors are in the tests.
//   Normal quantile: M. J. Wichura, "Algorithm AS 241: the percentage points of the normal
//   distribution", Applied Statistics 37 (1988) 477-484, PPND16: relative error about 1e-16.
//
// A share is (k + 1/2) 2^-52 with k of 52 bits: never 0 or 1, symmetric, the quantile within
// 8.2 standard deviations. Mappings of the standard library differ from one to the next; these do
// not.
#include "study/spread_random.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr int rounds = 10;
constexpr std::uint64_t multiplier_0 = 0xD2511F53U;
constexpr std::uint64_t multiplier_1 = 0xCD9E8D57U;
constexpr std::uint32_t step_0 = 0x9E3779B9U;
constexpr std::uint32_t step_1 = 0xBB67AE85U;

/// A factor is kept above nothing: no resistance and no demand turns round.
constexpr double least_factor = 0.01;

std::uint32_t high(std::uint64_t word) {
    return static_cast<std::uint32_t>(word >> 32U);
}
std::uint32_t low(std::uint64_t word) {
    return static_cast<std::uint32_t>(word);
}

double share_of(std::uint32_t first, std::uint32_t second) {
    const std::uint64_t bits = (static_cast<std::uint64_t>(first) << 20U) | (second >> 12U);
    return (static_cast<double>(bits) + 0.5) * 0x1p-52;
}

/// Ratio of two polynomials, coefficients from the highest power down.
double ratio(const std::array<double, 8>& above, const std::array<double, 8>& below, double x) {
    double top = above[0];
    double bottom = below[0];
    for (std::size_t i = 1; i < above.size(); ++i) {
        top = top * x + above[i];
        bottom = bottom * x + below[i];
    }
    return top / bottom;
}

} // namespace

std::array<std::uint32_t, 4> philox_block(std::array<std::uint32_t, 4> counter,
                                          std::array<std::uint32_t, 2> key) {
    for (int round = 0; round < rounds; ++round) {
        const std::uint64_t product_0 = multiplier_0 * counter[0];
        const std::uint64_t product_1 = multiplier_1 * counter[2];
        counter = {high(product_1) ^ counter[1] ^ key[0], low(product_1),
                   high(product_0) ^ counter[3] ^ key[1], low(product_0)};
        key[0] += step_0;
        key[1] += step_1;
    }
    return counter;
}

double normal_quantile(double share) {
    constexpr double central = 0.425;
    const double q = share - 0.5;
    if (std::abs(q) <= central) {
        constexpr std::array<double, 8> above{2.5090809287301226727e3, 3.3430575583588128105e4,
                                              6.7265770927008700853e4, 4.5921953931549871457e4,
                                              1.3731693765509461125e4, 1.9715909503065514427e3,
                                              1.3314166789178437745e2, 3.3871328727963666080e0};
        constexpr std::array<double, 8> below{5.2264952788528545610e3, 2.8729085735721942674e4,
                                              3.9307895800092710610e4, 2.1213794301586595867e4,
                                              5.3941960214247511077e3, 6.8718700749205790830e2,
                                              4.2313330701600911252e1, 1.0};
        return q * ratio(above, below, central * central - q * q);
    }
    const double r = std::sqrt(-std::log(std::min(share, 1.0 - share)));
    constexpr double far = 5.0;
    double size = 0.0;
    if (r <= far) {
        constexpr std::array<double, 8> above{7.74545014278341407640e-4, 2.27238449892691845833e-2,
                                              2.41780725177450611770e-1, 1.27045825245236838258e0,
                                              3.64784832476320460504e0,  5.76949722146069140550e0,
                                              4.63033784615654529590e0,  1.42343711074968357734e0};
        constexpr std::array<double, 8> below{1.05075007164441684324e-9, 5.47593808499534494600e-4,
                                              1.51986665636164571966e-2, 1.48103976427480074590e-1,
                                              6.89767334985100004550e-1, 1.67638483018380384940e0,
                                              2.05319162663775882187e0,  1.0};
        size = ratio(above, below, r - 1.6);
    } else {
        constexpr std::array<double, 8> above{2.01033439929228813265e-7, 2.71155556874348757815e-5,
                                              1.24266094738807843860e-3, 2.65321895265761230930e-2,
                                              2.96560571828504891230e-1, 1.78482653991729133580e0,
                                              5.46378491116411436990e0,  6.65790464350110377720e0};
        constexpr std::array<double, 8> below{2.04426310338993978564e-15, 1.42151175831644588870e-7,
                                              1.84631831751005468180e-5,  7.86869131145613259100e-4,
                                              1.48753612908506148525e-2,  1.36929880922735805310e-1,
                                              5.99832206555887937690e-1,  1.0};
        size = ratio(above, below, r - far);
    }
    return q < 0.0 ? -size : size;
}

double Draws::share(std::uint32_t item) {
    const std::uint32_t block = item / 2;
    if (block != block_) {
        const auto bits =
            philox_block({block, 0, low(sample_), high(sample_)}, {low(seed_), high(seed_)});
        shares_ = {share_of(bits[0], bits[1]), share_of(bits[2], bits[3])};
        block_ = block;
    }
    return shares_[item % 2];
}

double Draws::draw(const Spread& spread, std::uint32_t item) {
    double value = 0.0;
    switch (spread.kind) {
    case SpreadKind::normal:
        value = spread.middle + spread.width * normal_quantile(share(item));
        break;
    case SpreadKind::uniform:
        value = spread.middle + spread.width * (2.0 * share(item) - 1.0);
        break;
    case SpreadKind::log_normal:
        // A width of 1 is no spread at all: exp(0) is exact.
        value = spread.middle * std::exp(std::log(spread.width) * normal_quantile(share(item)));
        break;
    }
    return spread.is_factor ? std::max(value, least_factor) : value;
}

} // namespace loomwright
