// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Two protective devices in series: the case worked by hand in docs/method/protection.md, and every
// pair of ratings against a walk along the two bands.

#include "sizing/selectivity.hpp"
#include "study/as_written.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

using namespace loomwright;

TEST_CASE("a blade of 10 A behind one of 25 A, worked by hand") {
    // Longest of 10 A: 35 A 0.5 s, 60 A 0.1 s; shortest of 25 A: 33.75 A 0.75 s, 50 A 0.15 s.
    // At 35 A: 0.5 s against 0.75 (35/33.75)^-4.0948 = 0.6462 s, the 10 A is first.
    // At 50 A: 0.5 (50/35)^-2.9860 = 0.17236 s against 0.15 s, the 25 A may be.
    // ln I = ln 35 + 0.256548 / (0.256548 + 0.138954) x ln(50/35): 44.11 A, both at 0.2506 s.
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily* blade = tables.find_fuse_family("blade");
    const TimeCurrentBand lower = time_current_band(*blade, 10.0);
    const TimeCurrentBand upper = time_current_band(*blade, 25.0);
    const auto lost = find_lost_selectivity(lower, upper, 800.0);
    REQUIRE(lost.has_value());
    CHECK(lost->amps == doctest::Approx(44.11).epsilon(2e-4));
    REQUIRE(lost->lower_s.has_value());
    CHECK(*lost->lower_s == doctest::Approx(0.2506).epsilon(1e-3));
    CHECK(lost->upper_s == doctest::Approx(0.2506).epsilon(1e-3));
    // A source that cannot send as much loses nothing.
    CHECK_FALSE(find_lost_selectivity(lower, upper, 44.0).has_value());
    CHECK(find_lost_selectivity(lower, upper, 44.2).has_value());
}

TEST_CASE("a slow family above a fast one: at every current") {
    // 10 A blade: 60 A 0.1 s, 360 A2s from there on; 40 A type E: 240 A 0.04 s, 2304 A2s.
    const Catalogue tables = loomwright::testing::tables();
    const TimeCurrentBand lower = time_current_band(*tables.find_fuse_family("blade"), 10.0);
    const TimeCurrentBand upper = time_current_band(*tables.find_fuse_family("maxi-blade"), 40.0);
    CHECK_FALSE(find_lost_selectivity(lower, upper, 1e5).has_value());
    // The other way round the blade may open as soon as it can: above its 110 %, where the 40 A may
    // stay closed.
    const auto turned = find_lost_selectivity(upper, lower, 1e5);
    REQUIRE(turned.has_value());
    CHECK(turned->amps == doctest::Approx(11.0));
    CHECK_FALSE(turned->lower_s.has_value());
}

TEST_CASE("the same rating twice is never selective, and a twentieth always") {
    const Catalogue tables = loomwright::testing::tables();
    const auto blade = [&](double amps) {
        return time_current_band(*tables.find_fuse_family("blade"), amps);
    };
    CHECK(find_lost_selectivity(blade(10.0), blade(10.0), 1000.0).has_value());
    CHECK_FALSE(find_lost_selectivity(blade(1.0), blade(20.0), 1000.0).has_value());
}

TEST_CASE("every pair of ratings against a walk along both bands") {
    const Catalogue tables = loomwright::testing::tables();
    constexpr double most_a = 1500.0;
    constexpr double step = 1.001;
    int pairs = 0;
    int lost_pairs = 0;
    for (const char* below : {"blade", "mini-blade", "maxi-blade", "breaker"}) {
        for (const char* above : {"blade", "maxi-blade", "strip", "breaker"}) {
            const FuseFamily& lower = *tables.find_fuse_family(below);
            const FuseFamily& upper = *tables.find_fuse_family(above);
            for (const FuseRating& a : lower.ratings) {
                for (const FuseRating& b : upper.ratings) {
                    const double lower_a = a.rating.value();
                    const double upper_a = b.rating.value();
                    const TimeCurrentBand lower_band = time_current_band(lower, lower_a);
                    const TimeCurrentBand upper_band = time_current_band(upper, upper_a);
                    double walked = 0.0;
                    for (double amps = lower_a; amps <= most_a && walked == 0.0; amps *= step) {
                        const auto opens = shortest_opening_s(upper_band, amps);
                        const auto opened = longest_opening_s(lower_band, amps);
                        walked = opens && (!opened || *opened >= *opens) ? amps : 0.0;
                    }
                    const auto lost = find_lost_selectivity(lower_band, upper_band, most_a);
                    CAPTURE(std::string(below));
                    CAPTURE(std::string(above));
                    CAPTURE(lower_a);
                    CAPTURE(upper_a);
                    ++pairs;
                    if (walked == 0.0) {
                        // The walk stops a step before the end, and does not see a touch.
                        CHECK((!lost || lost->amps > most_a / step));
                    } else {
                        ++lost_pairs;
                        REQUIRE(lost.has_value());
                        CHECK(lost->amps <= walked * (1.0 + 1e-9));
                        CHECK((lost->amps >= walked / step * (1.0 - 1e-9) || walked == lower_a));
                    }
                }
            }
        }
    }
    CHECK(pairs > 500);
    CHECK(lost_pairs > 100);
    CHECK(lost_pairs < pairs);
}
