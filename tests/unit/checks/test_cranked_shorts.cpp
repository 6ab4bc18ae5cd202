// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A ground wire shorted while the engine is cranked takes its share of the starter's current home,
// as long as that flows (docs/method/faults.md, what a short does, 8).
//
// Starter and solenoid take some 220 A from the engine to the chassis by a strap of 5 mohm. 1 m of
// 1 mm2 at 20 C has 18.1 mohm; with a bond of 1 mohm and the short's 5 it is 24 mohm beside the
// strap: 220 A x 5 / 29 = 38 A, twice what 1 mm2 of PVC carries for good in 20 C.
#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <string_view>

namespace loomwright {
namespace {

std::unique_ptr<Checked> car_cranked_for(std::string_view lasts, std::string_view other_state) {
    return check_text(fmt::format(R"(loomwright: 1
zones: {{cool: {{air: 20 C}}}}
points: {{here: {{zone: cool}}}}
devices:
  G1: {{is: battery, at: here, capacity: 90 Ah, voltage: 12.6 V, resistance: 5 mohm}}
  G2: {{is: alternator, at: here, rated: 60 A, regulates: 14 V, case: engine}}
  M1: {{is: starter, at: here, draws: 200 A at 10 V, case: engine, suppression: diode}}
  F1: {{is: fuse, at: here, family: strip, rating: 100 A}}
  F2: {{is: fuse, at: here, rating: 15 A}}
  S1: {{is: switch, at: here, contact: 30 A, positions: {{run: [1-2], start: [1-2, 1-3]}}}}
  P1: {{is: electronics, at: here, draws: 5 W at 12 V}}
  GND0: {{is: ground, at: here, body: chassis, bond: 1 mohm}}
  GND1: {{is: ground, at: here, body: engine, bond: 1 mohm}}
  W1: {{is: strap, between: [engine, chassis], resistance: 5 mohm}}
circuits:
  main:
    number: 1
    class: starter
    size: 35 mm2
    paths: [G1 > M1.30, G1.- > GND0, G2 > F1 > G1.+]
    wires: {{1.1: {{length: 1 m}}, 1.2: {{length: 0.2 m}}, 1.3: {{length: 0.5 m}}, 1.4: {{length: 0.5 m}}}}
  control:
    number: 2
    class: control
    size: 2.5 mm2
    paths: [G1 > F2 > S1.1, S1.3 > M1.50, S1.2 > P1 > GND1]
    wires: {{2.1: {{length: 0.1 m}}, 2.2: {{length: 0.2 m}}, 2.3: {{length: 0.5 m}}, 2.4: {{length: 0.5 m}}, 2.5: {{size: 1 mm2, length: 1 m}}}}
states:
  cranking: {{engine: cranking, lasts: {}, set: {{S1: start}}}}
{})",
                                  lasts, other_state),
                      {}, true, true);
}

constexpr std::string_view running_state = "  running: {engine: running, set: {S1: run}}\n";
constexpr std::string_view parked_state = "  parked: {engine: stopped, set: {S1: run}}\n";

} // namespace

TEST_CASE("a ground wire's share of the starter's current ends with the cranking") {
    // IEC 60949: 38 A take 1 mm2 in 4 s to (234.5 + 20) exp(4 (38 / 226)^2) - 234.5 = 50 C, of the
    // 160 C that PVC stands for a short time.
    const auto car = car_cranked_for("4 s", running_state);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    CHECK_MESSAGE(car->find(Rule::short_not_cleared, "2.5") == nullptr, car->text());
}

TEST_CASE("a ground wire that burns before the cranking is over is told") {
    const auto car = car_cranked_for("60 s", running_state);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* found = car->find(Rule::short_not_cleared, "2.5");
    REQUIRE_MESSAGE(found != nullptr, car->text());
    CHECK(found->severity == Severity::danger);
    // No sooner than with no heat leaving: (226 / 38)^2 ln(394.5 / 254.5) = 15.5 s.
    const auto after = std::ranges::find(found->figures, "too hot after", &Figure::label);
    REQUIRE(after != found->figures.end());
    CHECK(after->value > 15.5);
    CHECK(after->value < 60.0);
}

TEST_CASE("without a state that tells what goes on after it a short while cranking is for good") {
    for (const std::string_view other : {std::string_view(), parked_state}) {
        const auto car = car_cranked_for("4 s", other);
        REQUIRE_MESSAGE(car->is_sized, car->text());
        CHECK_MESSAGE(car->find(Rule::short_not_cleared, "2.5") != nullptr, car->text());
    }
}

} // namespace loomwright
