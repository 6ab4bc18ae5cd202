// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Every one of the thousand networks that ngspice is held against (compare_with_ngspice.py), from
// cold. None is drawn again: where there is no operating point, a load is named, and the comparison
// holds that against a sweep of the load's voltage.

#include "base/at.hpp"
#include "random_network.hpp"
#include "support.hpp"

#include <algorithm>
#include <array>
#include <numeric>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;
using loomwright::at;

namespace {

constexpr int most_steps = 400; ///< of one answer, with all that a dropped-out load makes necessary

/// Independent loops among what is fed: branches less the spanning trees.
int loops_of(const Circuit& circuit) {
    std::vector<Index> root(at(circuit.node_count));
    std::iota(root.begin(), root.end(), 0);
    const auto find = [&root](Index node) {
        while (root[at(node)] != node) {
            node = root[at(node)] = root[at(root[at(node)])];
        }
        return node;
    };
    int loops = 0;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (circuit.law[k] != Law::conductance || circuit.a[k] < 1.0) {
            continue; // cables only
        }
        const Index a = find(circuit.from[k]);
        const Index b = find(circuit.to[k]);
        loops += a == b ? 1 : 0;
        root[at(a)] = b;
    }
    return loops;
}

} // namespace

TEST_CASE("a thousand networks are solved from cold, or the load that collapses is named") {
    int collapses = 0;
    for (std::uint64_t seed = 1; seed <= network_count; ++seed) {
        CAPTURE(seed);
        const Circuit circuit = random_network(seed, wires_of(seed));
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        CHECK(point.iterations <= most_steps);
        if (point.status == Status::no_solution) {
            REQUIRE(point.worst_branch >= 0);
            CHECK(circuit.law[at(point.worst_branch)] == Law::constant_power);
            CHECK(point.worst_node == circuit.from[at(point.worst_branch)]);
            ++collapses;
            continue;
        }
        REQUIRE(point.status == Status::solved);
        check_balance(circuit, point);
        check_laws(circuit, point);
    }
    CHECK(collapses >= 5); // there are some
    CHECK(collapses <= 30);
}

TEST_CASE("the networks hold what they are said to hold") {
    std::array<int, 7> with_law{};
    int meshed = 0;
    int several_batteries = 0;
    int with_two_alternators = 0;
    int at_limit = 0;
    int below_limit = 0;
    int idle = 0;
    int floating = 0;
    for (std::uint64_t seed = 1; seed <= network_count; seed += 5) {
        const Circuit circuit = random_network(seed, wires_of(seed));
        std::array<int, 7> count{};
        for (const Law law : circuit.law) {
            ++count[static_cast<std::size_t>(law)];
        }
        for (std::size_t k = 0; k < count.size(); ++k) {
            with_law[k] += count[k] > 0 ? 1 : 0;
        }
        meshed += loops_of(circuit) >= 3 ? 1 : 0;
        several_batteries += count[static_cast<std::size_t>(Law::source)] >= 2 ? 1 : 0;
        with_two_alternators += count[static_cast<std::size_t>(Law::limited_source)] >= 2 ? 1 : 0;
        Solver solver;
        const OperatingPoint point = solver.solve(circuit);
        floating += std::ranges::count(point.floating, 1) > 0 ? 1 : 0;
        for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
            if (circuit.law[k] == Law::limited_source) {
                const double amps = -point.amps[k];
                (amps == 0.0 ? idle : amps < circuit.c[k] ? below_limit : at_limit) += 1;
            }
        }
    }
    for (const int networks : with_law) {
        CHECK(networks >= 60); // of 200
    }
    CHECK(meshed >= 80);
    CHECK(several_batteries >= 80);
    CHECK(with_two_alternators >= 20);
    CHECK(at_limit >= 20);
    CHECK(below_limit >= 20);
    CHECK(idle >= 10);
    CHECK(floating >= 20);
}
