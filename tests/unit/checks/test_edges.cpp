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
