// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Rules at their edges: a car just over what the rule's page allows and one just under it, or the
// one case that the page sets apart.

#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace loomwright;

namespace {

/// A relay's coil of 85 ohm that a controller switches, with a resistor beside it.
std::unique_ptr<Checked> coil_beside(int ohm) {
    return check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah}}
  F1: {{is: fuse, rating: 10 A}}
  K1: {{is: relay, contact: 30 A, coil: 85 ohm, suppression: none}}
  R1: {{is: resistor, resistance: {} ohm}}
  E1: {{is: lamp, draws: 21 W}}
  A1: {{is: controller, draws: 1 A, terminals: {{15: feed, 31: ground, lamp: low-side}}}}
  GND1: {{is: ground, body: chassis}}
circuits:
  lamp:
    number: 1
    paths:
      - G1 > F1 > K1 > E1 > GND1
      - F1.out > K1.86
      - K1.85 > A1.lamp
      - K1.86 > R1.1
      - R1.2 > K1.85
      - F1.out > A1.15
      - A1.31 > GND1
      - G1.- > GND1
states:
  lit: {{engine: running, set: {{A1.lamp: on}}}}
)",
                                  ohm));
}

} // namespace

TEST_CASE(
    "coil-suppression: a resistor takes the voltage off up to ten times the coil's resistance") {
    // docs/rules/coil-suppression.md: "a resistor of at most ten times its own resistance".
    CHECK(coil_beside(9 * 85)->find(Rule::coil_suppression, "K1") == nullptr);
    CHECK(coil_beside(14 * 85)->find(Rule::coil_suppression, "K1") != nullptr);
}

TEST_CASE("outside-table: the first wire of the file is looked at too") {
    const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, rating: 10 A}
  E1: {is: lamp, draws: 21 W}
  GND1: {is: ground, body: chassis}
circuits:
  lamp:
    number: 1
    insulation: thin-wall pvc
    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]
    wires: {1.1: {size: 120 mm2}, 1.2: {size: 2.5 mm2}, 1.3: {size: 2.5 mm2}, 1.4: {size: 16 mm2}}
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    CHECK_MESSAGE(car->find(Rule::outside_table, "1.1") != nullptr, car->text());
    CHECK(car->find(Rule::outside_table, "1.2") == nullptr);
}

TEST_CASE("chattering: loads that let go are told together, a loop with a relay in it by itself") {
    // lib/checks/states.cpp: "one finding for all loads that let go by themselves, and one for each
    // loop of others". What the search for an operating point hands on is put in its place.
    const auto car = coil_beside(9 * 85);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const auto device = [&](std::string_view name) { return car->vehicle.find_device(name); };
    const auto told = [&](std::vector<std::vector<DeviceId>> loops) {
        StateSolution& state = car->sizing.states.front();
        state.converged = false;
        state.chattering = std::move(loops);
        Findings findings;
        check_states(CheckInput{car->study(), car->sizing, nullptr}, findings);
        std::vector<std::string> out;
        for (const Finding& finding : findings.all()) {
            out.push_back(finding.message);
        }
        return out;
    };
    const std::string fall = ": the voltage falls below the least when the current flows";
    const std::string undone = ": each position undoes its own cause";
    using Told = std::vector<std::string>;
    CHECK(told({{device("E1")}}) == Told{"E1 starts and lets go for ever" + fall});
    CHECK(told({{device("E1")}, {device("A1")}}) ==
          Told{"E1 and A1 start and let go for ever" + fall});
    CHECK(told({{device("K1")}}) == Told{"K1 switches on and off for ever" + undone});
    CHECK(told({{device("K1"), device("E1")}}) ==
          Told{"K1 and E1 switch on and off for ever" + undone});
    CHECK(told({{device("E1"), device("K1")}, {device("A1")}}) ==
          Told{"A1 starts and lets go for ever" + fall,
               "E1 and K1 switch on and off for ever" + undone});
}
