// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What burns because something else is open: docs/method/faults.md, what an open does.
#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <memory>
#include <string>
#include <string_view>

namespace loomwright {
namespace {

/// A heater of 0.3 ohm on the engine, which straps and one thin wire join to the chassis.
std::unique_ptr<Checked> car_on_straps(std::string_view second_strap) {
    return check_text(fmt::format(R"(loomwright: 1
zones: {{cool: {{air: 20 C}}}}
points: {{here: {{zone: cool}}}}
devices:
  G1: {{is: battery, at: here, capacity: 60 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F1: {{is: fuse, at: here, family: maxi-blade, rating: 60 A}}
  E1: {{is: heater, at: here, draws: 40 A at 12 V, case: engine}}
  GND0: {{is: ground, at: here, body: chassis, bond: 1 mohm}}
  GND1: {{is: ground, at: here, body: engine, bond: 1 mohm}}
  GND2: {{is: ground, at: here, body: chassis, bond: 1 mohm}}
  W1: {{is: strap, between: [engine, chassis], resistance: 1 mohm}}
{}
circuits:
  heater:
    number: 1
    class: heater
    paths:
      - G1 > F1 > E1
      - GND1 > GND2
      - G1.- > GND0
    wires:
      1.1: {{size: 16 mm2, length: 0.2 m}}
      1.2: {{size: 16 mm2, length: 1 m}}
      1.3: {{size: 0.5 mm2, length: 1 m}}
      1.4: {{size: 16 mm2, length: 0.2 m}}
)",
                                  second_strap),
                      {}, true, true);
}

/// A heater fed through two fuses side by side, each with a wire of 0.75 mm2.
std::unique_ptr<Checked> car_with_twin_feeds(std::string_view fuse) {
    return check_text(fmt::format(R"(loomwright: 1
zones: {{cool: {{air: 20 C}}}}
points: {{here: {{zone: cool}}}}
devices:
  G1: {{is: battery, at: here, capacity: 60 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F1: {{is: fuse, at: here, {0}}}
  F2: {{is: fuse, at: here, {0}}}
  E1: {{is: heater, at: here, draws: 23 A at 12.6 V, case: chassis}}
  GND0: {{is: ground, at: here, body: chassis}}
circuits:
  heater:
    number: 1
    class: heater
    paths:
      - G1 > F1 > E1
      - G1 > F2 > E1
      - G1.- > GND0
    wires:
      1.1: {{size: 6 mm2, length: 0.1 m}}
      1.2: {{size: 0.75 mm2, length: 0.5 m}}
      1.3: {{size: 6 mm2, length: 0.1 m}}
      1.4: {{size: 0.75 mm2, length: 0.5 m}}
      1.5: {{size: 16 mm2, length: 0.2 m}}
)",
                                  fuse),
                      {}, true, true);
}

} // namespace

TEST_CASE("sneak-path: with the strap open all comes home through a thin wire, and burns it") {
    const auto car = car_on_straps("");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* found = car->find(Rule::sneak_path, "1.3");
    REQUIRE_MESSAGE(found != nullptr, car->text());
    CHECK(found->severity == Severity::danger);
    CHECK(found->message.find("with W1 open") == 0);
    // Ohm: 300 of the heater, 10 of the battery, 39 of 1 m of 0.5 mm2, 3 of the bonds, 1.7 of 1.4 m
    // of 16 mm2 and about 2 of the fuse, mohm: 12.6 V / 0.3557 ohm = 35.4 A.
    const auto figure = [&](std::string_view name) {
        for (const Figure& row : found->figures) {
            if (row.label == name) {
                return row.value;
            }
        }
        return std::nan("");
    };
    const double amps = figure("through it");
    CHECK(amps == doctest::Approx(35.4).epsilon(0.02));
    // IEC 60949: no sooner than with no heat leaving, from the 20 C of the air to the 160 C that
    // PVC stands for a short time; and no later than twice that, since 0.5 mm2 gives off at 100 C
    // what some 16 A make, a fifth of what 35 A do.
    const double copper_mm2 = car->sizing.design.wires[car->vehicle.find_wire("1.3").index()]
                                  .conductor->copper_area.value() *
                              1e6;
    const double least_s =
        std::pow(226.0 * copper_mm2 / amps, 2) * std::log((234.5 + 160.0) / (234.5 + 20.0));
    CHECK(figure("too hot after") > 0.98 * least_s);
    CHECK(figure("too hot after") < 2.0 * least_s);
}

TEST_CASE("sneak-path: a second strap takes what the first leaves") {
    const auto car =
        car_on_straps("  W2: {is: strap, between: [engine, chassis], resistance: 1 mohm}");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    CHECK_MESSAGE(car->find(Rule::sneak_path) == nullptr, car->text());
}

TEST_CASE("sneak-path: a fuse that opens in time ends what an open puts on its wire") {
    // With one wire open the other carries some 22 A, more than 0.75 mm2 does for good in air of
    // 20 C (some 20 A). A blade of 15 A is sure to have opened at 1.35 x 15 = 20.25 A and more, and
    // until then the wire stays under the 160 C of a short time.
    const auto ended = car_with_twin_feeds("rating: 15 A");
    REQUIRE_MESSAGE(ended->is_sized, ended->text());
    CHECK_MESSAGE(ended->find(Rule::sneak_path) == nullptr, ended->text());
    // Of an old conical fuse no opening times are known: the current flows for good.
    const auto lasting = car_with_twin_feeds("family: torpedo, rating: 16 A");
    REQUIRE_MESSAGE(lasting->is_sized, lasting->text());
    const Finding* found = lasting->find(Rule::sneak_path, "1.4");
    REQUIRE_MESSAGE(found != nullptr, lasting->text());
    CHECK(found->severity == Severity::fault);
    CHECK(found->message.find("1.2") != std::string::npos);
}

} // namespace loomwright
