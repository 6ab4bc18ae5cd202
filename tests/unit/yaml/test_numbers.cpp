// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Plain numbers, whole numbers, truth values: what is read and what is refused, whatever the
// locale.

#include "yaml/quantity_text.hpp"

#include <doctest/doctest.h>

#include <clocale>
#include <limits>

using namespace loomwright;

TEST_CASE("plain numbers") {
    struct Row {
        const char* text;
        double value;
    };
    const Row rows[] = {{"0", 0},        {"7", 7},   {"12.50", 12.5},  {".5", 0.5},
                        {"-3", -3},      {"+3", 3},  {"0.001", 0.001}, {"1e3", 1000},
                        {"5E-3", 0.005}, {" 4 ", 4}, {"1e308", 1e308}, {"0.0", 0}};
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        const auto value = read_number(row.text, fault);
        REQUIRE(value);
        CHECK(*value == row.value);
    }
}

TEST_CASE("what is no plain number, and why") {
    struct Row {
        const char* text;
        const char* message;
        const char* remedy;
    };
    const Row rows[] = {
        {"", "there is no number here", "write a plain number"},
        {"auto", "`auto` is not a number", "write a plain number"},
        {"nan", "`nan` is not a number", "write a plain number"},
        {".nan", "`.nan` is not a number", "write a plain number"},
        {"inf", "`inf` is not a number", "write a plain number"},
        {"-inf", "`-inf` is not a number", "write a plain number"},
        {"1e999", "`1e999` is beyond what a number can hold",
         "write the number in full, or in another unit"},
        {"-1e999", "`-1e999` is beyond what a number can hold",
         "write the number in full, or in another unit"},
        {"0x10", "`0x10` is written in hexadecimal", "write a decimal number"},
        {"010", "`010` begins with a zero that says nothing", "write `10`"},
        {"00", "`00` begins with a zero that says nothing", "write `0`"},
        {"007.5", "`007.5` begins with a zero that says nothing", "write `7.5`"},
        {"00.5", "`00.5` begins with a zero that says nothing", "write `0.5`"},
        {"1,5", "`1,5` is written with a comma",
         "write a decimal point, and no mark between thousands: `1.5`, `1500`"},
        {"1,500.0", "`1,500.0` is written with a comma",
         "write a decimal point, and no mark between thousands: `1.5`, `1500`"},
        {"1_500", "`1_500` has a mark between its digits", "write the digits alone: `1500`"},
        {"1'500", "`1'500` has a mark between its digits", "write the digits alone: `1500`"},
        {"1 500", "`1 500` has a space between its digits",
         "write the digits of one number without a space"},
        {"1.2.3", "`1.2.3` is not a number", "write digits with at most one decimal point: `1.5`"},
        {"1/2", "`1/2` is written as a fraction", "write a decimal number: `0.5` for 1/2"},
        {"--5", "`--5` is not a number", "write a plain number"},
        {"5 V", "`5 V` is more than a plain number", "write the number alone, without a unit"},
        {"12.50 EUR", "`12.50 EUR` is more than a plain number",
         "write the number alone, without a unit"},
    };
    for (const Row& row : rows) {
        CAPTURE(row.text);
        TextFault fault;
        CHECK_FALSE(read_number(row.text, fault));
        CHECK(fault.rule == Rule::bad_number);
        CHECK(fault.message == row.message);
        CHECK(fault.remedy == row.remedy);
    }
}

TEST_CASE("a long text is cut where it is quoted, between characters") {
    TextFault fault;
    std::string text;
    for (int i = 0; i < 50; ++i) {
        text += "\xC3\xBC";
    }
    CHECK_FALSE(read_number("x" + text, fault));
    CHECK(fault.message.size() < 80);
    CHECK(fault.message.find("...`") != std::string::npos);
    CHECK(fault.message.find("\xC3...") == std::string::npos);
}

TEST_CASE("whole numbers") {
    TextFault fault;
    CHECK(read_count("16", fault) == 16);
    CHECK(read_count("-2", fault) == -2);
    CHECK_FALSE(read_count("1.5", fault));
    CHECK(fault.message == "`1.5` is not a whole number");
    CHECK_FALSE(read_count("1000000000000", fault));
    CHECK(fault.message == "`1000000000000` is larger than anything that is counted here");
    CHECK(fault.remedy == "correct the number");
    CHECK_FALSE(read_count("1e12", fault));
    CHECK_FALSE(read_count("012", fault));
}

TEST_CASE("truth values, in any letter case, and nothing else") {
    for (const char* yes : {"yes", "Yes", "YES", "true", "True", "on", "ON", " on "}) {
        CHECK(read_truth(yes) == true);
    }
    for (const char* no : {"no", "NO", "false", "off", "Off"}) {
        CHECK(read_truth(no) == false);
    }
    for (const char* other : {"", "y", "n", "1", "0", "maybe", "onn"}) {
        CHECK_FALSE(read_truth(other).has_value());
    }
}

TEST_CASE("the locale of the machine changes nothing") {
    // A locale with a decimal comma, where one is installed.
    const char* set = std::setlocale(LC_ALL, "de_DE.UTF-8");
    TextFault fault;
    CHECK(read_number("1.5", fault) == 1.5);
    CHECK_FALSE(read_number("1,5", fault));
    CHECK(read_quantity("12.6 V", Dimension::voltage, fault) == 12.6);
    std::setlocale(LC_ALL, "C");
    (void)set;
}
