// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// parked-drain of a car with a second battery, which a long thin wire joins to the first while the
// engine is cranked (docs/method/energy.md, parked).
#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string_view>

namespace loomwright {
namespace {

/// 5 A are drawn from the battery that `feed` names.
std::unique_ptr<Checked> car_with_two_batteries(std::string_view feed) {
    return check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 70 Ah, cranking-amps: 640 A}}
  G2: {{is: battery, capacity: 95 Ah, charge: 60 %}}
  M1: {{is: starter, draws: 170 A at 10.5 V, case: chassis, suppression: diode}}
  F1: {{is: fuse, rating: 15 A}}
  F2: {{is: fuse, family: strip, rating: 100 A}}
  F3: {{is: fuse, rating: 15 A}}
  S1: {{is: switch, positions: {{rest: [], start: [1-2]}}}}
  S2: {{is: switch, positions: {{parted: [], joined: [1-2]}}}}
  P1: {{is: motor, draws: 5 A at 12 V}}
  GND1: {{is: ground, body: chassis}}
  GND2: {{is: ground, body: chassis}}
circuits:
  main:
    number: 1
    class: starter
    size: 35 mm2
    paths: [G1 > M1.30, G1.- > GND1]
    wires: {{1.1: {{length: 1 m}}, 1.2: {{length: 0.5 m}}}}
  link:
    number: 2
    class: charging
    size: 10 mm2
    paths: [G1 > F2 > S2 > G2.+, G2.- > GND2]
    wires: {{2.1: {{length: 1 m}}, 2.2: {{length: 1 m}}, 2.3: {{length: 10 m}}, 2.4: {{length: 0.5 m}}}}
  rest:
    number: 3
    class: control
    size: 2.5 mm2
    paths: [G1 > F1 > S1 > M1.50, {} > F3 > P1 > GND2]
states:
  parked: {{engine: stopped, lasts: 2 d, set: {{S1: rest, S2: parted}}}}
  cranking: {{engine: cranking, set: {{S1: start, S2: joined}}}}
)",
                                  feed));
}

double parked_figure(const Finding& finding, std::string_view label) {
    const auto found = std::ranges::find(finding.figures, label, &Figure::label);
    return found == finding.figures.end() ? std::nan("") : found->value;
}

long parked_findings(const Checked& car) {
    return std::ranges::count(car.findings.all(), Rule::parked_drain, &Finding::rule);
}

} // namespace

TEST_CASE("a house battery that only helps does not keep the car from starting") {
    // While cranking G2 at 12.25 V is behind some 24 mohm of fuse, switch and 12 m of 10 mm2 (1.8
    // mohm/m): it gives some 20 A, G1 the other 170 and more.
    const auto car = car_with_two_batteries("G2");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    INFO(car->text());
    REQUIRE(parked_findings(*car) == 1);
    const Finding* found = car->find(Rule::parked_drain, "parked");
    REQUIRE(found != nullptr);
    CHECK(found->severity == Severity::caution);
    CHECK(found->message.find("5 A is drawn from G2") == 0);
    CHECK(found->message.find("it is down to 20 %") != std::string::npos);
    CHECK(found->message.find("no longer starts") == std::string::npos);
    // From 60 to 20 % of 95 Ah at 5 A, and 0.1 % a day by itself.
    const double capacity_as = 95.0 * 3600.0;
    const double low_after_s = 0.4 / (5.0 / capacity_as + 0.001 / 86400.0);
    CHECK(parked_figure(*found, "low after") == doctest::Approx(low_after_s).epsilon(1e-6));
    CHECK(parked_figure(*found, "stands for") == 2.0 * 86400.0);
    CHECK(parked_figure(*found, "drain") == doctest::Approx(5.0));
}

TEST_CASE("the battery that the start needs is still asked for its 20 %") {
    const auto car = car_with_two_batteries("G1");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    INFO(car->text());
    // G2 loses 0.1 % a day by itself: it has 60 % left after the two days.
    REQUIRE(parked_findings(*car) == 1);
    const Finding* found = car->find(Rule::parked_drain, "parked");
    REQUIRE(found != nullptr);
    CHECK(found->severity == Severity::fault);
    CHECK(found->message.find("no longer starts") != std::string::npos);
    // G1 is full and starts the engine down to 20 %: 80 % of 70 Ah at 5 A. Found by halving, to a
    // thousandth of the time; the charge told is that of then, and not of G2.
    const double capacity_as = 70.0 * 3600.0;
    const double until_s = 0.8 / (5.0 / capacity_as + 0.001 / 86400.0);
    CHECK(parked_figure(*found, "starts until") == doctest::Approx(until_s).epsilon(3e-3));
    CHECK(parked_figure(*found, "charge then") == doctest::Approx(20.0).epsilon(0.01));
}

} // namespace loomwright
