// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/dominators.hpp"
#include "network/zones.hpp"
#include "study/car.hpp"

using namespace loomwright;
using loomwright::testing::Car;

namespace {

/// The zone of a source in the state that `closed` says.
SourceZone zone_of(const Vehicle& vehicle, const Network& network, DeviceId source,
                   const std::vector<std::uint8_t>& closed = {}) {
    for (SourceZone& zone : source_zones(vehicle, network, closed)) {
        if (zone.source == source) {
            return zone;
        }
    }
    FAIL("the source has no zone");
    return {};
}

struct Stand {
    bool is_fed = false;
    bool is_bare = false;
    std::vector<DeviceId> guards;
    friend bool operator==(const Stand&, const Stand&) = default;
};

Stand stand_of(const Network& network, const SourceZone& zone, WireId wire) {
    const int branch = network.wire_branch[wire.index()];
    const FedBranch* const fed = zone.find(branch);
    return {fed != nullptr, fed != nullptr && fed->is_bare, zone.guards(branch)};
}

} // namespace

TEST_CASE("fuses guard what lies behind them, feeds stop at loads, ground wires are not fed") {
    Car car;
    const DeviceId battery = car.battery("G1", 60.0, 600.0);
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
    const SourceZone zone = zone_of(car.vehicle, network, battery);
    CHECK(stand_of(network, zone, bare) == Stand{true, true, {}});
    CHECK(stand_of(network, zone, trunk) == Stand{true, false, {main}});
    CHECK(stand_of(network, zone, to_switch) == Stand{true, false, {small, main}});
    CHECK(stand_of(network, zone, to_load) == Stand{true, false, {small, main}});
    CHECK(stand_of(network, zone, back) == Stand{});
    CHECK(stand_of(network, zone, battery_ground) == Stand{});
    REQUIRE(zone.devices.size() == 2);
    CHECK(zone.find(small)->before == main);
    CHECK_FALSE(zone.find(main)->before.is_valid());

    std::vector<std::uint8_t> closed(network.branches.size(), 1);
    for (std::size_t i = 0; i < closed.size(); ++i) {
        closed[i] = network.branches[i].kind == BranchKind::contact ? 0 : 1;
    }
    const SourceZone open = zone_of(car.vehicle, network, battery, closed);
    CHECK(stand_of(network, open, to_switch).is_fed);
    CHECK(stand_of(network, open, to_load) == Stand{});
}

TEST_CASE("a wire that two fuses feed hangs on neither alone, and is not bare") {
    Car car;
    const DeviceId battery = car.battery("G1", 60.0, 600.0);
    const DeviceId main = car.fuse("F0", 30.0);
    car.fuse("F1", 10.0);
    car.fuse("F2", 10.0);
    car.splice("SP1");
    car.splice("SP0");
    car.heater("E1", 5.0, 13.5);
    car.wire("G1.+", "F0.in");
    car.wire("F0.out", "SP0");
    car.wire("SP0", "F1.in");
    car.wire("SP0", "F2.in");
    car.wire("F1.out", "SP1");
    car.wire("F2.out", "SP1");
    const WireId common = car.wire("SP1", "E1.+");
    const Network network = build_network(car.vehicle);
    CHECK(stand_of(network, zone_of(car.vehicle, network, battery), common) ==
          Stand{true, false, {main}});
}

TEST_CASE("each source has its own view of a wire between two of them") {
    Car car;
    const DeviceId battery = car.battery("G1", 60.0, 600.0);
    const DeviceId alternator = car.alternator("G2", 90.0, 50.0, 14.2);
    const DeviceId fuse = car.fuse("F1", 100.0);
    const WireId near = car.wire("G1.+", "F1.in");
    const WireId far = car.wire("F1.out", "G2.B+");
    const Network network = build_network(car.vehicle);
    const SourceZone from_battery = zone_of(car.vehicle, network, battery);
    const SourceZone from_alternator = zone_of(car.vehicle, network, alternator);
    CHECK(stand_of(network, from_battery, near) == Stand{true, true, {}});
    CHECK(stand_of(network, from_battery, far) == Stand{true, false, {fuse}});
    CHECK(stand_of(network, from_alternator, near) == Stand{true, false, {fuse}});
    CHECK(stand_of(network, from_alternator, far) == Stand{true, true, {}});
}

TEST_CASE("a diode lets a feed pass one way, the other way with the plus on the metal") {
    for (const bool is_plus_grounded : {false, true}) {
        CAPTURE(is_plus_grounded);
        Car car;
        const DeviceId battery = car.battery("G1", 60.0, 600.0);
        const DeviceId fuse = car.fuse("F1", 10.0);
        car.device("D1", {"a", "k"}, Diode{});
        car.heater("E1", 5.0, 13.5);
        car.ground("GND1");
        car.wire(is_plus_grounded ? "G1.-" : "G1.+", "F1.in");
        car.wire(is_plus_grounded ? "G1.+" : "G1.-", "GND1");
        const WireId to_anode = car.wire("F1.out", "D1.a");
        const WireId to_load = car.wire("D1.k", "E1.+");
        const Network network = build_network(car.vehicle);
        const SourceZone zone = zone_of(car.vehicle, network, battery);
        CHECK(stand_of(network, zone, to_anode) == Stand{true, false, {fuse}});
        CHECK(stand_of(network, zone, to_load) ==
              (is_plus_grounded ? Stand{} : Stand{true, false, {fuse}}));
    }
}

TEST_CASE(
    "a source with both posts on the metal is a short and feeds nothing, its neighbour does") {
    Car car;
    const DeviceId shorted = car.battery("G1", 60.0, 600.0);
    const DeviceId whole = car.battery("G2", 60.0, 600.0);
    car.fuse("F1", 10.0);
    const DeviceId fuse = car.fuse("F2", 10.0);
    car.heater("E1", 5.0, 13.5);
    car.heater("E2", 5.0, 13.5);
    car.ground("GND1");
    car.ground("GND2");
    car.wire("G1.+", "GND2"); // a plus lead on the body
    car.wire("G1.-", "GND1");
    car.wire("G1.+", "F1.in");
    const WireId to_first = car.wire("F1.out", "E1.+");
    car.wire("E1.-", "GND1");
    car.wire("G2.-", "GND1");
    const WireId bare = car.wire("G2.+", "F2.in");
    const WireId to_second = car.wire("F2.out", "E2.+");
    car.wire("E2.-", "GND1");
    const Network network = build_network(car.vehicle);
    const SourceZone none = zone_of(car.vehicle, network, shorted);
    CHECK(none.branches.empty());
    CHECK(none.devices.empty());
    CHECK(stand_of(network, none, to_first) == Stand{});
    const SourceZone zone = zone_of(car.vehicle, network, whole);
    CHECK(stand_of(network, zone, bare) == Stand{true, true, {}});
    CHECK(stand_of(network, zone, to_second) == Stand{true, false, {fuse}});
    CHECK(stand_of(network, zone, to_first) == Stand{});
}

TEST_CASE("a ground-side switch, all contacts closed, does not feed the metal's wires") {
    Car car;
    const DeviceId battery = car.battery("G1", 60.0, 600.0);
    const DeviceId fuse = car.fuse("F1", 10.0);
    car.ground("GND1");
    Switch park;
    park.positions.push_back({.name = "parked", .closed = {{.from = 1, .to = 2}}});
    park.positions.push_back({.name = "sweeping", .closed = {{.from = 0, .to = 1}}});
    car.device("S1", {"53a", "31b", "31"}, park);
    car.wire("G1.+", "F1.in");
    const WireId feed = car.wire("F1.out", "S1.53a");
    const WireId ground = car.wire("S1.31", "GND1");
    const Network network = build_network(car.vehicle);
    const SourceZone zone = zone_of(car.vehicle, network, battery);
    CHECK(stand_of(network, zone, feed) == Stand{true, false, {fuse}});
    CHECK(stand_of(network, zone, ground) == Stand{});
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

TEST_CASE("an edge from where the root does not lead is no way around a dominator") {
    // 0 > 1 > 2, and 3, which nothing leads to, > 2: every way from 0 to 2 passes 1.
    CHECK(immediate_dominators(4, {{0, 1}, {1, 2}, {3, 2}}, 0) == std::vector<int>{-1, 0, 1, -1});
}
