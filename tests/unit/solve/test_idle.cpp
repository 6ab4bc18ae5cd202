// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Which branches can carry a current, and what stands in a chain: against blocks by Boost.Graph,
// and against Ohm's and Kirchhoff's laws by hand.

#include "solve/chains.hpp"
#include "solve/idle_branches.hpp"

#include "dice.hpp"
#include "support.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/biconnected_components.hpp>

#include <map>
#include <set>

using namespace loomwright::solve;
using namespace loomwright::solve::testing;

namespace {

/// Each branch halved by a node of its own, so that none stands beside another; the blocks of that
/// by Boost.
std::vector<std::uint8_t> idle_by_boost(const Circuit& circuit, const std::vector<Role>& roles) {
    using Graph =
        boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                              boost::property<boost::edge_index_t, std::size_t>>;
    const auto nodes = static_cast<std::size_t>(circuit.node_count);
    Graph graph(nodes + circuit.branch_count());
    std::vector<std::size_t> branch_of_edge;
    for (std::size_t k = 0; k < circuit.branch_count(); ++k) {
        if (roles[k] != Role::absent) {
            for (const Index end : {circuit.from[k], circuit.to[k]}) {
                boost::add_edge(static_cast<std::size_t>(end), nodes + k, branch_of_edge.size(),
                                graph);
                branch_of_edge.push_back(k);
            }
        }
    }
    std::vector<std::size_t> block(branch_of_edge.size());
    boost::biconnected_components(graph, boost::make_iterator_property_map(
                                             block.begin(), boost::get(boost::edge_index, graph)));
    std::set<std::size_t> live;
    for (std::size_t edge = 0; edge < block.size(); ++edge) {
        if (roles[branch_of_edge[edge]] == Role::source) {
            live.insert(block[edge]);
        }
    }
    std::vector<std::uint8_t> out(circuit.branch_count(), 0);
    for (std::size_t edge = 0; edge < block.size(); ++edge) {
        const std::size_t k = branch_of_edge[edge];
        out[k] = static_cast<std::uint8_t>(roles[k] != Role::source && !live.contains(block[edge]));
    }
    return out;
}

} // namespace

TEST_CASE("branches without a current are those whose block has no source") {
    int idle = 0;
    int live = 0;
    for (std::uint64_t seed = 1; seed <= 400; ++seed) {
        CAPTURE(seed);
        Dice dice(seed);
        Circuit circuit;
        circuit.node_count = 2 + dice.below(12);
        std::vector<Role> roles;
        const Index count = 1 + dice.below(2 * circuit.node_count);
        for (Index k = 0; k < count; ++k) {
            const Index from = dice.below(circuit.node_count);
            Index to = dice.below(circuit.node_count - 1);
            to += to >= from ? 1 : 0;
            circuit.add(Law::conductance, from, to, 1.0);
            roles.push_back(dice.chance(0.15)  ? Role::source
                            : dice.chance(0.1) ? Role::absent
                                               : Role::joins);
        }
        const std::vector<std::uint8_t> found = idle_branches(circuit, roles);
        CHECK(found == idle_by_boost(circuit, roles));
        for (std::size_t k = 0; k < found.size(); ++k) {
            (found[k] != 0 ? idle : live) += 1;
        }
    }
    CHECK(idle > 500);
    CHECK(live > 500);
}

TEST_CASE("what hangs behind an open contact stands at the voltage of where it hangs, without a "
          "current") {
    // A battery and a lamp of 10 ohm; from the lamp's plus a lead goes off to two loads side by
    // side that have no way home; from the ground another pair whose feed is open.
    Circuit circuit;
    circuit.node_count = 7;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 10.0);     // 0.1 ohm inside
    circuit.add(Law::conductance, 1, 2, 1.0 / 1.9); // 1.9 ohm
    circuit.add(Law::conductance, 2, 0, 0.1);       // 10 ohm: I = 12 / 12 = 1 A
    circuit.add(Law::conductance, 2, 3, 5.0);       // the lead off
    circuit.add(Law::lamp, 3, 4, 2.0, 12.0, 10.0);
    circuit.add(Law::constant_power, 3, 4, 21.0, 6.0);
    circuit.add(Law::conductance, 0, 5, 5.0);
    circuit.add(Law::constant_current, 6, 5, 2.0, 3.0);
    circuit.add(Law::diode, 5, 6, 1e-9, 0.05);
    const OperatingPoint point = solved(circuit);
    CHECK(volts_at(point, 2) == doctest::Approx(10.0).epsilon(1e-14));
    CHECK(amps_of(point, 1) == doctest::Approx(1.0).epsilon(1e-14));
    for (const std::size_t branch : {3U, 4U, 5U, 6U, 7U, 8U}) {
        CHECK(amps_of(point, branch) == 0.0);
    }
    CHECK(between(point, 3, 2) == 0.0);
    CHECK(between(point, 4, 2) == 0.0);
    CHECK(between(point, 5, 0) == 0.0);
    CHECK(between(point, 6, 0) == 0.0);
    CHECK(point.floating == std::vector<std::uint8_t>(7, 0));
}

TEST_CASE(
    "two batteries joined by one wire stand at one voltage there, and neither feeds the other") {
    Circuit circuit;
    circuit.node_count = 5;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 1.0);
    circuit.add(Law::conductance, 1, 0, 1.0); // 6 V at node 1
    circuit.add(Law::conductance, 1, 2, 3.0); // the wire
    circuit.add(Law::source, 3, 2, 6.0, 1.0);
    circuit.add(Law::conductance, 3, 4, 2.0);
    circuit.add(Law::conductance, 4, 2, 2.0); // 3 V from 2 to 3
    const OperatingPoint point = solved(circuit);
    CHECK(amps_of(point, 2) == 0.0);
    CHECK(volts_at(point, 1) == doctest::Approx(6.0).epsilon(1e-14));
    CHECK(volts_at(point, 2) == volts_at(point, 1));
    CHECK(volts_at(point, 3) == doctest::Approx(9.0).epsilon(1e-14));
    CHECK(volts_at(point, 4) == doctest::Approx(7.5).epsilon(1e-14));
}

TEST_CASE("in a chain of micro-ohms and mega-ohms each drop is I R to the last digits") {
    // 1 uohm to 1 Mohm, some of them turned round, in a row from the battery and back to it.
    const std::vector<double> ohm = {1e-3, 1e6, 1e-6, 47.0, 2e-2, 1e-5, 3e3};
    for (std::size_t turned = 0; turned < (1U << ohm.size()); turned += 13) {
        Circuit circuit;
        circuit.node_count = static_cast<Index>(ohm.size()) + 1;
        circuit.reference = static_cast<Index>(ohm.size());
        circuit.add(Law::source, 0, circuit.reference, 12.0, 100.0);
        double sum = 1.0 / 100.0;
        for (std::size_t k = 0; k < ohm.size(); ++k) {
            const auto near = static_cast<Index>(k);
            const bool is_turned = (turned >> k & 1U) != 0;
            circuit.add(Law::conductance, is_turned ? near + 1 : near, is_turned ? near : near + 1,
                        1.0 / ohm[k]);
            sum += ohm[k];
        }
        const OperatingPoint point = solved(circuit);
        const double amps = 12.0 / sum;
        for (std::size_t k = 0; k < ohm.size(); ++k) {
            CAPTURE(k);
            const auto near = static_cast<Index>(k);
            const double sign = (turned >> k & 1U) != 0 ? -1.0 : 1.0;
            CHECK(amps_of(point, k + 1) == doctest::Approx(sign * amps).epsilon(1e-13));
            CHECK(between(point, near, near + 1) == doctest::Approx(amps * ohm[k]).epsilon(1e-12));
        }
    }
}

TEST_CASE("chains end at a third branch, at what is no conductance and at the reference") {
    // 0 -a- 1 -b- 2 -c- 3, a stub at 2 that is live through a second loop, a lamp from 3 to 0.
    Circuit circuit;
    circuit.node_count = 5;
    circuit.add(Law::conductance, 0, 1, 1.0); // a
    circuit.add(Law::conductance, 2, 1, 1.0); // b, turned
    circuit.add(Law::conductance, 2, 3, 1.0); // c
    circuit.add(Law::lamp, 3, 0, 1.0, 12.0, 10.0);
    circuit.add(Law::conductance, 2, 4, 1.0); // d
    circuit.add(Law::conductance, 4, 0, 1.0); // e
    const std::vector<Index> all = {0, 1, 2, 3, 4, 5};
    const std::vector<std::uint8_t> is_linear = {1, 1, 1, 0, 1, 1};
    Joints joints{{0, 1, 2, 3, 4}, {1, 0, 0, 0, 0}};
    const auto listed = [&](const std::vector<Index>& branches) {
        const Chains chains = find_chains(circuit, branches, is_linear, joints);
        std::string out;
        for (std::size_t k = 0; k + 1 < chains.start.size(); ++k) {
            for (Index link = chains.start[k]; link < chains.start[k + 1]; ++link) {
                const Link& here = chains.links[static_cast<std::size_t>(link)];
                out += (here.is_turned ? "-" : "+") + std::to_string(here.branch);
            }
            out += " ";
        }
        return out;
    };
    CHECK(listed(all) == "+0-1 +2 +3 +4+5 ");
    CHECK(listed({0, 1, 2, 3}) == "+0-1+2 +3 "); // without the second loop node 2 is no end
    CHECK(listed({2, 1, 0, 3}) == "+0-1+2 +3 "); // whichever comes first
    CHECK(listed({1, 2, 0, 3}) == "-2+1-0 +3 "); // but the first lies in its own direction
    joints.is_end[1] = 1;
    CHECK(listed(all) == "+0 +1 +2 +3 +4+5 ");
    joints = {{0, 1, 2, 3, 2}, {1, 0, 0, 0, 0}}; // 4 is at one voltage with 2
    CHECK(listed({0, 1, 3, 5}) == "+0-1+5 +3 ");
}
