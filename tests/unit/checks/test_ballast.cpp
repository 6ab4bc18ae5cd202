// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A coil behind a ballast resistor that is not said to be made for it
// (docs/rules/state-not-met.md).
#include "base/display.hpp"
#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <memory>
#include <string_view>

namespace loomwright {
namespace {

std::unique_ptr<Checked> car_with_ballast(std::string_view coil, std::string_view position) {
    return check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F1: {{is: fuse, rating: 15 A}}
  S1: {{is: switch, positions: {{rest: [], run: [1-2]}}}}
  R1: {{is: resistor, resistance: 1.5 ohm}}
  Y1: {{is: coil, {}}}
  GND1: {{is: ground, body: chassis}}
circuits:
  ignition:
    number: 1
    class: ignition
    size: 6 mm2
    paths: [G1 > F1 > S1 > R1 > Y1 > GND1, G1.- > GND1]
states:
  run: {{set: {{S1: {}}}, expect: {{on: [Y1]}}}}
)",
                                  coil, position));
}

} // namespace

TEST_CASE("state-not-met: a coil behind a ballast is asked for its rated point") {
    // 12.6 V over twice 1.5 ohm: 4.2 A and 6.3 V, less 2 % for the way; a coil of 12 V wants more.
    const auto car = car_with_ballast("resistance: 1.5 ohm", "run");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* found = car->find(Rule::state_not_met, "Y1");
    REQUIRE_MESSAGE(found != nullptr, car->text());
    CHECK(found->remedy.find("behind R1") != std::string::npos);
    REQUIRE(found->figures.size() == 2);
    CHECK(found->figures[0].value == doctest::Approx(6.2).epsilon(0.03));
    CHECK(found->figures[1].value == doctest::Approx(found->figures[0].value / 1.5));
    CHECK(found->remedy.find(fmt::format("`draws: {} at {}`", show(Amps(found->figures[1].value)),
                                         show(Volts(found->figures[0].value)))) !=
          std::string::npos);
    // The same 1.5 ohm, said to be made for 6 V.
    const auto told = car_with_ballast("draws: 4 A at 6 V", "run");
    REQUIRE_MESSAGE(told->is_sized, told->text());
    CHECK_MESSAGE(told->find(Rule::state_not_met) == nullptr, told->text());
}

TEST_CASE("state-not-met: where no current flows the ballast is not why") {
    const auto car = car_with_ballast("resistance: 1.5 ohm", "rest");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* found = car->find(Rule::state_not_met, "Y1");
    REQUIRE_MESSAGE(found != nullptr, car->text());
    CHECK(found->remedy.find("R1") == std::string::npos);
    CHECK(found->remedy.find("follow its feed") == 0);
}

} // namespace loomwright
