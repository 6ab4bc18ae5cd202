// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Ways along the current on networks that are drawn here: each node's currents add up to nothing.
#include "study/currents.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

namespace loomwright {
namespace {

/// A network of numbered nodes, a branch after the other with its current.
struct DrawnNetwork {
    Network network;
    std::vector<double> amps;

    explicit DrawnNetwork(int nodes) {
        for (int i = 0; i < nodes; ++i) {
            network.node_names.push_back("n" + std::to_string(i));
        }
    }
    int add(BranchKind kind, int from, int to, double current) {
        network.branches.push_back({.kind = kind, .from = from, .to = to});
        amps.push_back(current);
        return static_cast<int>(amps.size()) - 1;
    }
    /// That delivers: from its minus to its plus through itself.
    int source(int plus, int minus, double current) {
        return add(BranchKind::battery, plus, minus, -current);
    }
    int wire(int from, int to, double current) { return add(BranchKind::wire, from, to, current); }
};

using Ways = std::vector<int>;

} // namespace

TEST_CASE("the way of a current goes up to its source and down to that source's minus") {
    DrawnNetwork drawn(6);
    const int source = drawn.source(0, 5, 10.0);
    const int feed = drawn.wire(0, 1, 10.0);
    const int large = drawn.wire(1, 2, 6.0);
    const int small = drawn.wire(3, 1, -4.0); // drawn against its current
    const int large_back = drawn.wire(2, 4, 6.0);
    const int small_back = drawn.wire(3, 4, 4.0);
    const int home = drawn.wire(4, 5, 10.0);
    Currents currents(drawn.network, drawn.amps);
    CHECK(currents.start(small) == 1);
    CHECK(currents.end(small) == 3);
    CHECK(currents.start(large) == 1);
    CHECK(currents.end(source) == 0);
    const Way up = currents.follow_up(4); // the larger of the two that arrive
    CHECK(up.branches == Ways{large_back, large, feed});
    CHECK(up.source == source);
    const Way down = currents.follow_down(1, source);
    CHECK(down.branches == Ways{large, large_back, home});
    CHECK(down.source == source);
    CHECK(currents.follow_down(5, source).branches.empty());
    CHECK(way_through(drawn.network, drawn.amps, {}, small) == Ways{feed, small, small_back, home});
    // a nanoampere is nothing, two are not
    drawn.amps.assign(drawn.amps.size(), 2e-9);
    drawn.amps[0] = -2e-9;
    CHECK(way_through(drawn.network, drawn.amps, {}, feed).size() > 1);
    drawn.amps.assign(drawn.amps.size(), 1e-9);
    CHECK(way_through(drawn.network, drawn.amps, {}, feed).empty());
}

TEST_CASE("where the largest current goes home to another source, the widest way is taken") {
    // Two sources share the node 2. The first's 5 A come home over 2-3-1 (2.5 A all the way) and
    // 2-4 (2.5 A), which parts into 4-1 (1 A) and 4-5-1 (1.5 A); the other's 9 A go 2-7.
    DrawnNetwork drawn(8);
    const int first = drawn.source(0, 1, 5.0);
    const int other = drawn.source(6, 7, 9.0);
    const int load = drawn.wire(0, 2, 5.0);
    drawn.wire(6, 2, 9.0);
    const int to_other = drawn.wire(2, 7, 9.0);
    const int to_3 = drawn.wire(2, 3, 2.5);
    const int from_3 = drawn.wire(3, 1, 2.5);
    drawn.wire(2, 4, 2.5);
    drawn.wire(4, 1, 1.0);
    drawn.wire(4, 5, 1.5);
    drawn.wire(5, 1, 1.5);
    Currents currents(drawn.network, drawn.amps);
    const Way down = currents.follow_down(2, first);
    CHECK(down.branches == Ways{to_3, from_3});
    CHECK(down.source == first);
    CHECK(currents.follow_down(2, other).branches == Ways{to_other});
    CHECK(way_through(drawn.network, drawn.amps, {}, load) == Ways{load, to_3, from_3});
    // asked again it is the same; a node from which nothing comes home keeps the largest current
    CHECK(currents.follow_down(2, first).branches == Ways{to_3, from_3});
    const Way none = currents.follow_down(7, first);
    CHECK(none.branches.empty());
    CHECK(none.source == other);
}

TEST_CASE("a way that comes home along the largest currents is kept, though another is wider") {
    // 6 A leave by 1-2 and part into 3.5 A and 2.5 A; 4 A go by 1-5 all the way
    DrawnNetwork drawn(6);
    const int source = drawn.source(0, 4, 10.0);
    drawn.wire(0, 1, 10.0);
    const int wide = drawn.wire(1, 2, 6.0);
    const int half = drawn.wire(2, 4, 3.5);
    drawn.wire(2, 3, 2.5);
    drawn.wire(3, 4, 2.5);
    drawn.wire(1, 5, 4.0);
    drawn.wire(5, 4, 4.0);
    Currents currents(drawn.network, drawn.amps);
    CHECK(currents.follow_down(1, source).branches == Ways{wide, half});
}

TEST_CASE("a motor that is turned is a source, and stands first on its way") {
    DrawnNetwork drawn(4);
    const int motor = drawn.add(BranchKind::load, 0, 3, -2.0); // it gives 2 A
    const int wire = drawn.wire(0, 1, 2.0);
    const int load = drawn.add(BranchKind::load, 1, 2, 2.0);
    const int home = drawn.wire(2, 3, 2.0);
    const std::vector<int> turned{motor};
    CHECK(way_through(drawn.network, drawn.amps, turned, load) == Ways{motor, wire, load, home});
    Currents currents(drawn.network, drawn.amps, turned);
    CHECK(currents.follow_up(1).source == motor);
    drawn.network.device_branches = {{wire, motor}, {load, home}};
    CHECK(turned_branches(drawn.network, Turning{.device = DeviceId(0)}) == turned);
    State state;
    state.turning = {{.device = DeviceId(0)}, {.device = DeviceId(1)}};
    CHECK(turned_branches(drawn.network, &state) == Ways{motor, load});
    CHECK(turned_branches(drawn.network, static_cast<const State*>(nullptr)).empty());
}

} // namespace loomwright
