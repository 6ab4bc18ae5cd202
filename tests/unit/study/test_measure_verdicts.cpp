// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// How each reading is judged: against the meter, against what the prediction does not know, against
// what a car can make at all. Readings are those of Ohm's law (measured_feed.hpp).
#include "study/measure.hpp"

#include "study/measured_feed.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::Asked;
using testing::Feed;
using testing::FeedOhms;
using testing::meter_v;
using testing::open_switch;
using testing::round_f2;
using testing::Study;
using testing::verdicts;
using Kind = Suspect::Kind;
using Verdict = ReadingVerdict;

} // namespace

TEST_CASE("readings as near as the meter allows are as predicted, and nothing is blamed") {
    const Feed feed;
    const Asked asked(feed);
    // 1 and -1.5 deviations of the meter off: X = 3.25, of two degrees Q = exp(-X / 2)
    const double node_v = open_switch().node_v();
    const double lamp_v = open_switch().lamp_v();
    const MeasureAnswer answer =
        asked.ask({feed.reading("F1.out", feed.one, node_v + meter_v(11.04)),
                   feed.reading("E1.+", feed.one, lamp_v - 1.5 * meter_v(9.95))});
    CHECK(answer.is_accepted);
    CHECK(answer.has_all_suspects);
    CHECK(answer.has_all_sets);
    CHECK(answer.culprits.empty());
    CHECK(answer.runners_up.empty());
    CHECK_FALSE(answer.next);
    CHECK(answer.compared == 2);
    CHECK(answer.suspects == 0);
    CHECK(answer.largest_set == 0);
    CHECK(answer.limit_sigmas == 3.0);
    CHECK(answer.black_lead == asked.study.network.node(feed.ref("G1.-")));
    REQUIRE(answer.states.size() == 1);
    CHECK(answer.states[0].id == feed.one);
    CHECK(answer.states[0].is_solved);
    CHECK(answer.states[0].failure.empty());
    CHECK(answer.chi_square_before == Approx(3.25).epsilon(0.01));
    CHECK(answer.chance_before == Approx(std::exp(-3.25 / 2.0)).epsilon(0.02));
    CHECK(answer.chi_square == answer.chi_square_before);
    CHECK(answer.chance == answer.chance_before);
    const std::array predicted{node_v, lamp_v};
    const std::array sigmas{1.0, -1.5};
    for (std::size_t i = 0; i < 2; ++i) {
        const ReadingResult& result = answer.results[i];
        CHECK(result.verdict == Verdict::as_predicted);
        CHECK(result.predicted_v == Approx(predicted[i]).epsilon(1e-4));
        CHECK(result.explained_v == result.predicted_v);
        CHECK(result.meter_v == Approx(meter_v(predicted[i])).epsilon(0.01));
        CHECK(result.prediction_v == 0.0);
        CHECK(result.off_v == Approx(sigmas[i] * meter_v(predicted[i])).epsilon(0.02));
        CHECK(result.sigmas == Approx(sigmas[i]).epsilon(0.02));
        CHECK(result.left_sigmas == Approx(sigmas[i]).epsilon(0.02));
        CHECK(result.culprit == -1);
    }
}

TEST_CASE("the longer the list, the farther one good reading may be off") {
    // of 40 readings, none is beyond the two-sided point of 0.05 / 40 in 95 % of lists: 3.227
    const Feed feed;
    const Asked asked(feed);
    const std::vector<MeterReading> readings(
        40, feed.reading("E1.+", feed.one, open_switch().lamp_v()));
    CHECK(asked.ask(readings).limit_sigmas == Approx(3.227).epsilon(0.001));
}

TEST_CASE("a reading far off is not lost among many good ones") {
    // Of 20 readings none is beyond 3.02 deviations in 95 % of lists; with one at 3.3 the sum of
    // squares is 10.9 at 20 degrees, which chance makes in 95 of 100.
    const Feed feed;
    const Asked asked(feed);
    const FeedOhms ohms = open_switch();
    for (const double off : {2.8, 3.3, 5.0}) {
        CAPTURE(off);
        std::vector<MeterReading> readings;
        for (int i = 0; i < 5; ++i) {
            readings.push_back(feed.reading("G1.+", feed.one, ohms.plus_v()));
            readings.push_back(feed.reading("F1.out", feed.one, ohms.node_v()));
            readings.push_back(feed.reading("E1.+", feed.one, ohms.lamp_v()));
            readings.push_back(feed.reading("E1.-", feed.one, 0.0));
        }
        const double shown = ohms.lamp_v() + off * meter_v(ohms.lamp_v() + 0.1);
        readings[10].shown = Volts(shown);
        const MeasureAnswer answer = asked.ask(readings);
        CHECK(answer.limit_sigmas == Approx(3.02).epsilon(0.002));
        CHECK(answer.chance_before > 0.1);
        CHECK(answer.culprits.empty() == (off < 3.0));
        // A lamp that takes less lifts E1.+, F1.out and G1.+ as 0.4 : 0.2 : 0.1 ohm,
        // over 34.6, 37.5 and 39.0 mV 11.6 : 5.3 : 2.6, five times each: of one reading off it
        // takes up 11.6^2 / (5 (11.6^2 + 5.3^2 + 2.6^2)) = 0.159. What is left of 3.3 is little
        // enough, of 5.0 it is not: the reading itself is wrong.
        CHECK(answer.results[10].verdict ==
              (off < 4.0 ? Verdict::as_predicted : Verdict::unexplained));
        if (off == 3.3) {
            CHECK(answer.results[10].left_sigmas == Approx((1.0 - 0.159) * off).epsilon(0.01));
        }
        CHECK(answer.results[9].verdict == Verdict::as_predicted);
    }
}

TEST_CASE("what the prediction does not know widens what a reading may be off") {
    // F1 and F2 within 15 % evenly, each: by Ohm's law of the loop of 2.4 ohm
    const Feed feed;
    const Study study(feed.vehicle);
    Spread fuse;
    fuse.name = "fuse";
    fuse.kind = SpreadKind::uniform;
    fuse.width = 0.15;
    const std::array readings{feed.reading("E1.+", feed.one, 10.1)};
    const MeasureAnswer answer =
        measure(study.input(), study.design, testing::only({fuse}), readings);
    const double share = 0.15 / std::sqrt(3.0);
    const double by_ohm = 12.0 * 2.0 / (2.4 * 2.4); // V of the lamp for each ohm more
    const double deviation = by_ohm * share * std::hypot(0.1, 0.2);
    CHECK(answer.results[0].prediction_v == Approx(deviation).epsilon(1e-3));
    CHECK(answer.results[0].sigmas ==
          Approx(0.1 / std::hypot(deviation, meter_v(10.1))).epsilon(2e-3));
}

TEST_CASE("a reading that nothing in the car explains is called wrong by as much as it is off") {
    const Feed feed;
    const Asked asked(feed);
    std::vector<MeterReading> readings = round_f2(feed, open_switch());
    readings[3].shown = Volts(readings[3].shown.value() + 0.9);
    const MeasureAnswer answer = asked.ask(readings);
    REQUIRE(answer.culprits.size() == 1);
    REQUIRE(answer.culprits[0].one_of.size() == 1);
    const SuspectFit& fit = answer.culprits[0].one_of[0];
    CHECK(fit.what == Suspect{Kind::reading, 3});
    CHECK(fit.value == Approx(0.9).epsilon(1e-3));
    CHECK(fit.low == Approx(0.9 - 1.96 * meter_v(10.9)).epsilon(1e-3));
    CHECK(fit.high == Approx(0.9 + 1.96 * meter_v(10.9)).epsilon(1e-3));
    CHECK(fit.nominal == Approx(10.0).epsilon(1e-4));
    CHECK(fit.state == 0);
    CHECK(answer.results[3].verdict == Verdict::unexplained);
    CHECK(answer.results[3].culprit == 0);
    CHECK(answer.results[3].left_sigmas == Approx(0.9 / meter_v(10.9)).epsilon(1e-3));
    CHECK(answer.results[2].verdict == Verdict::as_predicted);
    CHECK(answer.results[4].verdict == Verdict::as_predicted);
    CHECK(answer.results[4].culprit == -1);
}

TEST_CASE("no place lies beyond what the sources of the car can make") {
    // Own limits: a fifth over the 12 V of the battery, below its minus by a hundredth of the
    // nominal voltage, each with three deviations of the meter.
    const Feed feed;
    const Asked asked(feed);
    const double above = 14.4 / (1.0 - 3.0 * 0.005 / std::sqrt(3.0)) + 0.0175;
    struct Case {
        const char* place;
        double volts;
        bool is_impossible;
        bool is_against_lamp = false;
    };
    for (const Case& one :
         {Case{"E1.+", above + 0.01, true}, Case{"E1.+", above - 0.01, false},
          Case{"E1.-", -0.145, true}, Case{"E1.-", -0.130, false}, Case{"F1.out", -6.0, true},
          Case{"E1.-", -10.0, false, true}, Case{"E1.-", -above - 0.01, true, true}}) {
        CAPTURE(one.volts);
        MeterReading reading = feed.reading(one.place, feed.one, one.volts);
        if (one.is_against_lamp) {
            reading.to = feed.reading("E1.+", feed.one, 0.0).at;
        }
        const MeasureAnswer answer = asked.ask({reading});
        CHECK((answer.results[0].verdict == Verdict::impossible) == one.is_impossible);
        CHECK(answer.compared == (one.is_impossible ? 0 : 1));
    }
    // it is left out, and the others are judged without it
    const MeasureAnswer answer =
        asked.ask({feed.reading("E1.+", feed.one, 24.0), feed.reading("F1.out", feed.one, 11.0)});
    CHECK(verdicts(answer) == std::vector<Verdict>{Verdict::impossible, Verdict::as_predicted});
    CHECK(answer.results[0].predicted_v == Approx(10.0).epsilon(1e-4));
    CHECK(answer.results[0].off_v == Approx(14.0).epsilon(1e-4));
    CHECK(answer.is_accepted);
}

TEST_CASE("no place lies below the minus of every source, though the car has plus on its metal") {
    // Counted from the metal the black lead is at some -11.5 V, and the meter knows nothing of it.
    Feed feed;
    feed.ground("GND1");
    feed.short_wire("F1.in", "GND1");
    const Asked asked(feed);
    for (const bool is_impossible : {true, false}) {
        const double volts = is_impossible ? -6.0 : 6.0;
        const MeasureAnswer answer = asked.ask({feed.reading("F1.out", feed.one, volts)});
        CHECK(answer.black_lead == asked.study.network.node(feed.ref("G1.-")));
        CHECK(answer.results[0].predicted_v == Approx(open_switch().node_v()).epsilon(1e-3));
        CHECK((answer.results[0].verdict == Verdict::impossible) == is_impossible);
    }
}

TEST_CASE("the minus of another battery may lie below the black lead, as far as its cable loses") {
    // G2 drives 12 V / (0.1 + 0.1 + 2.2) ohm = 5 A home by 0.1 ohm to G1's minus: it is at -0.5 V.
    Feed feed;
    feed.source("G2", 12.0, 0.1);
    feed.joint("F8", 0.1);
    feed.heater("E8", 12.0 / 2.2, 12.0);
    feed.short_wire("G2.-", "F8.in");
    feed.short_wire("F8.out", "G1.-");
    feed.short_wire("G2.+", "E8.+");
    feed.short_wire("E8.-", "G1.-");
    const Asked asked(feed);
    const MeasureAnswer answer =
        asked.ask({feed.reading("G2.-", feed.one, -0.5), feed.reading("G2.-", feed.one, -0.7)});
    CHECK(answer.results[0].predicted_v == Approx(-0.5).epsilon(1e-3));
    CHECK(answer.results[0].verdict == Verdict::as_predicted);
    CHECK(answer.results[1].verdict == Verdict::impossible); // 0.2 V below every minus
}

TEST_CASE("of readings that nothing explains whole the best explanation is told, and not taken") {
    // Five readings of one place, volts apart: a joint and two wrong readings leave two others in
    // contradiction, and more wrong ones are not assumed. The best that one joint alone does is the
    // weighted mean of all five; no answer is worse than that.
    const Feed feed;
    const Asked asked(feed);
    const std::array shown{9.0, 7.0, 5.0, 3.0, 1.0};
    std::vector<MeterReading> readings;
    double weights = 0.0;
    double mean_v = 0.0;
    for (const double volts : shown) {
        readings.push_back(feed.reading("E1.+", feed.one, volts));
        weights += 1.0 / (meter_v(volts) * meter_v(volts));
        mean_v += volts / (meter_v(volts) * meter_v(volts));
    }
    mean_v /= weights;
    double before = 0.0;
    double by_one = 0.0;
    for (const double volts : shown) {
        before += std::pow((volts - open_switch().lamp_v()) / meter_v(volts), 2);
        by_one += std::pow((volts - mean_v) / meter_v(volts), 2);
    }
    const MeasureAnswer answer = asked.ask(readings);
    CHECK_FALSE(answer.is_accepted);
    CHECK(answer.chi_square_before == Approx(before).epsilon(1e-3));
    CHECK(answer.chi_square < by_one);
    REQUIRE_FALSE(answer.culprits.empty());
    for (const Culprit& culprit : answer.culprits) {
        CHECK(culprit.sure > 0.0); // a share of what sets of this size explain, however little
        CHECK(culprit.sure <= 1.0);
    }
}

TEST_CASE("a state without an operating point foretells nothing, and is said so") {
    // a relay that breaks its own coil's feed buzzes
    Feed feed;
    feed.relay("K1", 100.0, true);
    feed.push("S2");
    feed.short_wire("G1.+", "S2.1");
    feed.short_wire("S2.2", "K1.30");
    feed.short_wire("K1.87a", "K1.86");
    feed.short_wire("K1.85", "G1.-");
    const StateId buzzing = feed.state("buzzing");
    feed.set_position(buzzing, "S2", 1);
    const Asked asked(feed);
    const MeasureAnswer answer =
        asked.ask({feed.reading("K1.86", buzzing, 12.0), feed.reading("E1.+", feed.one, 10.0)});
    REQUIRE(answer.states.size() == 2);
    CHECK_FALSE(answer.states[0].is_solved);
    CHECK_FALSE(answer.states[0].failure.empty());
    CHECK(answer.states[1].is_solved);
    CHECK(verdicts(answer) == std::vector<Verdict>{Verdict::no_prediction, Verdict::as_predicted});
    CHECK(answer.compared == 1);
}

} // namespace loomwright
