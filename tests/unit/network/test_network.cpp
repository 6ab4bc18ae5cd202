// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/car.hpp"

#include <algorithm>

using namespace loomwright;
using loomwright::testing::Car;

namespace {

std::vector<const Branch*> branches_of(const Network& network, DeviceId device) {
    std::vector<const Branch*> out;
    for (const int index : network.device_branches[device.index()]) {
        out.push_back(&network.branches[static_cast<std::size_t>(index)]);
    }
    return out;
}

const std::string& name(const Network& network, int node) {
    return network.node_names[static_cast<std::size_t>(node)];
}

const Branch& wire_branch(const Network& network, WireId wire) {
    return network.branches[static_cast<std::size_t>(network.wire_branch[wire.index()])];
}

} // namespace

TEST_CASE("a node is named by its terminal, a body of metal by itself") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    const DeviceId fuse = car.fuse("F1", 10.0);
    const DeviceId splice = car.splice("SP1");
    const WireId wire = car.wire("G1.+", "F1.in");
    const Network network = build_network(car.vehicle);
    CHECK(name(network, network.body_nodes[0]) == "chassis");
    CHECK(name(network, network.node({.device = fuse, .terminal = 1})) == "F1.out");
    CHECK(name(network, network.node({.device = splice, .terminal = 0})) == "SP1");
    const Branch& branch = wire_branch(network, wire);
    CHECK(name(network, branch.from) == "G1.+");
    CHECK(name(network, branch.to) == "F1.in");
    CHECK(branch.kind == BranchKind::wire);
}

TEST_CASE("voltages count from the chassis, from the body that is bonded, or from the battery") {
    SUBCASE("chassis") {
        Car car;
        car.battery("G1", 60.0, 600.0);
        car.ground("GND1", 1);
        car.ground("GND2", 0);
        const Network network = build_network(car.vehicle);
        CHECK(network.reference == network.body_nodes[0]);
    }
    SUBCASE("another body") {
        Car car;
        car.battery("G1", 60.0, 600.0);
        car.ground("GND1", 1);
        const Network network = build_network(car.vehicle);
        CHECK(network.reference == network.body_nodes[1]);
    }
    SUBCASE("none") {
        Car car;
        const DeviceId battery = car.battery("G1", 60.0, 600.0);
        const Network network = build_network(car.vehicle);
        CHECK(network.reference == network.node({.device = battery, .terminal = 1}));
    }
}

TEST_CASE("a relay has its contacts, its coil from 86 to 85, and its suppressor") {
    Car car;
    const DeviceId relay = car.relay("K1", 85.0, true);
    std::get<Relay>(car.at(relay).spec).suppression = Suppression::diode;
    const Network network = build_network(car.vehicle);
    const auto branches = branches_of(network, relay);
    REQUIRE(branches.size() == 4);
    CHECK(branches[0]->kind == BranchKind::contact);
    CHECK(name(network, branches[0]->from) == "K1.30");
    CHECK(name(network, branches[0]->to) == "K1.87");
    CHECK(branches[0]->part == 0);
    CHECK(name(network, branches[1]->to) == "K1.87a");
    CHECK(branches[1]->part == 1);
    CHECK(branches[2]->kind == BranchKind::coil);
    CHECK(name(network, branches[2]->from) == "K1.86");
    CHECK(name(network, branches[2]->to) == "K1.85");
    // The diode blocks while 86 is plus: its anode is at 85.
    CHECK(branches[3]->kind == BranchKind::suppressor);
    CHECK(name(network, branches[3]->from) == "K1.85");
}

TEST_CASE("a relay with a make contact only has no path to 87a") {
    Car car;
    const DeviceId relay = car.relay("K1", 85.0);
    const auto network = build_network(car.vehicle);
    CHECK(branches_of(network, relay).size() == 2);
}

TEST_CASE("a switch has one branch for each pair, with the positions that close it") {
    Car car;
    Switch made;
    made.positions.push_back({.name = "off"});
    made.positions.push_back({.name = "run", .closed = {{.from = 0, .to = 1}}});
    made.positions.push_back(
        {.name = "start", .closed = {{.from = 1, .to = 0}, {.from = 0, .to = 2}}});
    const DeviceId device = car.device("S1", {"30", "15", "50"}, made);
    const Network network = build_network(car.vehicle);
    const auto branches = branches_of(network, device);
    REQUIRE(branches.size() == 2);
    CHECK(branches[0]->positions == 0b110);
    CHECK(branches[1]->positions == 0b100);
}

TEST_CASE("a switch of more than 64 positions keeps them all") {
    Car car;
    Switch made;
    for (int p = 0; p < 70; ++p) {
        made.positions.push_back({.name = std::to_string(p)});
    }
    made.positions[3].closed = {{.from = 0, .to = 1}};
    made.positions[66].closed = {{.from = 0, .to = 1}};
    const DeviceId device = car.device("S1", {"1", "2"}, made);
    const Network network = build_network(car.vehicle);
    const auto branches = branches_of(network, device);
    REQUIRE(branches.size() == 2);
    CHECK(branches[0]->part == 0);
    CHECK(branches[0]->positions == 0b1000);
    CHECK(branches[1]->part == 1);
    CHECK(branches[1]->positions == 0b100);
}

TEST_CASE("a connector in pair form: a path arrives on one side and leaves on the other") {
    Car car;
    car.splice("A");
    car.splice("B");
    const DeviceId connector = car.device("X1", {"1", "2"}, Connector{});
    const WireId in = car.wire("A", "X1.2");
    const WireId out = car.wire("X1.2", "B");
    const Network network = build_network(car.vehicle);
    CHECK(name(network, wire_branch(network, in).to) == "X1.2");
    CHECK(name(network, wire_branch(network, out).from) == "X1.2'");
    const auto joints = branches_of(network, connector);
    REQUIRE(joints.size() == 2);
    CHECK(joints[1]->kind == BranchKind::joint);
    CHECK(joints[1]->part == 1);
    CHECK(joints[1]->from == wire_branch(network, in).to);
    CHECK(joints[1]->to == wire_branch(network, out).from);
}

TEST_CASE("a cavity at which both ends of a path stop still joins its two sides") {
    Car car;
    car.splice("A");
    car.splice("B");
    car.device("X1", {"1"}, Connector{});
    SUBCASE("both arrive") {
        const WireId a = car.wire("A", "X1.1");
        const WireId b = car.wire("B", "X1.1");
        const Network network = build_network(car.vehicle);
        CHECK(name(network, wire_branch(network, a).to) == "X1.1");
        CHECK(name(network, wire_branch(network, b).to) == "X1.1'");
    }
    SUBCASE("both leave") {
        const WireId a = car.wire("X1.1", "A");
        const WireId b = car.wire("X1.1", "B");
        const Network network = build_network(car.vehicle);
        CHECK(name(network, wire_branch(network, a).from) == "X1.1'");
        CHECK(name(network, wire_branch(network, b).from) == "X1.1");
    }
}

TEST_CASE("two halves of a connector meet cavity by cavity, once") {
    Car car;
    const DeviceId first = car.device("X5", {"1", "2"}, Connector{});
    const DeviceId second = car.device("X6", {"2", "3"}, Connector{});
    SUBCASE("both say so") {
        std::get<Connector>(car.at(first).spec).mate = second;
        std::get<Connector>(car.at(second).spec).mate = first;
    }
    SUBCASE("only one says so") {
        std::get<Connector>(car.at(second).spec).mate = first;
    }
    const Network network = build_network(car.vehicle);
    const auto joints = branches_of(network, first);
    REQUIRE(joints.size() == 1);
    CHECK(name(network, joints[0]->from) == "X5.2");
    CHECK(name(network, joints[0]->to) == "X6.2");
    CHECK(branches_of(network, second).front() == joints[0]);
}

TEST_CASE("the devices inside a unit share its terminals") {
    Car car;
    const DeviceId unit = car.device("E7", {"58", "54", "31"}, Unit{});
    const DeviceId tail = car.heater("E7/tail", 0.4, 13.5);
    const DeviceId brake = car.heater("E7/brake", 1.5, 13.5);
    for (const auto& [device, own] : {std::pair(tail, 0), std::pair(brake, 1)}) {
        car.at(device).housing = unit;
        car.at(device).housing_terminal = {own, 2};
    }
    const Network network = build_network(car.vehicle);
    const Branch& tail_load = *branches_of(network, tail).front();
    const Branch& brake_load = *branches_of(network, brake).front();
    CHECK(name(network, tail_load.from) == "E7.58");
    CHECK(name(network, brake_load.from) == "E7.54");
    CHECK(tail_load.to == brake_load.to);
    CHECK(name(network, tail_load.to) == "E7.31");
}

TEST_CASE("a case is bonded to its body, a strap joins two") {
    Car car;
    const DeviceId horn = car.heater("P1", 4.0, 13.0);
    car.at(horn).case_body = 1;
    car.at(horn).case_terminal = 1;
    const DeviceId strap = car.device("W1", {"a", "b"}, Strap{.body_a = 1, .body_b = 0});
    const Network network = build_network(car.vehicle);
    const Branch& bond = *branches_of(network, horn).back();
    CHECK(bond.kind == BranchKind::bond);
    CHECK(name(network, bond.from) == "P1.-");
    CHECK(name(network, bond.to) == "engine");
    const Branch& joined = *branches_of(network, strap).front();
    CHECK(joined.from == network.body_nodes[1]);
    CHECK(joined.to == network.body_nodes[0]);
}

TEST_CASE("a controller: grounds are one inside, outputs join to ground or to a switched feed") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    car.push("S1");
    const DeviceId device =
        car.device("A1", {"memory", "power", "ground-1", "ground-2", "fan", "lamp", "sense"},
                   Controller{.parts = {{.part = TerminalPart::feed},
                                        {.part = TerminalPart::feed},
                                        {.part = TerminalPart::ground},
                                        {.part = TerminalPart::ground},
                                        {.part = TerminalPart::low_side},
                                        {.part = TerminalPart::high_side},
                                        {.part = TerminalPart::signal}},
                              .draws = Demand{.current = Amps(5.0), .at = Volts(13.5)}});
    car.wire("G1.+", "A1.memory");
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "A1.power");
    const Network network = build_network(car.vehicle);
    CHECK(network.node({.device = device, .terminal = 2}) ==
          network.node({.device = device, .terminal = 3}));
    CHECK(network.always_live[device.index()][0] == 1);
    CHECK(network.always_live[device.index()][1] == 0);
    const auto branches = branches_of(network, device);
    REQUIRE(branches.size() == 4);
    CHECK(branches[0]->kind == BranchKind::load);
    CHECK(name(network, branches[0]->from) == "A1.power"); // the switched feed first
    CHECK(name(network, branches[1]->from) == "A1.memory");
    CHECK(name(network, branches[0]->to) == "A1.ground-1");
    CHECK(branches[2]->kind == BranchKind::output);
    CHECK(name(network, branches[2]->from) == "A1.fan");
    CHECK(name(network, branches[2]->to) == "A1.ground-1");
    CHECK(name(network, branches[3]->from) == "A1.power");
    CHECK(name(network, branches[3]->to) == "A1.lamp");
}

TEST_CASE("a high-side output joins to the feed that it names, wherever that stands in the list") {
    for (const bool is_named_first : {false, true}) {
        CAPTURE(is_named_first);
        Car car;
        car.battery("G1", 60.0, 600.0);
        const DeviceId device =
            car.device("A1",
                       is_named_first ? std::vector<std::string>{"big", "small", "lamp"}
                                      : std::vector<std::string>{"small", "big", "lamp"},
                       Controller{.parts = {{.part = TerminalPart::feed},
                                            {.part = TerminalPart::feed},
                                            {.part = TerminalPart::high_side,
                                             .feed = is_named_first ? 0 : 1}}});
        car.wire("G1.+", "A1.big");
        car.wire("G1.+", "A1.small");
        const Network network = build_network(car.vehicle);
        const auto branches = branches_of(network, device);
        REQUIRE(branches.size() == 1);
        CHECK(branches[0]->kind == BranchKind::output);
        CHECK(name(network, branches[0]->from) == "A1.big");
        CHECK(name(network, branches[0]->to) == "A1.lamp");
    }
}

TEST_CASE("a high-side output that names no feed joins to the first with a wire, or to the first") {
    // docs/format/devices.md: "behind the first feed of the list that has a wire".
    struct Wired {
        std::vector<const char*> feeds;
        const char* taken;
    };
    for (const Wired& wired :
         {Wired{{"A1.a", "A1.b", "A1.c"}, "A1.a"}, Wired{{"A1.c", "A1.b"}, "A1.b"},
          Wired{{"A1.c"}, "A1.c"}, Wired{{}, "A1.a"}}) {
        CAPTURE(wired.taken);
        Car car;
        car.battery("G1", 60.0, 600.0);
        const DeviceId device = car.device("A1", {"lamp", "a", "b", "c"},
                                           Controller{.parts = {{.part = TerminalPart::high_side},
                                                                {.part = TerminalPart::feed},
                                                                {.part = TerminalPart::feed},
                                                                {.part = TerminalPart::feed}}});
        for (const char* feed : wired.feeds) {
            car.wire("G1.+", feed);
        }
        const Network network = build_network(car.vehicle);
        const auto branches = branches_of(network, device);
        REQUIRE(branches.size() == 1);
        CHECK(branches[0]->kind == BranchKind::output);
        CHECK(name(network, branches[0]->from) == wired.taken);
        CHECK(name(network, branches[0]->to) == "A1.lamp");
    }
}

TEST_CASE("a supplied lead stands between the car's wire and the terminal") {
    Car car;
    car.splice("A");
    const DeviceId device = car.device(
        "A1", {"power", "key"},
        Controller{.parts = {{.part = TerminalPart::feed}, {.part = TerminalPart::signal}}});
    car.vehicle.supplied.push_back(
        {.name = "engine-loom",
         .device = device,
         .leads = {{.name = "power-feed", .terminal = 0, .size = {}, .length = Metres(0.9)}}});
    const WireId to_lead = car.wire("A", "A1.power");
    const WireId to_terminal = car.wire("A", "A1.key");
    const Network network = build_network(car.vehicle);
    CHECK(name(network, wire_branch(network, to_lead).to) == "engine-loom.power-feed");
    CHECK(name(network, wire_branch(network, to_terminal).to) == "A1.key");
    const Branch& lead = *branches_of(network, device).front();
    CHECK(lead.kind == BranchKind::lead);
    CHECK(lead.from == wire_branch(network, to_lead).to);
    CHECK(name(network, lead.to) == "A1.power");
}

TEST_CASE("a starter's contact is in series with its motor") {
    Car car;
    const DeviceId starter = car.device(
        "M1", {"30", "50", "31"},
        Starter{.draws = {.current = Amps(150.0), .at = Volts(10.0)}, .solenoid = Ohms(0.5)});
    const Network network = build_network(car.vehicle);
    const auto branches = branches_of(network, starter);
    REQUIRE(branches.size() == 3);
    CHECK(branches[0]->kind == BranchKind::coil);
    CHECK(name(network, branches[0]->from) == "M1.50");
    CHECK(branches[1]->kind == BranchKind::contact);
    CHECK(name(network, branches[1]->from) == "M1.30");
    CHECK(branches[2]->kind == BranchKind::load);
    CHECK(branches[2]->from == branches[1]->to);
    CHECK(name(network, branches[2]->to) == "M1.31");
}
