// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Sets put into the network itself: voltages of electronics behind a bad joint by the quadratic of
// a load of constant power, up to where it has no operating point.
#include "study/measure_sets.hpp"

#include "study/measure_compare.hpp"
#include "study/measure_relays.hpp"
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
                                                                     branch_of(study, "F9")},
                                                                    {Suspect::Kind::reading, 0}},
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
constexpr std::array<std::size_t, 2> f9_and_first_reading{0, 1};

/// The same with a relay K1 behind F9, of so high an ohm that it draws nothing of note, for a load
/// of 0.1 A.
struct StarvedRelayFeed : StarvedFeed {
    StarvedRelayFeed() {
        const DeviceId id = relay("K1", 1e4);
        std::get<Relay>(at(id).spec).pulls_in = Volts(9.4);
        std::get<Relay>(at(id).spec).drops_out = Volts(9.1);
        heater("E9", 0.1, 12.0);
        short_wire("F9.out", "K1.86");
        short_wire("K1.85", "G1.-");
        short_wire("G1.+", "K1.30");
        short_wire("K1.87", "E9.+");
        short_wire("E9.-", "G1.-");
    }
};

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

TEST_CASE("beside a wrong reading a bad joint does to the car what it does alone") {
    const StarvedReadings read(0.3);
    const TrueFit there = read.fitter.at_values(f9_and_first_reading, std::array{0.6, 0.05});
    REQUIRE(there.is_solved);
    REQUIRE(there.left.size() == 2);
    const double left = StarvedFeed::volts(0.3) - StarvedFeed::volts(0.6) - 0.05;
    CHECK(std::abs(there.left[0] - left) < 1e-3);
    CHECK(std::abs(there.left[1]) < 1e-3);
}

TEST_CASE("a joint that turns a relay is fitted from where it fits alone, not only from open") {
    // By the quadratic above the relay has 9.75 V as predicted and holds, 8.76 V behind 0.3 ohm
    // more and lets go. Opened, F9 turns it too, but A1 has nothing either, and a little more or
    // less of so many ohm moves no reading: no fit leads back from there. So it must begin at the
    // 0.3 ohm that F9 is given by itself; the other fit, of E1, says nothing of it.
    const StarvedRelayFeed feed;
    REQUIRE(StarvedFeed::volts(0.0) > 9.5);
    REQUIRE(StarvedFeed::volts(0.3) < 9.0);
    const Study study(feed.vehicle);
    const std::array readings{feed.reading("A1.+", feed.both, StarvedFeed::volts(0.3)),
                              feed.reading("E9.+", feed.both, 0.0)};
    const MeasuredCar car(study.input(), study.design, readings);
    const std::vector<ChangedState> states = predicted_states(car);
    const Comparison compared = compare_readings(car, states, {}, {});
    const std::vector<Suspect> suspects{{Suspect::Kind::load, branch_of(study, "E1")},
                                        {Suspect::Kind::joint, branch_of(study, "F9")}};
    const TrueFitter fitter(car, states, compared, suspects);
    const std::vector<SuspectClass> classes{{.members = {0}}, {.members = {1}}};
    const std::vector<SetFit> alone{{.set = {0}, .value = {0.0}}, {.set = {1}, .value = {0.3}}};
    const std::vector<TrueFit> found =
        joints_that_turn(fitter, states, respond(car, states, compared, suspects), classes, alone);
    REQUIRE(found.size() == 1);
    CHECK(found[0].fit.set == std::vector<std::size_t>{1});
    CHECK(found[0].fit.value.front() == Approx(0.3).epsilon(0.01));
    CHECK(found[0].chi_square < 0.1);
    CHECK(found[0].fit.is_open.front() == 0);
}

} // namespace loomwright
