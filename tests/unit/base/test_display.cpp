// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/display.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

using namespace loomwright;

TEST_CASE("numbers keep four significant digits and no trailing zeros") {
    CHECK(show_number(0.0) == "0");
    CHECK(show_number(-0.0) == "0");
    CHECK(show_number(1.0) == "1");
    CHECK(show_number(12.5) == "12.5");
    CHECK(show_number(13.4159) == "13.42");
    CHECK(show_number(0.0123456) == "0.01235");
    CHECK(show_number(100.0) == "100");
    CHECK(show_number(1234.56) == "1235");
    CHECK(show_number(-3.14159) == "-3.142");
    CHECK(show_number(2.0 / 3.0, 2) == "0.67");
}

TEST_CASE("whole digits before the point are never dropped and the e-form is never used") {
    CHECK(show_number(123456.0) == "123456");
    CHECK(show_number(1e9) == "1000000000");
    CHECK(show_number(1e-6) == "0.000001");
}

TEST_CASE("rounding that lengthens a number does not add a digit") {
    CHECK(show_number(9.9996) == "10");
    CHECK(show_number(99.996) == "100");
    CHECK(show_number(9.9994) == "9.999");
    CHECK(show_number(0.099996) == "0.1");
}

TEST_CASE("what is not a number says so") {
    CHECK(show_number(std::numeric_limits<double>::infinity()) == "infinite");
    CHECK(show_number(-std::numeric_limits<double>::infinity()) == "-infinite");
    CHECK(show_number(std::numeric_limits<double>::quiet_NaN()) == "undefined");
}

TEST_CASE("a shown number, read again, is within half of its last digit") {
    for (int exponent = -5; exponent <= 5; ++exponent) {
        for (int step = 1; step < 1000; step += 7) {
            const double value = (1.0 + step * 0.00901) * std::pow(10.0, exponent);
            const double read = std::stod(show_number(value));
            CAPTURE(value);
            CHECK(std::abs(read - value) <=
                  0.5001e-3 * std::pow(10.0, std::floor(std::log10(value))));
        }
    }
}

TEST_CASE("each quantity in the unit people read") {
    CHECK(show(Volts(13.4159)) == "13.42 V");
    CHECK(show(Volts(0.085)) == "85 mV");
    CHECK(show(Volts(0.0)) == "0 V");
    CHECK(show(Volts(-0.05)) == "-50 mV");
    CHECK(show(Amps(22.4)) == "22.4 A");
    CHECK(show(Amps(0.035)) == "35 mA");
    CHECK(show(Ohms(85.0)) == "85 ohm");
    CHECK(show(Ohms(0.0124)) == "12.4 mohm");
    CHECK(show(Watts(55.0)) == "55 W");
    CHECK(show(Metres(2.1)) == "2.10 m");
    CHECK(show(SquareMetres(1.5e-6)) == "1.5 mm2");
    CHECK(show(SquareMetres(120e-6)) == "120 mm2");
    CHECK(show(Celsius(95.0)) == "95 C");
    CHECK(show(Celsius(-18.0)) == "-18 C");
    CHECK(show(Kelvins(12.5)) == "12.5 K");
    CHECK(show(Coulombs(65.0 * 3600.0)) == "65 Ah");
    CHECK(show(Kilograms(1.25)) == "1.25 kg");
    CHECK(show_percent(0.75) == "75 %");
    CHECK(show_percent(-0.125) == "-12.5 %");
}

TEST_CASE("times are shown in the unit of their size") {
    CHECK(show(Seconds(0.0)) == "0 s");
    CHECK(show(Seconds(0.004)) == "4 ms");
    CHECK(show(Seconds(0.4)) == "0.4 s");
    CHECK(show(Seconds(119.0)) == "119 s");
    CHECK(show(Seconds(180.0)) == "3 min");
    CHECK(show(Seconds(7200.0)) == "2 h");
    CHECK(show(Seconds(21.0 * 86400.0)) == "21 d");
}
