// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Ladders of ten thousand rungs: an even one against its closed form, a random one of 1 uohm to 10
// Mohm against the continued fraction of its resistance, both in 50 decimal digits.

#include "extreme_network.hpp"
#include "support.hpp"

#include <boost/multiprecision/cpp_bin_float.hpp>

#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

using Wide = boost::multiprecision::number<boost::multiprecision::cpp_bin_float<50>,
                                           boost::multiprecision::et_off>;

constexpr Index rungs = 10'000;

/// Voltages of a ladder of `long_ladder`'s shape: seen from each rung the rest of the ladder is one
/// conductance, y_k = g_k + 1 / (r_k+1 + 1 / y_k+1); then the voltages, from the battery on.
std::vector<Wide> by_continued_fraction(const Circuit& circuit) {
    const std::size_t count = (circuit.branch_count() - 1) / 2;
    std::vector<Wide> rest(count);
    for (std::size_t k = count; k-- > 0;) {
        rest[k] = circuit.a[2 * k + 2];
        if (k + 1 < count) {
            rest[k] += 1 / (1 / Wide(circuit.a[2 * k + 3]) + 1 / rest[k + 1]);
        }
    }
    const Wide along = 1 / Wide(circuit.a[1]) + 1 / rest[0];
    std::vector<Wide> volts{0, Wide(circuit.a[0]) * along / (along + 1 / Wide(circuit.b[0]))};
    for (std::size_t k = 0; k < count; ++k) {
        const Wide siemens = circuit.a[2 * k + 1];
        volts.push_back(volts.back() * siemens / (siemens + rest[k]));
    }
    return volts;
}

/// Each voltage to 1e-12 of the emf: a double has 1e-16, and ten thousand rungs of a ladder may
/// each lose one bit of it in the same direction.
constexpr double volts_share = 1e-12;

} // namespace

TEST_CASE("extreme: a random ladder of ten thousand rungs, 1 uohm to 10 Mohm") {
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = long_ladder(seed, rungs);
        const OperatingPoint point = solved(circuit);
        const std::vector<Wide> expected = by_continued_fraction(circuit);
        for (Index node = 0; node < circuit.node_count; ++node) {
            const auto k = static_cast<std::size_t>(node);
            REQUIRE(std::abs(static_cast<double>(Wide(point.volts[k]) - expected[k])) <=
                    volts_share * 12.6);
            if (node >= 2) { // the drop of a rung's rail keeps its digits, down to a nano-volt
                const auto drop = static_cast<double>(expected[k - 1] - expected[k]);
                REQUIRE(std::abs(between(point, node - 1, node) - drop) <= 1e-9 * drop);
            }
        }
    }
}

TEST_CASE("extreme: an even ladder that is open at its end is a hyperbolic cosine") {
    // Along 10 mohm, across 10 kohm: V_k / V_0 = cosh((n - k + 1/2) m) / cosh((n + 1/2) m) with
    // cosh m = 1 + r g / 2, the solution of the ladder's difference equation V_k-1 + V_k+1 = 2 cosh
    // m V_k with no current beyond the last rung.
    using boost::multiprecision::cosh;
    using boost::multiprecision::log;
    using boost::multiprecision::sqrt;
    constexpr double rail_s = 100.0;
    constexpr double rung_s = 1e-4;
    Circuit circuit;
    circuit.node_count = rungs + 2;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1e6);
    for (Index k = 1; k <= rungs; ++k) {
        circuit.add(Law::conductance, k, k + 1, rail_s);
        circuit.add(Law::conductance, k + 1, 0, rung_s);
    }
    const OperatingPoint point = solved(circuit);
    const Wide half = Wide(rung_s) / Wide(rail_s) / 2;
    const Wide m = log(1 + half + sqrt(half * (half + 2)));
    const Wide head = point.volts[1];
    for (Index k = 0; k <= rungs; k += 97) {
        CAPTURE(k);
        const Wide expected =
            head * cosh((rungs - k + Wide(0.5)) * m) / cosh((rungs + Wide(0.5)) * m);
        CHECK(std::abs(volts_at(point, k + 1) - static_cast<double>(expected)) <=
              volts_share * 12.0);
    }
    // And its head: the battery's emf behind its resistance into the ladder's first rail.
    const Wide first = head * cosh((rungs - Wide(0.5)) * m) / cosh((rungs + Wide(0.5)) * m);
    const auto amps = static_cast<double>((head - first) * rail_s);
    CHECK(volts_at(point, 1) == doctest::Approx(12.0 - amps / 1e6).epsilon(1e-13));
}
