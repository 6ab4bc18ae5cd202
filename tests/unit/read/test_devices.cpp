// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Every kind of device: what it must and may say, and what it becomes.

#include "support.hpp"

using namespace loomwright;

namespace {

std::string devices(const std::string& lines) {
    return "loomwright: 1\ndevices:\n" + lines;
}

} // namespace

TEST_CASE("every kind reads with all of its keys") {
    const ReadCar read(devices(
        "  G1: {is: battery, capacity: 65 Ah, cranking-amps: 650 A, resistance: 5 mohm, voltage: "
        "12.7 "
        "V, charge: 80 %, temperature: -10 C, case: chassis}\n"
        "  G2: {is: alternator, rated: 120 A, regulates: 14.3 V, at-idle: 65 A, resistance: 8 "
        "mohm, "
        "case: engine}\n"
        "  G3: {is: charger, limit: 10 A, regulates: 14.4 V}\n"
        "  M1: {is: starter, draws: 165 A at 10.5 V, solenoid: 1.1 ohm, inrush: 500 A for 0.1 s, "
        "case: engine}\n"
        "  F1: {is: fuse, family: mini-blade, rating: 7.5 A, resistance: 11 mohm}\n"
        "  F2: {is: breaker, rating: auto}\n"
        "  F3: {is: fusible-link, size: 0.75 mm2}\n"
        "  K1: {is: relay, contact: 40 A, contact-break: 30 A, coil: 90 ohm, pulls-in: 7.5 V, "
        "drops-out: 2 V, suppression: diode, break-contact: yes}\n"
        "  K2: {is: flasher, contact: 20 A}\n"
        "  S1: {is: switch, positions: {off: [], run: [30-15, 30-75]}, contact: 30 A}\n"
        "  E1: {is: lamp, draws: 21 W at 13.5 V, inrush: 16 A for 0.05 s, case: chassis}\n"
        "  E2: {is: led-lamp, draws: 0.3 A, least: 8 V}\n"
        "  M2: {is: motor, draws: 5 A at 13 V}\n"
        "  E3: {is: heater, draws: 150 W at 13.5 V}\n"
        "  M3: {is: coil, resistance: 27 ohm}\n"
        "  T1: {is: electronics, draws: 6 A at 13.5 V, least: 7 V, inrush: 20 A for 2 ms}\n"
        "  A1: {is: controller, terminals: {30: feed, 31: ground, fan: {part: low-side, limit: 1 "
        "A}, "
        "out: high-side, in: signal}, draws: 2 A at 13.5 V, sleeps: 3 mA, needs: 6 V, needed-in: "
        "on}\n"
        "  B1: {is: sensor, draws: 20 mA at 5 V}\n"
        "  GND1: {is: ground, body: engine, bond: 0.5 mohm}\n"
        "  W1: {is: strap, between: [engine, chassis], resistance: 0.4 mohm}\n"
        "  SP1: {is: splice}\n"
        "  ST1: {is: stud, lugs: 4}\n"
        "  X1: {is: connector, cavities: 4, contact: 7 A}\n"
        "  D1: {is: diode, drop: 0.9 V at 2 A}\n"
        "  R1: {is: resistor, resistance: 120 ohm}\n"
        "  E7: {is: unit, terminals: [58, 31], case: chassis, inside: {tail: {is: lamp, from: 58, "
        "to: "
        "31, draws: 5 W}}}\n"
        "states: {on: {}}\n"));
    CHECK(read.text() == "");
    CHECK(read.car.devices.size() == 27);

    const auto& battery = *read.device("G1").as<Battery>();
    CHECK(battery.capacity == Coulombs(65.0 * 3600.0));
    CHECK(battery.charge == doctest::Approx(0.8));
    CHECK(battery.temperature == Celsius(-10.0));
    CHECK(read.device("G1").case_body == 0);
    CHECK(read.device("G1").terminals[static_cast<std::size_t>(read.device("G1").case_terminal)] ==
          "-");
    CHECK(read.device("M1").case_body == 1);
    CHECK(read.device("M1").terminals[static_cast<std::size_t>(read.device("M1").case_terminal)] ==
          "31");
    CHECK(read.device("E7").case_terminal == 1);
    CHECK(read.device("F3").as<Protection>()->kind == ProtectionKind::fusible_link);
    CHECK(show(*read.device("F3").as<Protection>()->link) == "0.75 mm2");
    CHECK(read.device("F2").as<Protection>()->family == "breaker");
    const auto& relay = *read.device("K1").as<Relay>();
    CHECK(relay.has_break_contact);
    CHECK(relay.pulls_in == Volts(7.5));
    CHECK(relay.suppression == Suppression::diode);
    const auto& contacts = *read.device("S1").as<Switch>();
    CHECK(read.device("S1").terminals == std::vector<std::string>{"30", "15", "75"});
    REQUIRE(contacts.positions.size() == 2);
    CHECK(contacts.positions[0].name == "off");
    CHECK(contacts.positions[1].closed[1].from == 0);
    CHECK(contacts.positions[1].closed[1].to == 2);
    CHECK(read.device("E2").as<Load>()->law == LoadLaw::constant_current);
    CHECK(read.device("E3").as<Load>()->law == LoadLaw::resistance);
    CHECK(read.device("E3").as<Load>()->draws.current.value() == doctest::Approx(150.0 / 13.5));
    CHECK(read.device("T1").as<Load>()->law == LoadLaw::constant_power);
    CHECK(read.device("E1").as<Load>()->law == LoadLaw::lamp);
    // A coil by its resistance draws what Ohm's law gives at the rated voltage.
    const auto& coil = *read.device("M3").as<Load>();
    CHECK((coil.draws.at / coil.draws.current).value() == doctest::Approx(27.0));
    const auto& controller = *read.device("A1").as<Controller>();
    CHECK(controller.parts[2].part == TerminalPart::low_side);
    CHECK(controller.parts[2].limit == Amps(1.0));
    CHECK(controller.needed_in[0].value == "on");
    CHECK(read.device("W1").as<Strap>()->body_a == 1);
    CHECK(read.device("X1").terminals.size() == 4);
    CHECK(read.device("D1").as<Diode>()->drop == Volts(0.9));
    CHECK(read.device("D1").as<Diode>()->at == Amps(2.0));
    CHECK(read.device("ST1").as<Stud>()->lugs == 4);
}

TEST_CASE("an output names the feed that it is joined to, of several or of one") {
    const ReadCar read(devices(
        "  A1: {is: controller, terminals: {lamp: {part: high-side, feed: 30}, 15: feed, 30: feed, "
        "horn: {part: high-side, limit: 4 A, feed: 15}, fan: low-side}}\n"
        "  A2: {is: controller, terminals: {30: feed, lamp: {part: high-side, feed: 30}, horn: "
        "high-side}}\n"));
    CHECK(read.text() == "");
    const auto& two = read.device("A1").as<Controller>()->parts; // lamp, 15, 30, horn, fan
    REQUIRE(two.size() == 5);
    CHECK(two[0].feed == 2);
    CHECK(two[3].feed == 1);
    CHECK(two[3].limit == Amps(4.0));
    CHECK(two[4].feed == -1);
    const auto& one = read.device("A2").as<Controller>()->parts; // 30, lamp, horn
    REQUIRE(one.size() == 3);
    CHECK(one[1].feed == 0);
    CHECK(one[2].feed == -1);
}

TEST_CASE("an output of several feeds that names none is read: which was taken is a finding") {
    const ReadCar read(
        devices("  A1: {is: controller, terminals: {15: feed, 30: feed, lamp: high-side, horn: "
                "{part: high-side, limit: 4 A}}}\n"));
    CHECK(read.text() == "");
    const auto& parts = read.device("A1").as<Controller>()->parts; // 15, 30, lamp, horn
    REQUIRE(parts.size() == 4);
    CHECK(parts[2].feed == -1);
    CHECK(parts[3].feed == -1);
    CHECK(parts[3].limit == Amps(4.0));
}

TEST_CASE("positions called off and on, yes and null stay words") {
    const ReadCar read(devices("  S1: {is: switch, positions: {off: [], on: 1-2, yes: [1-3], null: "
                               "[1-4]}}\n"
                               "states:\n  a: {set: {S1: off}}\n  b: {set: {S1: on}}\n"
                               "  c: {set: {S1: yes}}\n  d: {set: {S1: null}}\n"));
    CHECK(read.text() == "");
    for (std::size_t i = 0; i < 4; ++i) {
        REQUIRE(read.car.states[i].settings.size() == 1);
        CHECK(read.car.states[i].settings[0].position == static_cast<int>(i));
        CHECK_FALSE(read.car.states[i].settings[0].is_level);
    }
}

TEST_CASE("defaults scale with the system") {
    const ReadCar read("loomwright: 1\nnominal: 24 V\ndevices:\n  E1: {is: lamp, draws: 21 W}\n"
                       "  K1: {is: relay, contact: 20 A}\n");
    CHECK(read.text() == "");
    CHECK(read.device("E1").as<Load>()->draws.at == Volts(27.0));
    // Twice the voltage at the same power: four times the resistance.
    CHECK(read.device("K1").as<Relay>()->coil.value() ==
          doctest::Approx(4.0 * read.catalogue.default_value("relay-coil").value));
}

TEST_CASE("a switch inside a unit joins terminals of the unit") {
    const ReadCar read(
        devices("  M5: {is: unit, terminals: [53, 53a, 31b, 31],\n"
                "       inside: {slow: {is: motor, from: 53, to: 31, draws: 4 A at 13 V},\n"
                "                park: {is: switch, contact: 8 A, positions: {parked: "
                "[31b-31], sweeping: [53a-31b]}}}}\n"));
    CHECK(read.text() == "");
    const Device& park = read.device("M5/park");
    CHECK(park.terminals == std::vector<std::string>{"31b", "31", "53a"});
    CHECK(park.housing_terminal == std::vector<int>{2, 3, 1});
    CHECK(park.as<Switch>()->positions[1].closed[0].from == 2);
    const ReadCar wrong(devices("  M5: {is: unit, terminals: [53, 31], inside: {park: {is: switch, "
                                "positions: {a: [53-31b]}}}}\n"));
    CHECK(wrong.text() ==
          "car.yaml:3:86: error[unknown-terminal] M5/park: there is no terminal `31b`\n"
          "  remedy: did you mean `31`?\n");
}

TEST_CASE("pairs of terminals whose names have a dash themselves") {
    const ReadCar read(devices("  M5: {is: unit, terminals: [can-h, can-l, x], inside: {s: {is: "
                               "switch, positions: {a: [can-h-can-l, can-h-x]}}}}\n"));
    CHECK(read.text() == "");
    CHECK(read.device("M5/s").terminals == std::vector<std::string>{"can-h", "can-l", "x"});
}

TEST_CASE("what a kind must say and does not") {
    struct Row {
        const char* line;
        const char* said;
    };
    const Row rows[] = {
        {"{is: battery}", "missing-key 3:3\n"},
        {"{is: alternator}", "missing-key 3:3\nmissing-key 3:3\n"},
        {"{is: charger, limit: 5 A}", "missing-key 3:3\n"},
        {"{is: starter}", "missing-key 3:3\n"},
        {"{is: fuse}", "missing-key 3:3\n"},
        {"{is: fusible-link}", "missing-key 3:3\n"},
        {"{is: fusible-link, rating: auto}", "missing-key 3:33\n"},
        {"{is: fusible-link, rating: auto, size: 0.75 mm2}", ""},
        {"{is: fusible-link, rating: 40 A}", ""},
        {"{is: fusible-link, rating: 0 A}", "out-of-range 3:33\n"},
        {"{is: relay, coil: 85 ohm}", "missing-key 3:3\n"},
        {"{is: switch}", "missing-key 3:3\n"},
        {"{is: switch, positions: {}}", "wrong-shape 3:30\n"},
        {"{is: lamp}", "missing-key 3:3\n"},
        {"{is: coil}", "missing-key 3:3\n"},
        {"{is: coil, draws: 1 A, resistance: 5 ohm}", "contradiction 3:41\n"},
        {"{is: controller}", "missing-key 3:3\n"},
        {"{is: controller, terminals: [15, 31]}", "wrong-shape 3:34\n"},
        {"{is: ground}", "missing-key 3:3\n"},
        {"{is: strap}", "missing-key 3:3\n"},
        {"{is: connector}", "missing-key 3:3\n"},
        {"{is: connector, cavities: 0}", "out-of-range 3:32\n"},
        {"{is: connector, cavities: []}", "wrong-shape 3:32\n"},
        {"{is: resistor}", "missing-key 3:3\n"},
        {"{is: unit}", "missing-key 3:3\nmissing-key 3:3\n"},
        {"{is: fuse, rating: auto, case: chassis}", "unknown-key 3:31\n"},
        {"", "wrong-shape 3:3\n"},
        {"~", "wrong-shape 3:3\n"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.line);
        const ReadCar read(devices("  A: " + std::string(row.line) + "\n"));
        CHECK(read.said() == row.said);
    }
}

TEST_CASE("messages about devices, word by word") {
    const ReadCar read(
        devices("  F1: {is: fuse, ratng: 10 A}\n"
                "  E1: {is: lamp, draws: 55}\n"
                "  E2: {is: lamp, draws: 55 W at 13.2}\n"
                "  M1: {is: motor, draws: 5 V}\n"
                "  G2: {is: alternator, rated: -5 A, regulates: 14 mm}\n"
                "  K1: {is: relay, contact: 40 A, pulls-in: 2 V, drops-out: 3 V}\n"));
    CHECK(read.text() ==
          "car.yaml:3:18: error[unknown-key] F1: the key `ratng` is not known here\n"
          "  remedy: did you mean `rating`?\n"
          "car.yaml:4:25: error[missing-unit] E1: `55` has no unit: a current is written in A or "
          "mA; a power in W or kW\n"
          "  remedy: write the unit after the number: `55 A`\n"
          "car.yaml:5:33: error[missing-unit] E2: `13.2` has no unit: a voltage is written in V or "
          "mV\n"
          "  remedy: write the unit after the number: `13.2 V`\n"
          "car.yaml:6:26: error[wrong-dimension] M1: `5 V` is a voltage, not a current\n"
          "  remedy: write a current in A or mA; a power in W or kW\n"
          "car.yaml:7:31: error[out-of-range] G2: `-5 A` is not possible: a current here must be "
          "more than 0 A and at most 10000 A\n"
          "  remedy: correct the number or its unit\n"
          "car.yaml:7:48: error[wrong-dimension] G2: `14 mm` is a length, not a voltage\n"
          "  remedy: write a voltage in V or mV\n"
          "car.yaml:8:44: error[contradiction] K1: the relay pulls in at no more than the voltage "
          "at which it drops out\n"
          "  car.yaml:8:60: it drops out here\n"
          "  remedy: a relay pulls in at a higher voltage than it drops out at: correct one of the "
          "two\n");
}
