// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Resistances from 1 uohm to 10 Mohm, a thousand sources, loops that are nearly singular, islands:
// against dense solutions in 50 decimal digits (Boost.Multiprecision in Eigen's elimination with
// full pivoting), or, where the matrix is large, in long double.
//
// Tolerance: 1e-9 of the emf and of the current of the sources, which is what an answer promises
// (OperatingPoint::imbalance_a). The wide types add nothing to it: with ratios of 1e13 between
// conductances 50 digits leave 37, and long double, used without such ratios, 14.

#include "dense.hpp"
#include "extreme_network.hpp"

#include <boost/multiprecision/cpp_bin_float.hpp>
#include <boost/multiprecision/eigen.hpp>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

using Wide = boost::multiprecision::number<boost::multiprecision::cpp_bin_float<50>,
                                           boost::multiprecision::et_off>;

constexpr double promised = 1e-9;

/// Newton's method in 50 digits from our answer must not find anything to move by more than the
/// tolerance, and must have come to rest itself.
void check_wide(const Circuit& circuit, double emf) {
    const OperatingPoint point = solved(circuit);
    DenseVector<Wide> volts = dense<Wide>(circuit, our_volts<Wide>(circuit, point), 2);
    const DenseVector<Wide> again = dense<Wide>(circuit, volts, 1);
    REQUIRE(static_cast<double>((again - volts).cwiseAbs().maxCoeff()) <= 1e-18);
    check_dense<Wide>(circuit, point, again, promised, emf);
    for (Index node = 0; node < circuit.node_count; ++node) {
        CAPTURE(node);
        CHECK(std::abs(volts_at(point, node) - static_cast<double>(again(node))) <= promised * emf);
    }
}

} // namespace

TEST_CASE("extreme: 1 uohm to 10 Mohm with loads of every kind, in 50 digits") {
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        CAPTURE(seed);
        check_wide(wide_ratios(seed, 20), 14.3);
    }
}

TEST_CASE("extreme: rings of micro-ohms and micro-volts, joined by 10 Mohm, in 50 digits") {
    for (std::uint64_t seed = 1; seed <= 8; ++seed) {
        CAPTURE(seed);
        check_wide(tight_loops(seed, 4), 12.0);
    }
}

TEST_CASE(
    "extreme: cars that no metal joins, of the seed that ngspice is not asked, in 50 digits") {
    check_wide(many_islands(11, 60), 26.0);
}

TEST_CASE(
    "extreme: a car that draws hundreds of amperes beside one that 10 Mohm hold in its place") {
    // The second car hangs on two of the first's voltages by 10 Mohm each; what the first may be
    // out of balance by would move it by volts.
    Circuit circuit;
    circuit.node_count = 6;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.6, 200.0);
    circuit.add(Law::conductance, 1, 2, 1e6);
    circuit.add(Law::conductance, 2, 0, 100.0);
    circuit.add(Law::conductance, 2, 3, 1e-7);
    circuit.add(Law::conductance, 3, 0, 3e-7);
    circuit.add(Law::source, 4, 3, 24.0, 1e6);
    circuit.add(Law::conductance, 4, 5, 1e6);
    circuit.add(Law::conductance, 5, 3, 50.0);
    circuit.add(Law::constant_current, 5, 3, 400.0, 2.0);
    check_wide(circuit, 24.0);
    // Nothing of the second's 1,600 A passes the joints: a divider of 10 and 3.33 Mohm sets its
    // minus.
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 3) == doctest::Approx(0.25 * volts_at(point, 2)).epsilon(1e-9));
}

TEST_CASE("extreme: a thousand sources, in long double") {
    for (std::uint64_t seed = 1; seed <= 2; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = thousand_sources(seed);
        const OperatingPoint point = solved(circuit);
        const DenseVector<long double> volts =
            dense<long double>(circuit, our_volts<long double>(circuit, point), 1);
        check_dense<long double>(circuit, point, volts, promised, 14.6);
    }
}

TEST_CASE("extreme: islands, each as Ohm's law has it and none by another's leave") {
    const Circuit circuit = many_islands(1, 300);
    const OperatingPoint point = solved(circuit);
    std::size_t branch = 0;
    for (Index island = 0; island < 300; ++island) {
        CAPTURE(island);
        const Index minus = 4 * island;
        const auto floats = [&](Index node) {
            return point.floating[static_cast<std::size_t>(node)] != 0;
        };
        if (island % 3 ==
            2) { // no source: nothing says where it stands, unless it is the reference's
            CHECK(floats(minus + 1));
            CHECK(floats(minus + 3));
            CHECK(amps_of(point, branch) == 0.0);
            branch += 3;
            continue;
        }
        const long double emf = circuit.a[branch];
        CHECK_FALSE(floats(minus + 3));
        CHECK(volts_at(point, minus) == 0.0);
        if (island % 3 == 1) { // no load
            CHECK(volts_at(point, minus + 3) == circuit.a[branch]);
            // What the voltages, kept to 32 digits, leave of 50 V over a micro-ohm.
            CHECK(std::abs(amps_of(point, branch)) <= 1e-20);
            branch += 3;
            continue;
        }
        const long double ohm = 1.0L / circuit.b[branch] + 1.0L / circuit.a[branch + 1] +
                                1.0L / circuit.a[branch + 2] + 1.0L / circuit.a[branch + 3];
        const auto amps = static_cast<double>(emf / ohm);
        // Each island by its own current: the promise is of the sum of all, this is closer.
        CHECK(std::abs(amps_of(point, branch + 1) - amps) <= promised * amps);
        CHECK(std::abs(volts_at(point, minus + 3) - amps / circuit.a[branch + 3]) <=
              promised * circuit.a[branch]);
        branch += 4;
    }
    CHECK(branch == circuit.branch_count());
}
