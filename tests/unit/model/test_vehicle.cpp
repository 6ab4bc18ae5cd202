// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "model/vehicle.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace loomwright;

namespace {

Device device(std::string name, std::vector<std::string> terminals, DeviceSpec spec) {
    Device out;
    out.name = std::move(name);
    out.terminals = std::move(terminals);
    out.spec = std::move(spec);
    return out;
}

Vehicle small_vehicle() {
    Vehicle vehicle;
    vehicle.devices = {device("F10", {"in", "out"}, Protection{}), device("GND2", {"1"}, Ground{}),
                       device("K3", {"30", "85", "86", "87", "87a"}, Relay{})};
    Wire wire;
    wire.number = "12.2";
    wire.from = {DeviceId(0), 1};
    wire.to = {DeviceId(1), 0};
    vehicle.wires = {wire};
    vehicle.states.resize(2);
    vehicle.states[0].name = "parked";
    vehicle.states[1].name = "cranking";
    return vehicle;
}

} // namespace

TEST_CASE("a size names the standard whose number it is") {
    CHECK(show(ConductorSize{SizeStandard::iso, "1.5"}) == "1.5 mm2");
    CHECK(show(ConductorSize{SizeStandard::sae, "16"}) == "16 SAE");
    CHECK(show(ConductorSize{SizeStandard::awg, "1/0"}) == "1/0 AWG");
    CHECK_FALSE(ConductorSize{SizeStandard::sae, "16"} == ConductorSize{SizeStandard::awg, "16"});
    CHECK_FALSE(ConductorSize{SizeStandard::awg, "4/0"} == ConductorSize{SizeStandard::awg, "1/0"});
}

TEST_CASE("things are found by the name the user wrote, exactly") {
    const Vehicle vehicle = small_vehicle();
    CHECK(vehicle.find_device("K3") == DeviceId(2));
    CHECK_FALSE(vehicle.find_device("k3").is_valid());
    CHECK_FALSE(vehicle.find_device("").is_valid());
    CHECK(vehicle.find_wire("12.2") == WireId(0));
    CHECK_FALSE(vehicle.find_wire("12.20").is_valid());
    CHECK(vehicle.find_state("cranking") == StateId(1));
    CHECK_FALSE(vehicle.find_state("crank").is_valid());
}

TEST_CASE("a terminal is found by its name and shown with its device") {
    const Vehicle vehicle = small_vehicle();
    const Device& relay = vehicle.device(DeviceId(2));
    CHECK(relay.terminal("87") == 3);
    CHECK(relay.terminal("87a") == 4);
    CHECK(relay.terminal("88") == -1);
    CHECK(vehicle.show({DeviceId(2), 4}) == "K3.87a");
    CHECK(vehicle.show(vehicle.wires[0].from) == "F10.out");
}

TEST_CASE("a device of one node needs no terminal name") {
    const Vehicle vehicle = small_vehicle();
    CHECK(vehicle.show(vehicle.wires[0].to) == "GND2");
}

TEST_CASE("a device is asked what it is") {
    const Vehicle vehicle = small_vehicle();
    CHECK(vehicle.device(DeviceId(0)).as<Protection>() != nullptr);
    CHECK(vehicle.device(DeviceId(0)).as<Relay>() == nullptr);
}
