// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What is true of every circuit: the order of writing does not matter, a solver that has seen other
// circuits answers as a new one, more copper never feeds a load worse, units scale.

#include "dice.hpp"
#include "random_network.hpp"
#include "support.hpp"

#include <numeric>
#include <vector>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

constexpr std::uint64_t circuits = 150;

/// Networks of at most a few hundred wires: what is true does not hang on size.
Circuit network(std::uint64_t seed) {
    return random_network(seed, 5 + static_cast<int>(seed * 7 % 400));
}

/// A random circuit that has an answer.
bool draw(std::uint64_t seed, Circuit& circuit, OperatingPoint& point) {
    circuit = network(seed);
    Solver solver;
    point = solver.solve(circuit);
    if (point.status == Status::no_solution) {
        CHECK(point.worst_branch >= 0); // a true collapse, not a failure to converge
        return false;
    }
    REQUIRE(point.status == Status::solved);
    return true;
}

/// No load of constant power has dropped out.
bool has_all(const Circuit& circuit, const OperatingPoint& point) {
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        const double volts = between(point, circuit.from[k], circuit.to[k]);
        if (circuit.law[k] == Law::constant_power && std::abs(volts) < circuit.b[k]) {
            return false;
        }
    }
    return true;
}

void check_same(const OperatingPoint& a, const OperatingPoint& b,
                const std::vector<Index>& node_of) {
    for (std::size_t node = 0; node < a.volts.size(); ++node) {
        const double other = b.volts[static_cast<std::size_t>(node_of[node])];
        REQUIRE(std::abs(a.volts[node] - other) <= 1e-10 * std::max(1.0, std::abs(other)));
    }
}

} // namespace

TEST_CASE("random circuits balance by every count") {
    int answered = 0;
    for (std::uint64_t seed = 1; seed <= circuits; ++seed) {
        CAPTURE(seed);
        Circuit circuit;
        OperatingPoint point;
        if (draw(seed, circuit, point)) {
            ++answered;
            check_balance(circuit, point);
            check_laws(circuit, point);
            CHECK(point.iterations <= 30);
        }
    }
    CHECK(answered > 100);
}

TEST_CASE("the order of branches and the numbers of nodes do not matter") {
    for (std::uint64_t seed = 1; seed <= circuits; ++seed) {
        CAPTURE(seed);
        Circuit circuit;
        OperatingPoint point;
        if (!draw(seed, circuit, point) || circuit.reference < 0) {
            continue; // without a reference voltages count from the first source's minus
        }
        Dice dice(seed + 99);
        const auto shuffle = [&dice](std::size_t count) {
            std::vector<Index> order(count);
            std::iota(order.begin(), order.end(), 0);
            for (std::size_t k = count; k > 1; --k) {
                std::swap(order[k - 1],
                          order[static_cast<std::size_t>(dice.below(static_cast<Index>(k)))]);
            }
            return order;
        };
        const std::vector<Index> node_of = shuffle(static_cast<std::size_t>(circuit.node_count));
        const auto renamed = [&](Index node) { return node_of[static_cast<std::size_t>(node)]; };
        Circuit other;
        other.node_count = circuit.node_count;
        other.reference = renamed(circuit.reference);
        for (const Index branch : shuffle(circuit.branch_count())) {
            const auto k = static_cast<std::size_t>(branch);
            other.add(circuit.law[k], renamed(circuit.from[k]), renamed(circuit.to[k]),
                      circuit.a[k], circuit.b[k], circuit.c[k]);
        }
        check_same(point, solved(other), node_of);
    }
}

TEST_CASE("one solver for many circuits answers as a new one for each, to the last bit") {
    Solver used;
    for (std::uint64_t seed = 1; seed <= circuits; ++seed) {
        const Circuit circuit = network(seed);
        Solver fresh;
        const OperatingPoint a = fresh.solve(circuit);
        const OperatingPoint b = used.solve(circuit);
        const OperatingPoint again = used.solve(circuit);
        CHECK(a.volts == b.volts);
        CHECK(a.volts_low == b.volts_low);
        CHECK(a.amps == b.amps);
        CHECK(b.amps == again.amps);
    }
}

TEST_CASE("a warm start ends where a cold one does") {
    for (std::uint64_t seed = 1; seed <= circuits; ++seed) {
        CAPTURE(seed);
        Circuit circuit;
        OperatingPoint point;
        if (!draw(seed, circuit, point)) {
            continue;
        }
        Solver solver;
        const OperatingPoint warm = solver.solve(circuit, point.volts);
        if (has_all(circuit, point)) { // else it is asked once more whether it had to be so
            CHECK(warm.iterations <= 3);
        }
        check_balance(circuit, warm);
        std::vector<Index> same(point.volts.size());
        std::iota(same.begin(), same.end(), 0);
        check_same(point, warm, same);
        std::vector<double> far(point.volts);
        Dice dice(seed);
        for (double& volts : far) {
            volts += dice.between(-6.0, 6.0);
        }
        const OperatingPoint other = solver.solve(circuit, far);
        REQUIRE(other.status == Status::solved);
        check_balance(circuit, other);
    }
}

TEST_CASE("thicker cable never raises the drop to the load it feeds") {
    // Rayleigh's monotonicity law for resistive networks: a greater conductance anywhere does not
    // raise the resistance between two points.
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        Dice dice(seed);
        Circuit circuit;
        circuit.node_count = 12;
        circuit.reference = 0;
        circuit.add(Law::source, 1, 0, 12.0, 500.0);
        for (Index node = 2; node < circuit.node_count; ++node) {
            circuit.add(Law::conductance, dice.below(node - 1) + 1, node,
                        dice.log_between(1.0, 1000.0));
        }
        for (int k = 0; k < 6; ++k) {
            circuit.add(Law::conductance, dice.below(12), dice.below(12),
                        dice.log_between(1.0, 1000.0));
        }
        const std::size_t cables = circuit.branch_count();
        circuit.add(Law::constant_current, 11, 0, 8.0, 1.0);
        const double before = volts_at(solved(circuit), 11);
        if (before < 1.0) {
            continue; // shorted to ground by a cross link: the load is below its knee
        }
        for (std::size_t k = 1; k < cables; ++k) {
            if (circuit.to[k] == 0 || circuit.from[k] == 0) {
                continue; // a leak to ground is no feed
            }
            Circuit thicker = circuit;
            thicker.a[k] *= dice.between(1.1, 10.0);
            // Against its source: thicker feeds may also feed leaks better, so compare the
            // resistance seen by the load, the drop for one ampere more.
            Circuit more = circuit;
            more.a.back() += 1.0;
            Circuit thicker_more = thicker;
            thicker_more.a.back() += 1.0;
            const double seen = before - volts_at(solved(more), 11);
            const double seen_thicker =
                volts_at(solved(thicker), 11) - volts_at(solved(thicker_more), 11);
            CHECK(seen_thicker <= seen * (1.0 + 1e-9));
        }
    }
}

TEST_CASE("all conductances and currents times a factor leave the voltages") {
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        CAPTURE(seed);
        Circuit circuit;
        OperatingPoint point;
        if (!draw(seed, circuit, point)) {
            continue;
        }
        for (const double factor : {1e-3, 1e3}) {
            Circuit scaled = circuit;
            for (std::size_t k = 0; k < scaled.branch_count(); ++k) {
                switch (scaled.law[k]) {
                case Law::source:
                    scaled.b[k] *= factor;
                    break;
                case Law::limited_source:
                    scaled.b[k] *= factor;
                    scaled.c[k] *= factor;
                    break;
                default:
                    scaled.a[k] *= factor;
                }
            }
            const OperatingPoint other = solved(scaled);
            std::vector<Index> same(point.volts.size());
            std::iota(same.begin(), same.end(), 0);
            check_same(point, other, same);
            CHECK(other.source_current_a ==
                  doctest::Approx(point.source_current_a * factor).epsilon(1e-9));
        }
    }
}
