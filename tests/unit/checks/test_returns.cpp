// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// no-return in a car with its plus on the metal: a load is live by the minus of the battery, and
// comes home by the metal.
#include "checks/checked.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

namespace {

/// A heater that works; E2 and E3, and the paths to them, are for the test.
std::unique_ptr<Checked> plus_on_metal(const std::string& devices, const std::string& paths) {
    auto car = check_text("loomwright: 1\n"
                          "devices:\n"
                          "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}\n"
                          "  F1: {is: fuse, rating: 10 A}\n"
                          "  E1: {is: heater, draws: 5 A at 13 V}\n" +
                          devices +
                          "  GND1: {is: ground, body: chassis}\n"
                          "circuits:\n"
                          "  one:\n"
                          "    number: 1\n"
                          "    paths:\n"
                          "      - G1.- > F1 > E1.-\n"
                          "      - E1.+ > GND1\n"
                          "      - G1.+ > GND1\n" +
                          paths);
    REQUIRE(car->is_sized);
    return car;
}

} // namespace

TEST_CASE("no-return, plus on the metal: a heater on its case that nothing feeds is not live") {
    // Kirchhoff: with one end on the metal and no wire at the other it is a load that is not fed,
    // as it would be with the minus on the metal.
    const auto car =
        plus_on_metal("  E2: {is: heater, draws: 5 A at 13 V, case: chassis}\n", std::string());
    INFO(car->text());
    CHECK(car->find(Rule::no_return) == nullptr);
    CHECK(car->find(Rule::unused_part, "E2") != nullptr);
}

TEST_CASE("no-return, plus on the metal: fed by the minus, with nothing that leads home") {
    // E2 the usual way round, E3 fed at its plus end: that the other end of each is open is told.
    const std::string devices = "  E2: {is: heater, draws: 2 A at 13 V}\n"
                                "  E3: {is: heater, draws: 2 A at 13 V}\n";
    const auto lost = plus_on_metal(devices, "      - F1.out > E2.-\n"
                                             "      - F1.out > E3.+\n");
    INFO(lost->text());
    const Finding* second = lost->find(Rule::no_return, "E2");
    REQUIRE(second != nullptr);
    CHECK(second->message.find("E2.+ leads nowhere") != std::string::npos);
    CHECK(second->remedy.find("the battery's plus") != std::string::npos);
    REQUIRE(lost->find(Rule::no_return, "E3") != nullptr);
    CHECK(lost->find(Rule::no_return, "E1") == nullptr);
    const auto home = plus_on_metal(devices, "      - F1.out > E2.-\n"
                                             "      - F1.out > E3.+\n"
                                             "      - E2.+ > GND1\n"
                                             "      - E3.- > GND1\n");
    INFO(home->text());
    CHECK(home->find(Rule::no_return) == nullptr);
}

TEST_CASE("no-return, plus on the metal: the way home through another load, in its direction") {
    // E2 and E3 in series have a way home whichever way round each is written. Two that are fed
    // from the same fuse and share a lost ground have none: what comes out of the one cannot go on
    // through the other, whose far end is as live.
    const std::string devices = "  E2: {is: heater, draws: 2 A at 13 V}\n"
                                "  E3: {is: heater, draws: 2 A at 13 V}\n";
    const auto in_series = plus_on_metal(devices, "      - F1.out > E2.-\n"
                                                  "      - E2.+ > E3.-\n"
                                                  "      - E3.+ > GND1\n");
    INFO(in_series->text());
    CHECK(in_series->find(Rule::no_return) == nullptr);
    const auto lost = plus_on_metal(devices, "      - F1.out > E2.-\n"
                                             "      - F1.out > E3.-\n"
                                             "      - E2.+ > E3.+\n");
    INFO(lost->text());
    CHECK(lost->find(Rule::no_return, "E2") != nullptr);
    CHECK(lost->find(Rule::no_return, "E3") != nullptr);
}

TEST_CASE("no-return, plus on the metal: two batteries in a row") {
    // The first's plus on the chassis, the second's minus feeds: home is in at the first's plus.
    const auto car = check_text("loomwright: 1\n"
                                "nominal: 24 V\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}\n"
                                "  G2: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}\n"
                                "  F1: {is: fuse, rating: 10 A}\n"
                                "  E1: {is: heater, draws: 5 A at 24 V}\n"
                                "  E2: {is: heater, draws: 5 A at 24 V}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    paths:\n"
                                "      - GND1 > G1.+/- > G2.+/- > F1 > E1.-\n"
                                "      - E1.+ > GND1\n"
                                "      - F1.out > E2.-\n");
    REQUIRE(car->is_sized);
    INFO(car->text());
    CHECK(car->find(Rule::no_return, "E1") == nullptr);
    CHECK(car->find(Rule::no_return, "E2") != nullptr);
}
