// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/dominators.hpp"
#include "study/car.hpp"

using namespace loomwright;
using loomwright::testing::Car;

TEST_CASE("the nearest fuse upstream protects, feeds stop at loads, ground wires are not fed") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    const DeviceId main = car.fuse("F1", 30.0);
    const DeviceId small = car.fuse("F2", 10.0);
    car.push("S1");
    car.heater("E1", 5.0, 13.5);
    car.ground("GND1");
    const WireId bare = car.wire("G1.+", "F1.in");
    const WireId trunk = car.wire("F1.out", "F2.in");
    const WireId to_switch = car.wire("F2.out", "S1.1");
    const WireId to_load = car.wire("S1.2", "E1.+");
    const WireId back = car.wire("E1.-", "GND1");
    const WireId battery_ground = car.wire("G1.-", "GND1");
    const Network network = build_network(car.vehicle);
    const ProtectionZones zones = protection_zones(car.vehicle, network, {});
    CHECK(zones.is_fed == std::vector<std::uint8_t>{1, 1, 1, 1, 0, 0});
    CHECK_FALSE(zones.of_wire[bare.index()].is_valid());
    CHECK(zones.of_wire[trunk.index()] == main);
    CHECK(zones.of_wire[to_switch.index()] == small);
    CHECK(zones.of_wire[to_load.index()] == small);
    CHECK_FALSE(zones.of_wire[back.index()].is_valid());
    CHECK_FALSE(zones.of_wire[battery_ground.index()].is_valid());
    CHECK(zones.of_device[small.index()] == std::vector<WireId>{to_switch, to_load});

    std::vector<std::uint8_t> closed(network.branches.size(), 1);
    for (std::size_t i = 0; i < closed.size(); ++i) {
        closed[i] = network.branches[i].kind == BranchKind::contact ? 0 : 1;
    }
    const ProtectionZones open = protection_zones(car.vehicle, network, closed);
    CHECK(open.is_fed == std::vector<std::uint8_t>{1, 1, 1, 0, 0, 0});
}

TEST_CASE("a wire that two fuses feed hangs on neither") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    car.fuse("F1", 10.0);
    car.fuse("F2", 10.0);
    car.splice("SP1");
    car.heater("E1", 5.0, 13.5);
    car.wire("G1.+", "F1.in");
    car.wire("G1.+", "F2.in");
    car.wire("F1.out", "SP1");
    car.wire("F2.out", "SP1");
    const WireId common = car.wire("SP1", "E1.+");
    const ProtectionZones zones = protection_zones(car.vehicle, build_network(car.vehicle), {});
    CHECK(zones.is_fed[common.index()] == 1);
    CHECK_FALSE(zones.of_wire[common.index()].is_valid());
}

TEST_CASE("a wire between battery and alternator is reached from both ends") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    car.alternator("G2", 90.0, 50.0, 14.2);
    car.fuse("F1", 100.0);
    car.wire("G1.+", "F1.in");
    const WireId far = car.wire("F1.out", "G2.B+");
    const ProtectionZones zones = protection_zones(car.vehicle, build_network(car.vehicle), {});
    CHECK_FALSE(zones.of_wire[far.index()].is_valid());
}

TEST_CASE("a ground-side switch, all contacts closed, does not feed the metal's wires") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    const DeviceId fuse = car.fuse("F1", 10.0);
    car.ground("GND1");
    Switch park;
    park.positions.push_back({.name = "parked", .closed = {{.from = 1, .to = 2}}});
    park.positions.push_back({.name = "sweeping", .closed = {{.from = 0, .to = 1}}});
    car.device("S1", {"53a", "31b", "31"}, park);
    car.wire("G1.+", "F1.in");
    const WireId feed = car.wire("F1.out", "S1.53a");
    const WireId ground = car.wire("S1.31", "GND1");
    const ProtectionZones zones = protection_zones(car.vehicle, build_network(car.vehicle), {});
    CHECK(zones.of_wire[feed.index()] == fuse);
    CHECK(zones.is_fed[ground.index()] == 0);
}

TEST_CASE("immediate dominators of the example of Lengauer and Tarjan") {
    // T. Lengauer and R. E. Tarjan, "A fast algorithm for finding dominators in a flowgraph", ACM
    // TOPLAS 1 (1979), the flow graph and dominator tree of its first two figures (from memory).
    // r a b c d e f g h i j k l = 0 .. 12
    const std::vector<std::pair<int, int>> edges{
        {0, 1}, {0, 2},  {0, 3},  {1, 4},  {2, 1},  {2, 4},  {2, 5},
        {3, 6}, {3, 7},  {4, 12}, {5, 8},  {6, 9},  {7, 9},  {7, 10},
        {8, 5}, {8, 11}, {9, 11}, {10, 9}, {11, 9}, {11, 0}, {12, 8}};
    CHECK(immediate_dominators(13, edges, 0) ==
          std::vector<int>{-1, 0, 0, 0, 0, 0, 3, 3, 0, 0, 7, 0, 4});
}

TEST_CASE("an edge from where the root does not lead hides no dominator") {
    // 0 > 1 > 2, and 3 > 2 with nothing that leads to 3: every way from 0 to 2 passes 1.
    CHECK(immediate_dominators(4, {{0, 1}, {1, 2}, {3, 2}}, 0) == std::vector<int>{-1, 0, 1, -1});
}

TEST_CASE("what the root does not reach has no dominator") {
    CHECK(immediate_dominators(4, {{0, 1}, {2, 3}, {3, 1}}, 0) == std::vector<int>{-1, 0, -1, -1});
}
