// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Points of the chi-square and normal tables that every book of statistics prints (for instance
// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7; memory): to the three decimals there.
#include "study/chi_square.hpp"

#include <doctest/doctest.h>

#include <array>

namespace loomwright {
namespace {

struct PrintedPoint {
    int degrees;
    double beyond;
    double x;
};

TEST_CASE("the tail of chi-square at the printed points") {
    constexpr std::array points{
        PrintedPoint{1, 0.05, 3.841}, PrintedPoint{1, 0.01, 6.635}, PrintedPoint{2, 0.05, 5.991},
        PrintedPoint{3, 0.05, 7.815}, PrintedPoint{4, 0.01, 13.277}, PrintedPoint{5, 0.95, 1.145},
        PrintedPoint{9, 0.01, 21.666}, PrintedPoint{10, 0.05, 18.307},
        PrintedPoint{29, 0.01, 49.588}, PrintedPoint{30, 0.05, 43.773},
        PrintedPoint{100, 0.05, 124.342},
        // less than one: less than there is to expect of a single degree
        PrintedPoint{1, 0.50, 0.455}, PrintedPoint{3, 0.95, 0.352}, PrintedPoint{4, 0.95, 0.711}};
    for (const PrintedPoint& point : points) {
        CAPTURE(point.degrees);
        // three decimals of x, at slopes of the tail below a half
        CHECK(chi_square_beyond(point.x, point.degrees) ==
              doctest::Approx(point.beyond).epsilon(0.002));
    }
}

TEST_CASE("the tail of chi-square at its ends") {
    CHECK(chi_square_beyond(0.0, 5) == 1.0);
    CHECK(chi_square_beyond(12.0, 0) == 1.0);
    CHECK(chi_square_beyond(1e6, 7) == 0.0);
    CHECK(chi_square_beyond(300.0, 400) == doctest::Approx(1.0).epsilon(1e-3));
}

TEST_CASE("the largest of normal numbers at the printed points") {
    CHECK(largest_of(1, 0.05) == doctest::Approx(1.960).epsilon(0.001));
    CHECK(largest_of(1, 0.0027) == doctest::Approx(3.000).epsilon(0.001));
    CHECK(largest_of(10, 0.05) == doctest::Approx(2.807).epsilon(0.001)); // of 0.005 either way
}

} // namespace
} // namespace loomwright
