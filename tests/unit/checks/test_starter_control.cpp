// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The way to terminal 50 of a starter against the limit of class starter-control: 1.4 V of 12 V in
// the lead (table drop-limits, automotive handbook). The solenoid has 1 ohm at 20 C, the zone's air
// while it works for moments; the battery is left with 11 to 12 V.
#include "checks/checked.hpp"
#include "sizing/judged.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

std::unique_ptr<Checked> cranked(const char* lead, const char* drop_class = "starter-control") {
    auto car = check_text(
        fmt::format("loomwright: 1\n"
                    "devices:\n"
                    "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                    "  F1: {{is: fuse, rating: 15 A}}\n"
                    "  S1: {{is: switch, contact: 30 A, positions: {{rest: [], start: [1-2]}}}}\n"
                    "  M1: {{is: starter, case: chassis, draws: 150 A at 10 V, solenoid: 1 ohm}}\n"
                    "  GND1: {{is: ground, body: chassis}}\n"
                    "circuits:\n"
                    "  main:\n"
                    "    number: 1\n"
                    "    class: starter\n"
                    "    size: 35 mm2\n"
                    "    paths: [G1 > M1.30, G1.- > GND1]\n"
                    "    wires: {{1.1: {{length: 1 m}}, 1.2: {{length: 0.5 m}}}}\n"
                    "  control:\n"
                    "    number: 2\n"
                    "    class: {}\n"
                    "    size: 2.5 mm2\n"
                    "    paths: [G1 > F1 > S1 > M1.50]\n"
                    "    wires: {{2.1: {{length: 0.2 m}}, 2.2: {{length: 0.5 m}}, 2.3: {{{}}}}}\n"
                    "states: {{cranking: {{engine: cranking, set: {{S1: start}}}}}}\n",
                    drop_class, lead));
    REQUIRE(car->is_sized);
    return car;
}

const LoadDrop* solenoid_drop(const Checked& car) {
    const auto found = std::ranges::find_if(car.sizing.drops, &LoadDrop::is_solenoid);
    return found == car.sizing.drops.end() ? nullptr : &*found;
}

} // namespace

TEST_CASE("starter-control: a lead to terminal 50 that takes too much is told, once") {
    // 1 mm2 has 18.5 mohm/m (ISO 6722): 10 m in a row with 1 ohm take 0.185 / 1.185 = 16 % of 11 V
    // or more, 1.7 V, over 1.4 V. The solenoid is left with over 8 V (two thirds of 12 V) and comes
    // in.
    const auto car = cranked("size: 1 mm2, length: 10 m");
    INFO(car->text());
    const Finding* found = car->find(Rule::drop_limit, "M1");
    REQUIRE(found != nullptr);
    CHECK(found->message.find("to terminal 50") != std::string::npos);
    CHECK(found->message.find("starter-control") != std::string::npos);
    CHECK(std::ranges::count(car->findings.all(), Rule::drop_limit, &Finding::rule) == 1);
    CHECK(car->find(Rule::relay_pull_in) == nullptr);
    const LoadDrop* drop = solenoid_drop(*car);
    REQUIRE(drop != nullptr);
    CHECK(drop->limit_v == doctest::Approx(1.4));
    CHECK(drop->amps == doctest::Approx(drop->load_v / 1.0).epsilon(1e-6)); // Ohm, not the motor's
    CHECK(drop->drop_v > 0.185 * drop->amps);
    // Home it comes with the 150 A of the motor, in whose drop that way is.
    CHECK(drop->back.empty());
    CHECK(drop->drop_v < drop->supply_v - drop->load_v);
}

TEST_CASE("starter-control: a lead within the limit, and one of another class, are not told") {
    // 2.5 mm2 has 7.6 mohm/m: 10 m take 7 % of less than 12 V, 0.9 V with a warm lead.
    CHECK(cranked("size: 2.5 mm2, length: 10 m")->find(Rule::drop_limit) == nullptr);
    // The 0.6 V of class other are not meant for a solenoid.
    CHECK(cranked("size: 1 mm2, length: 10 m", "other")->find(Rule::drop_limit) == nullptr);
}

TEST_CASE("starter-control: a lead to be chosen grows for it") {
    // At 50 C copper has 1.118 of its ohms at 20 C. 18 m of 3 mm2 (6.15 mohm/m) are 0.124 ohm there
    // and take 0.124 / 1.124 of 11.4 V, 1.26 V, of 4 mm2 (4.71 mohm/m) 0.095 / 1.095, 0.99 V. Fuse,
    // switch and the short leads have about 20 mohm, 0.2 V: the one is over 1.4 V, the other under.
    const auto car = cranked("size: auto, length: 18 m");
    INFO(car->text());
    CHECK(car->find(Rule::drop_limit) == nullptr);
    CHECK(car->size("2.3") == "4 mm2");
    CHECK(car->wire("2.3").decided_by == Reason::drop);
    CHECK(car->wire("2.3").why.find("M1.50") != std::string::npos);
}

TEST_CASE("starter-control: a solenoid that does not come in is told as that alone") {
    // 0.5 mm2 has 37.1 mohm/m: 20 m leave 1 / 1.74 of less than 13 V, 7.5 V, under 8 V.
    const auto car = cranked("size: 0.5 mm2, length: 20 m");
    INFO(car->text());
    CHECK(car->find(Rule::relay_pull_in, "M1") != nullptr);
    CHECK(car->find(Rule::drop_limit) == nullptr);
}
