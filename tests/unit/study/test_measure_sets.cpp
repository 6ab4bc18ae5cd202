// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Sets put into the network itself: voltages of electronics behind a bad joint by the quadratic of
// a load of constant power, up to where it has no operating point.
#include "study/measure_sets.hpp"

#include "study/measure_compare.hpp"
#include "study/measure_response.hpp"
#include "study/measured_feed.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::branch_of;
using testing::Feed;
using testing::FeedOhms;
using testing::meter_v;
using testing::open_switch;
using testing::Study;

/// The feed with electronics A1 of 24 W (from 6 V on: row `electronics-least` of the table of
/// defaults) behind S2 and F9 of 0.5 ohm, in the state `both` alone.
struct StarvedFeed : Feed {
    StarvedFeed() {
        push("S2");
        joint("F9", 0.5);
        load("A1", LoadLaw::constant_power, "electronics", 2.0, 12.0);
        short_wire("G1.+", "S2.1");
        short_wire("S2.2", "F9.in");
        short_wire("F9.out", "A1.+");
        short_wire("A1.-", "G1.-");
        set_position(both, "S2", 1);
    }
    /// (E - v) v / R = P, with E and R of the posts as E1 and E2 leave them (Thevenin). It goes
    /// down to 6 V for R = (E - 6) 6 / 24 = 1.31 ohm: 0.70 ohm more than 0.01 + 0.5 + 0.09.
    [[nodiscard]] static double volts(double more_ohm) {
        const FeedOhms ohms;
        const double beside = ohms.main + 1.0 / (1.0 / ohms.first_way() + 1.0 / ohms.second_way());
        const double emf = 12.0 * beside / (beside + ohms.battery);
        const double ohm =
            ohms.battery * beside / (beside + ohms.battery) + ohms.contact + 0.5 + more_ohm;
        return 0.5 * (emf + std::sqrt(emf * emf - 4.0 * ohm * 24.0));
    }
};

/// Read at A1 in the state in which it works, as with so much more in F9; and at E1 in the other.
struct StarvedReadings {
    explicit StarvedReadings(double more_ohm)
        : study(feed.vehicle),
          car(study.input(), study.design,
              std::array{feed.reading("A1.+", feed.both, StarvedFeed::volts(more_ohm)),
                         feed.reading("E1.+", feed.one, open_switch().lamp_v())}),
          states(predicted_states(car)),
          compared(compare_readings(car, states, {}, {})), suspects{{Suspect::Kind::joint,
                                                                     branch_of(study, "F9")}},
          fitter(car, states, compared, suspects) {}
    StarvedFeed feed;
    Study study;
    MeasuredCar car;
    std::vector<ChangedState> states;
    Comparison compared;
    std::vector<Suspect> suspects;
    TrueFitter fitter;
};

constexpr std::array<std::size_t, 1> only_f9{0};

} // namespace

TEST_CASE("a set that leaves any state without an operating point explains nothing") {
    const StarvedReadings read(0.3);
    REQUIRE(read.compared.reading_of_row.size() == 2);
    for (const double ohm : {0.0, 0.3, 0.6, 0.69}) {
        CAPTURE(ohm);
        const TrueFit there = read.fitter.at_values(only_f9, std::array{ohm});
        REQUIRE(there.is_solved);
        REQUIRE(there.left.size() == 2);
        const double left = StarvedFeed::volts(0.3) - StarvedFeed::volts(ohm);
        CHECK(std::abs(there.left[0] - left) < 1e-3);
        CHECK(std::abs(there.left[1]) < 1e-3);
        CHECK(there.chi_square ==
              Approx(std::pow(left / meter_v(StarvedFeed::volts(0.3)), 2.0)).epsilon(0.01));
    }
    for (const double ohm : {0.72, 2.0, 1e3}) {
        CAPTURE(ohm);
        const TrueFit there = read.fitter.at_values(only_f9, std::array{ohm});
        CHECK_FALSE(there.is_solved);
        CHECK(std::isinf(there.chi_square));
    }
}

TEST_CASE("a fit that starts where there is no operating point comes back to where there is") {
    for (const double start_ohm : {0.0, 0.6, 0.9, 2.0}) {
        CAPTURE(start_ohm);
        const StarvedReadings read(0.3);
        SetFit start;
        start.set = {0};
        start.value = {start_ohm};
        const TrueFit found = read.fitter.refine(start);
        REQUIRE(found.is_solved);
        REQUIRE(found.fit.value.size() == 1);
        CHECK(found.fit.value[0] == Approx(0.3).epsilon(5e-3));
        CHECK(found.chi_square < 0.01);
    }
}

} // namespace loomwright
