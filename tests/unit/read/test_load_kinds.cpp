// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/load_list.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

TEST_CASE("a word in the name says what a load is") {
    struct Case {
        const char* name;
        LoadKind kind;
    };
    for (const Case& c :
         {Case{"Headlamp left", LoadKind::lamp}, Case{"HEADLIGHTS", LoadKind::lamp},
          Case{"LED tail lamp", LoadKind::led_lamp}, Case{"Fuel pump", LoadKind::motor},
          Case{"Heater blower", LoadKind::motor}, Case{"Cigar lighter", LoadKind::heater},
          Case{"Heated rear window", LoadKind::heater}, Case{"Horns (2)", LoadKind::coil},
          Case{"Wipers", LoadKind::motor}, Case{"Pump relay", LoadKind::coil},
          Case{"radio/clock", LoadKind::electronics}}) {
        CAPTURE(std::string(c.name));
        const auto guess = guess_load_kind(c.name);
        REQUIRE(guess.has_value());
        CHECK(guess->kind == c.kind);
    }
}

TEST_CASE("a short word inside another says nothing") {
    for (const char* name : {"Controlled thing", "fantastic", "", "12345", "\xE6\x97\xA5"}) {
        CAPTURE(std::string(name));
        CHECK_FALSE(guess_load_kind(name).has_value());
    }
}
