// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Quantities in the units people write. Factors: 1 in = 25.4 mm exactly (ISO 80000-3), t/C = (t/F -
// 32) x 5/9.

#include "yaml/quantity_text.hpp"

#include <doctest/doctest.h>

#include <set>
#include <string>

using namespace loomwright;
// Not `time`: the C library has a function of that name.
using Dimension::charge;
using Dimension::current;
using Dimension::length;
using Dimension::power;
using Dimension::resistance;
using Dimension::share;
using Dimension::size;
using Dimension::temperature;
using Dimension::voltage;

TEST_CASE("a number with its unit, with a space or without") {
    struct Row {
        const char* text;
        Dimension dimension;
        double value;
    };
    const Row rows[] = {
        {"6 ft", length, 1.8288},
        {"2.1 m", length, 2.1},
        {"850 mm", length, 0.85},
        {"38 in", length, 0.9652},
        {"12 cm", length, 0.12},
        {"-450 mm", length, -0.45},
        {"850mm", length, 0.85},
        {"12.6 V", voltage, 12.6},
        {"12V", voltage, 12.0},
        {"500 mV", voltage, 0.5},
        {"22 A", current, 22.0},
        {"20 mA", current, 0.02},
        {"300 uA", current, 3e-4},
        {"300 \xC2\xB5"
         "A",
         current, 3e-4},
        {"300 \xCE\xBC"
         "A",
         current, 3e-4},
        {"85 ohm", resistance, 85.0},
        {"5 mohm", resistance, 0.005},
        {"2.2 kohm", resistance, 2200.0},
        {"85 \xCE\xA9", resistance, 85.0},
        {"85 \xE2\x84\xA6", resistance, 85.0},
        {"5 m\xCE\xA9", resistance, 0.005},
        {"55 W", power, 55.0},
        {"1.2 kW", power, 1200.0},
        {"65 Ah", charge, 234000.0},
        {"85 C", temperature, 85.0},
        {"85 \xC2\xB0"
         "C",
         temperature, 85.0},
        {"-10 C", temperature, -10.0},
        {"0.4 s", Dimension::time, 0.4},
        {"21 d", Dimension::time, 1814400.0},
        {"3 min", Dimension::time, 180.0},
        {"2 h", Dimension::time, 7200.0},
        {"50 ms", Dimension::time, 0.05},
        {"70 %", share, 0.7},
        {"70%", share, 0.7},
        {"12.6\tV", voltage, 12.6},
        {"12.6\xC2\xA0V", voltage, 12.6},
        {"12.6\xE2\x80\x89V", voltage, 12.6},
        {"1e3 mm", length, 1.0},
        {".5 m", length, 0.5},
    };
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        const auto value = read_quantity(row.text, row.dimension, fault);
        REQUIRE_MESSAGE(value, fault.message);
        CHECK(*value == doctest::Approx(row.value).epsilon(1e-14));
    }
}

TEST_CASE("fahrenheit at fixed points") {
    TextFault fault;
    CHECK(*read_quantity("32 F", temperature, fault) == doctest::Approx(0.0).epsilon(1e-12));
    CHECK(*read_quantity("212 F", temperature, fault) == doctest::Approx(100.0));
    CHECK(*read_quantity("-40 F", temperature, fault) == doctest::Approx(-40.0));
    CHECK(*read_quantity("205 F", temperature, fault) == doctest::Approx(96.1111111111));
}

TEST_CASE("a missing unit names the units that can be written") {
    TextFault fault;
    CHECK_FALSE(read_quantity("60", current, fault));
    CHECK(fault.rule == Rule::missing_unit);
    CHECK(fault.message == "`60` has no unit: a current is written in A or mA");
    CHECK(fault.remedy == "write the unit after the number: `60 A`");
    CHECK_FALSE(read_quantity("1.15", length, fault));
    CHECK(fault.rule == Rule::missing_unit);
    CHECK(fault.message == "`1.15` has no unit: a length is written in m, mm, cm, in or ft");
    CHECK_FALSE(read_quantity("0", voltage, fault));
    CHECK(fault.rule == Rule::missing_unit);
}

TEST_CASE("a unit of another quantity is told from one that is none") {
    TextFault fault;
    CHECK_FALSE(read_quantity("850 mm", voltage, fault));
    CHECK(fault.rule == Rule::wrong_dimension);
    CHECK(fault.message == "`850 mm` is a length, not a voltage");
    CHECK(fault.remedy == "write a voltage in V or mV");
    CHECK_FALSE(read_quantity("65 A", charge, fault));
    CHECK(fault.rule == Rule::wrong_dimension);
    CHECK(fault.message == "`65 A` is a current, not a charge");
    CHECK_FALSE(read_quantity("1.5 mm2", length, fault));
    CHECK(fault.rule == Rule::wrong_dimension);
    CHECK_FALSE(read_quantity("5 metres", length, fault));
    CHECK(fault.rule == Rule::unknown_word);
    CHECK(fault.message == "`metres` is not a unit that is known");
    CHECK(fault.remedy == "write a length in m, mm, cm, in or ft");
    CHECK_FALSE(read_quantity("12 v", voltage, fault));
    CHECK(fault.rule == Rule::unknown_word);
    CHECK(fault.remedy == "did you mean `V`? a voltage is written in V or mV");
    CHECK_FALSE(read_quantity("5 ohms", resistance, fault));
    CHECK(fault.remedy == "did you mean `ohm`? a resistance is written in ohm, mohm or kohm");
}

TEST_CASE(
    "of a unit of one letter only the case is a slip, and marks for feet and inches are none") {
    TextFault fault;
    CHECK_FALSE(read_quantity("363 K", Dimension::temperature, fault));
    CHECK(fault.remedy == "write a temperature in C or F");
    CHECK_FALSE(read_quantity("90 c", Dimension::temperature, fault));
    CHECK(fault.remedy == "did you mean `C`? a temperature is written in C or F");
    for (const auto* const text : {"4'", "4 '", "4''"}) {
        CAPTURE(text);
        CHECK_FALSE(read_quantity(text, length, fault));
        CHECK(fault.rule == Rule::unknown_word);
        CHECK(fault.remedy == "write a length in m, mm, cm, in or ft");
    }
    CHECK_FALSE(read_quantity("44\"", length, fault));
    CHECK(fault.message == "`\"` is not a unit that is known");
    CHECK(fault.remedy == "write a length in m, mm, cm, in or ft");
}

TEST_CASE("a share below one without its sign was meant in percent") {
    TextFault fault;
    CHECK_FALSE(read_quantity("0.7", Dimension::share, fault));
    CHECK(fault.message == "`0.7` has no unit: a share is written in %");
    CHECK(fault.remedy == "write the share in percent: `70 %`"); // 100 * 0.7
    CHECK_FALSE(read_quantity("80", Dimension::share, fault));
    CHECK(fault.remedy == "write the unit after the number: `80 %`");
}

TEST_CASE("where two kinds of quantity will do, both are told with an unknown unit") {
    TextFault fault;
    CHECK_FALSE(read_either("0.2 hp", Dimension::current, Dimension::power, fault));
    CHECK(fault.remedy == "write a current in A or mA; a power in W or kW");
    CHECK_FALSE(read_either("55 w", Dimension::current, Dimension::power, fault));
    CHECK(fault.remedy == "did you mean `W`? a current is written in A or mA; a power in W or kW");
}

TEST_CASE("numbers that are none keep their faults with a unit behind them") {
    struct Row {
        const char* text;
        const char* message;
    };
    const Row rows[] = {
        {"1e999 m", "`1e999` is beyond what a number can hold"},
        {"1e308 kW", "`1e308 kW` is beyond what a number can hold"},
        {"nan V", "`nan V` is not a number"},
        {"inf m", "`inf m` is not a number"},
        {"0x10 m", "`0x10 m` is written in hexadecimal"},
        {"010 m", "`010` begins with a zero that says nothing"},
        {"1,5 m", "`1,5` is written with a comma"},
        {"1 000 mm", "`1 000 mm` has a space between its digits"},
        {"1/2 in", "`1/2 in` is written as a fraction"},
        {"", "there is no number here"},
        {"m", "`m` is not a number"},
        {"\xE2\x88\x92"
         "5 m",
         "`\xE2\x88\x92"
         "5 m` is not a number"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        const Dimension wanted =
            std::string_view(row.text).find('W') != std::string_view::npos   ? power
            : std::string_view(row.text).find('V') != std::string_view::npos ? voltage
                                                                             : length;
        CHECK_FALSE(read_quantity(row.text, wanted, fault));
        CHECK(fault.rule == Rule::bad_number);
        CHECK(fault.message == row.message);
        CHECK_FALSE(fault.remedy.empty());
    }
}

TEST_CASE("two quantities in one text") {
    TextFault fault;
    const auto draws = read_pair("22 A at 13 V", "at", current, power, voltage, fault);
    REQUIRE(draws);
    CHECK(draws->first.value == 22.0);
    CHECK(draws->first.dimension == current);
    CHECK(draws->second->value == 13.0);
    CHECK(draws->second_offset == 8);
    const auto watts = read_pair("55 W at 13.2 V", "at", current, power, voltage, fault);
    REQUIRE(watts);
    CHECK(watts->first.dimension == power);
    const auto alone = read_pair("55 W", "at", current, power, voltage, fault);
    REQUIRE(alone);
    CHECK_FALSE(alone->second);
    const auto pulse = read_pair("70 A for 0.4 s", "for", current, current, Dimension::time, fault);
    REQUIRE(pulse);
    CHECK(pulse->second->value == 0.4);
    CHECK(read_pair("22A at 13V", "at", current, power, voltage, fault)->second->value == 13.0);
    CHECK(read_pair("22 A  at\t13 V", "at", current, power, voltage, fault)->second->value == 13.0);
}

TEST_CASE("a fault in one of two quantities points at it") {
    TextFault fault;
    CHECK_FALSE(read_pair("22 A at 13", "at", current, power, voltage, fault));
    CHECK(fault.rule == Rule::missing_unit);
    CHECK(fault.offset == 8);
    CHECK(fault.length == 2);
    CHECK_FALSE(read_pair("22 at 13 V", "at", current, power, voltage, fault));
    CHECK(fault.rule == Rule::missing_unit);
    CHECK(fault.message == "`22` has no unit: a current is written in A or mA; a power in W or kW");
    CHECK(fault.offset == 0);
    CHECK(fault.length == 2);
    CHECK_FALSE(read_pair("22 A at ", "at", current, power, voltage, fault));
    CHECK(fault.rule == Rule::bad_number);
    CHECK_FALSE(read_pair("22 V", "at", current, power, voltage, fault));
    CHECK(fault.rule == Rule::wrong_dimension);
}

TEST_CASE("a conductor size keeps its number as a name") {
    struct Row {
        const char* text;
        const char* number;
        const char* unit;
    };
    const Row rows[] = {{"18 AWG", "18", "AWG"},          {"0 AWG", "0", "AWG"},
                        {"1/0 AWG", "1/0", "AWG"},        {"0000 AWG", "0000", "AWG"},
                        {"4/0 AWG", "4/0", "AWG"},        {"16 SAE", "16", "SAE"},
                        {"0.75 mm2", "0.75", "mm2"},      {"1.5mm2", "1.5", "mm2"},
                        {"1.5 mm\xC2\xB2", "1.5", "mm2"}, {"18AWG", "18", "AWG"}};
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        const auto size = read_size(row.text, fault);
        REQUIRE_MESSAGE(size, fault.message);
        CHECK(size->number == row.number);
        CHECK(size->unit == row.unit);
    }
}

TEST_CASE("what is no conductor size") {
    struct Row {
        const char* text;
        Rule rule;
    };
    const Row rows[] = {{"1.5", Rule::missing_unit},      {"0000", Rule::missing_unit},
                        {"18", Rule::missing_unit},       {"1.5 m", Rule::wrong_dimension},
                        {"1.5 sqmm", Rule::unknown_word}, {"1,5 mm2", Rule::bad_number},
                        {"01.5 mm2", Rule::bad_number},   {"1.5 AWG", Rule::bad_number},
                        {"/0 AWG", Rule::bad_number},     {"auto", Rule::bad_number},
                        {"-1.5 mm2", Rule::out_of_range}, {"1 5 mm2", Rule::bad_number},
                        {"", Rule::bad_number},           {"1/0 mm2", Rule::bad_number}};
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        CHECK_FALSE(read_size(row.text, fault));
        CHECK(rule_info(fault.rule).id == rule_info(row.rule).id);
        CHECK_FALSE(fault.remedy.empty());
    }
    TextFault fault;
    CHECK_FALSE(read_size("1.5", fault));
    CHECK(fault.message == "`1.5` has no unit: a conductor size is written in mm2, AWG or SAE");
    CHECK(fault.remedy == "write `1.5 mm2`, `1.5 AWG` or `1.5 SAE`: each is another conductor");
}

TEST_CASE("the table of units has each spelling once, and a leading unit for every dimension") {
    std::set<std::string_view> seen;
    for (const UnitSpelling& unit : unit_table()) {
        CHECK(seen.insert(unit.spelling).second);
        CHECK(find_unit(unit.spelling) == &unit);
        CHECK(unit.factor > 0.0);
    }
    CHECK(find_unit("furlong") == nullptr);
    CHECK(leading_unit(length).spelling == "m");
    CHECK(leading_unit(share).spelling == "%");
    CHECK(accepted_units(Dimension::time) == "s, ms, min, h or d");
    CHECK(accepted_units(share) == "%");
}
