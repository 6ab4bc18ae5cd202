// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Readings of a car with planted faults: which are found, with what figures. Readings are those of
// Ohm's law (measured_feed.hpp), and the prediction is taken as exact.
#include "study/measure.hpp"

#include "study/measured_feed.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <string>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::Asked;
using testing::branch_of;
using testing::Feed;
using testing::FeedOhms;
using testing::meter_v;
using testing::open_switch;
using testing::round_f2;
using testing::verdicts;
using Kind = Suspect::Kind;
using Verdict = ReadingVerdict;

} // namespace

TEST_CASE("a bad joint is found with its ohms, amperes and watts") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms ohms = open_switch();
    ohms.first += 1.0;
    const std::vector<MeterReading> readings = round_f2(feed, ohms);
    const MeasureAnswer answer = asked.ask(readings);
    CHECK(answer.is_accepted);
    CHECK(answer.has_all_suspects);
    CHECK(answer.has_all_sets);
    CHECK(answer.largest_set == 1);
    CHECK(answer.compared == 6);
    double before = 0.0;
    for (std::size_t i = 0; i < 6; ++i) {
        const std::array predicted{11.5, 11.0, 11.0, 10.0, 10.0, 0.0}; // 5 A
        const double shown = readings[i].shown.value();
        before += std::pow((shown - predicted[i]) / meter_v(shown), 2.0);
    }
    CHECK(answer.chi_square_before == Approx(before).epsilon(1e-3));
    CHECK(answer.chance_before < 1e-9);
    CHECK(answer.chi_square < 0.01);
    CHECK(answer.chance > 0.999);
    // Joints of 1.1, 1.2, 1.3, 1.4, G1, F1, F2; the volts of G1 and the load E1. The readings tell
    // all apart but 1.1 from F1: both lie between G1.+ and F1.out.
    CHECK(answer.suspects == 9);
    CHECK(answer.classes == 8);
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]) == std::set<std::string>{"F2"});
    CHECK(answer.culprits[0].sure == Approx(1.0).epsilon(1e-6));
    CHECK_FALSE(answer.next);
    CHECK(answer.runners_up.empty());
    const SuspectFit& fit = answer.culprits[0].one_of[0];
    CHECK(fit.what == Suspect{Kind::joint, branch_of(asked.study, "F2")});
    CHECK(fit.value == Approx(1.0).epsilon(1e-3));
    CHECK(fit.nominal == Approx(0.2));
    CHECK(fit.amps == Approx(ohms.amps()).epsilon(1e-3));
    CHECK(fit.watts == Approx(ohms.amps() * ohms.amps() * 1.0).epsilon(2e-3));
    CHECK(fit.state == 0);
    CHECK_FALSE(fit.is_open);
    // Each ohm more takes I / 3.4 ohm A: what it moves of each reading, in deviations. The limits
    // are told in t = R / (R + s), s = 12 V / I the loop as it stands, dt / dR = (1 - t)^2 / s.
    double square = 0.0;
    for (const auto& [volts, by_amps] : {std::pair(ohms.plus_v(), 0.1),
                                         {ohms.node_v(), 0.2},
                                         {ohms.node_v(), 0.2},
                                         {ohms.lamp_v(), 2.0},
                                         {ohms.lamp_v(), 2.0}}) {
        square += std::pow(by_amps * ohms.amps() / 3.4 / meter_v(volts), 2.0);
    }
    const double s = 12.0 / ohms.amps();
    const double t = 1.0 / (1.0 + s);
    const double wide = 1.96 / std::sqrt(square) * (1.0 - t) * (1.0 - t) / s;
    CHECK(fit.low == Approx(s * (t - wide) / (1.0 - t + wide)).epsilon(2e-3));
    CHECK(fit.high == Approx(s * (t + wide) / (1.0 - t - wide)).epsilon(2e-3));
    CHECK(verdicts(answer) == std::vector<Verdict>{Verdict::explained, Verdict::explained,
                                                   Verdict::explained, Verdict::explained,
                                                   Verdict::explained, Verdict::as_predicted});
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(answer.results[i].explained_v == Approx(readings[i].shown.value()).epsilon(1e-3));
        CHECK(std::abs(answer.results[i].left_sigmas) < 0.1);
        CHECK(answer.results[i].culprit == (i == 5 ? -1 : 0));
    }
}

TEST_CASE("an open joint has a least resistance and no greatest") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms ohms = open_switch();
    ohms.first = 1e12;
    const MeasureAnswer answer = asked.ask(round_f2(feed, ohms));
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]) == std::set<std::string>{"F2"});
    const SuspectFit& fit = answer.culprits[0].one_of[0];
    CHECK(fit.is_open);
    CHECK(fit.amps < 1e-5);
    // It does as well down to X = 3.84, nearly all of it the lamp's two readings of 0 V, each to
    // 5.77 mV: sqrt(3.84 / 2) x 5.77 mV of 12 V x 2 ohm / R
    const double least = 24.0 / (std::sqrt(3.8415 / 2.0) * meter_v(0.0)) - 2.4;
    CHECK(fit.low == Approx(least).epsilon(0.02));
}

TEST_CASE("what no reading parts is named together, and the next reading parts it") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms ohms = open_switch();
    ohms.first += 1.0;
    const MeasureAnswer answer = asked.ask({feed.reading("F1.out", feed.one, ohms.node_v()),
                                            feed.reading("E1.+", feed.one, ohms.lamp_v()),
                                            feed.reading("E1.-", feed.one, 0.0)});
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]) == std::set<std::string>{"1.2", "F2", "1.3"});
    for (const SuspectFit& fit : answer.culprits[0].one_of) {
        CHECK(fit.value == Approx(1.0).epsilon(1e-3));
        CHECK(fit.amps == Approx(ohms.amps()).epsilon(1e-3));
    }
    // Across a wire: 1 ohm x 3.53 A if it is the wire, next to nothing if not; across F2 there are
    // 0.2 ohm more, and a meter shows what is smaller finer.
    REQUIRE(answer.next);
    CHECK(answer.next->state == 0);
    const std::string& red =
        asked.study.network.node_names[static_cast<std::size_t>(answer.next->node)];
    const std::string& black =
        asked.study.network.node_names[static_cast<std::size_t>(answer.next->against)];
    const bool is_first = red == "F1.out" && black == "F2.in";
    CHECK((is_first || (red == "F2.out" && black == "E1.+")));
    REQUIRE(answer.next->foretold.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        const NextReading::Foretold& one = answer.next->foretold[i];
        CHECK(one.culprit.what == answer.culprits[0].one_of[i].what);
        const bool is_it = asked.name(one.culprit.what) == (is_first ? "1.2" : "1.3");
        CHECK(std::abs(one.volts - (is_it ? ohms.amps() : 0.0)) < 0.005);
    }
}

TEST_CASE("the next reading is taken in the state in which it tells something") {
    // F3 is bad, which carries nothing in the first state that was read
    const Feed feed;
    const Asked asked(feed);
    FeedOhms ohms;
    ohms.second += 2.0;
    const MeasureAnswer answer = asked.ask(
        {feed.reading("F1.out", feed.one, open_switch().node_v()),
         feed.reading("F1.out", feed.both, ohms.node_v()),
         feed.reading("E2.+", feed.both, ohms.fan_v()), feed.reading("E2.-", feed.both, 0.0)});
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]) ==
          std::set<std::string>{"1.5", "S1", "1.6", "F3", "1.7"});
    CHECK(answer.culprits[0].one_of[0].state == 1);
    CHECK(asked.fit(answer.culprits[0], "F3").nominal == Approx(0.6));
    CHECK(asked.fit(answer.culprits[0], "S1").nominal == Approx(0.01).scale(0.0));
    REQUIRE(answer.next);
    CHECK(answer.next->state == 1);
    // a pair of places in the middle of the way parts most of the ten pairs of suspects: 2 x 3
    const double amps = ohms.node_v() / ohms.second_way();
    std::size_t across = 0;
    for (const NextReading::Foretold& one : answer.next->foretold) {
        across += one.volts > 1.9 * amps ? 1 : 0;
    }
    CHECK((across == 2 || across == 3));
}

TEST_CASE("of states that tell as much the next reading is taken where the least is to be read") {
    // What is bad is 1.2, F2 or 1.3: one of them is read alone in either state. With S1 open F2's
    // way has 12 V / 3.4 ohm, with it closed less, as E2 takes from the node.
    const Feed feed;
    const Asked asked(feed);
    FeedOhms one = open_switch();
    FeedOhms both;
    one.first += 1.0;
    both.first += 1.0;
    const double amps = both.node_v() / both.first_way();
    REQUIRE(amps < 0.96 * one.amps());
    const auto read = [&](StateId state, const FeedOhms& ohms) {
        return std::vector{feed.reading("F1.out", state, ohms.node_v()),
                           feed.reading("E1.+", state, ohms.lamp_v()),
                           feed.reading("E1.-", state, 0.0)};
    };
    for (const bool is_one_first : {false, true}) {
        CAPTURE(is_one_first);
        std::vector<MeterReading> readings =
            is_one_first ? read(feed.one, one) : read(feed.both, both);
        for (const MeterReading& more :
             is_one_first ? read(feed.both, both) : read(feed.one, one)) {
            readings.push_back(more);
        }
        const MeasureAnswer answer = asked.ask(readings);
        REQUIRE(answer.culprits.size() == 1);
        CHECK(asked.names(answer.culprits[0]) == std::set<std::string>{"1.2", "F2", "1.3"});
        REQUIRE(answer.next);
        CHECK(answer.next->state == (is_one_first ? 1 : 0));
        double most_v = 0.0; // across a wire: an ohm, without the 0.2 ohm of F2
        for (const NextReading::Foretold& foretold : answer.next->foretold) {
            most_v = std::max(most_v, foretold.volts);
        }
        CHECK(most_v == Approx(1.0 * amps).epsilon(5e-3));
    }
}

TEST_CASE("one reading may be anything in its way: each with the ohms or volts it takes") {
    const Feed feed;
    const Asked asked(feed);
    const double shown = 8.0;
    const MeasureAnswer answer = asked.ask({feed.reading("E1.+", feed.both, shown)});
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]) ==
          std::set<std::string>{"1.1", "1.2", "1.3", "G1", "F1", "F2", "G1 volts"});
    CHECK(answer.culprits[0].sure == Approx(1.0).epsilon(1e-6));
    const FeedOhms nominal;
    // By Ohm's law: the node at 8 V x 2.2 / 2 where the main way is bad, so much current through
    // both ways; as it is fed where F2 is, of which 12 V behind 0.2 ohm and the second way remain.
    const double node_v = shown * 2.2 / 2.0;
    const double main_ohm = (12.0 - node_v) / (node_v / 2.2 + node_v / 3.61) - 0.2;
    const double open_v = 12.0 * 3.61 / 3.81;
    const double inner_ohm = 0.2 * 3.61 / 3.81;
    const double first_ohm = (open_v - shown) / (shown / 2.0) - inner_ohm - 0.2;
    struct Expected {
        const char* name;
        double value;
        double nominal;
        double amps;
    };
    const double main_a = node_v / 2.2 + node_v / 3.61;
    for (const Expected& one :
         {Expected{"G1", main_ohm, 0.1, main_a}, Expected{"F1", main_ohm, 0.1, main_a},
          Expected{"F2", first_ohm, 0.2, shown / 2.0}}) {
        CAPTURE(one.name);
        const SuspectFit& fit = asked.fit(answer.culprits[0], one.name);
        CHECK(fit.value == Approx(one.value).epsilon(2e-3));
        CHECK(fit.nominal == Approx(one.nominal).epsilon(1e-6));
        CHECK(fit.amps == Approx(one.amps).epsilon(2e-3));
        CHECK(fit.watts == Approx(one.amps * one.amps * one.value).epsilon(4e-3));
        CHECK(fit.low < one.value);
        CHECK(fit.high > one.value);
    }
    CHECK(asked.fit(answer.culprits[0], "1.1").value == Approx(main_ohm).epsilon(2e-3));
    CHECK(asked.fit(answer.culprits[0], "1.3").value == Approx(first_ohm).epsilon(2e-3));
    const SuspectFit& volts = asked.fit(answer.culprits[0], "G1 volts");
    CHECK(volts.value == Approx(12.0 * (shown / nominal.lamp_v() - 1.0)).epsilon(2e-3));
    CHECK(volts.nominal == Approx(12.0));
    CHECK(volts.watts == 0.0);
    CHECK(answer.next);
}

TEST_CASE("a battery that gives less and a load that takes less are told from joints") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms both;
    FeedOhms one = open_switch();
    both.source_v = 10.5;
    one.source_v = 10.5;
    const MeasureAnswer low = asked.ask(
        {feed.reading("G1.+", feed.one, one.plus_v()), feed.reading("E1.+", feed.one, one.lamp_v()),
         feed.reading("E1.-", feed.one, 0.0), feed.reading("G1.+", feed.both, both.plus_v()),
         feed.reading("E2.+", feed.both, both.fan_v())});
    REQUIRE(low.culprits.size() == 1);
    CHECK(asked.names(low.culprits[0]) == std::set<std::string>{"G1 volts"});
    const SuspectFit& source = low.culprits[0].one_of[0];
    CHECK(source.value == Approx(-1.5).epsilon(1e-3));
    CHECK(source.nominal == Approx(12.0));
    CHECK(source.amps == Approx(both.amps()).epsilon(1e-3)); // where it gives most
    CHECK(source.state == 1);
    CHECK(source.watts == 0.0);
    CHECK(low.states.size() == 2);

    FeedOhms dim = open_switch();
    dim.lamp = 4.0;
    const MeasureAnswer less = asked.ask(round_f2(feed, dim));
    REQUIRE(less.culprits.size() == 1);
    CHECK(asked.names(less.culprits[0]) == std::set<std::string>{"E1 load"});
    const SuspectFit& load = less.culprits[0].one_of[0];
    CHECK(load.value == Approx(0.5).epsilon(1e-3));
    CHECK(load.nominal == Approx(5.0).epsilon(1e-4)); // 12 V / 2.4 ohm
    CHECK(load.amps == Approx(12.0 / 4.4).epsilon(1e-3));
    CHECK(load.watts == 0.0);
}

TEST_CASE("two bad joints are both found, and each reading says which moves it most") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms ohms;
    ohms.first += 1.0;
    ohms.second += 2.0;
    const double second_a = ohms.node_v() / ohms.second_way();
    const MeasureAnswer answer = asked.ask(
        {feed.reading("G1.+", feed.both, ohms.plus_v()),
         feed.reading("F2.in", feed.both, ohms.node_v()),
         feed.reading("F2.out", feed.both, ohms.lamp_v()),
         feed.reading("E1.+", feed.both, ohms.lamp_v()),
         feed.reading("F1.out", feed.both, ohms.node_v()),
         feed.reading("F3.in", feed.both, ohms.node_v() - 0.01 * second_a),
         feed.reading("F3.out", feed.both, ohms.fan_v()),
         feed.reading("E2.+", feed.both, ohms.fan_v()), feed.reading("E2.-", feed.both, 0.0)});
    CHECK(answer.is_accepted);
    CHECK(answer.largest_set == 2);
    REQUIRE(answer.culprits.size() == 2);
    CHECK(asked.names(answer.culprits[0]) == std::set<std::string>{"F2"});
    CHECK(asked.names(answer.culprits[1]) == std::set<std::string>{"F3"});
    CHECK(answer.culprits[0].one_of[0].value == Approx(1.0).epsilon(2e-3));
    CHECK(answer.culprits[1].one_of[0].value == Approx(2.0).epsilon(2e-3));
    CHECK(answer.culprits[1].one_of[0].amps == Approx(second_a).epsilon(2e-3));
    CHECK(answer.culprits[0].sure == Approx(1.0).epsilon(1e-3));
    CHECK(answer.culprits[1].sure == Approx(1.0).epsilon(1e-3));
    CHECK(answer.runners_up.empty()); // the set itself is none
    CHECK(answer.chance > 0.99);
    // a good F2 takes the node from 10.9 to 10.6 V, a good F3 by a little less
    CHECK(answer.results[2].culprit == 0);
    CHECK(answer.results[3].culprit == 0);
    CHECK(answer.results[6].culprit == 1);
    CHECK(answer.results[7].culprit == 1);
    CHECK(answer.results[8].culprit == -1);
}

TEST_CASE("a joint is told where it loses most of the states that were read") {
    const Feed feed;
    const Asked asked(feed);
    FeedOhms both;
    FeedOhms one = open_switch();
    both.main += 0.5;
    one.main += 0.5;
    MeterReading over = feed.reading("F1.in", feed.both, 0.0); // across F1, from the battery's plus
    over.at = feed.reading("F1.out", feed.both, 0.0).at;
    over.to = feed.reading("G1.+", feed.both, 0.0).at;
    over.shown = Volts(both.node_v() - both.plus_v());
    const MeasureAnswer answer = asked.ask({over, feed.reading("F1.in", feed.both, both.plus_v()),
                                            feed.reading("E1.+", feed.one, one.lamp_v()),
                                            feed.reading("E1.-", feed.one, 0.0)});
    CHECK(answer.compared == 4);
    CHECK(answer.results[0].predicted_v == Approx(FeedOhms().node_v() - FeedOhms().plus_v()));
    REQUIRE(answer.culprits.size() == 1);
    const SuspectFit& fit = asked.fit(answer.culprits[0], "F1");
    CHECK(fit.value == Approx(0.5).epsilon(2e-3));
    CHECK(fit.state == 0);
    CHECK(fit.amps == Approx(both.amps()).epsilon(2e-3));
    CHECK(fit.nominal == Approx(0.1));
}

TEST_CASE("sets share the likelihood exp(-X / 2), each joint as likely as any other") {
    // F2 is bad. A fine reading of E1.+ may be F2's doing, or F1's, or the battery's; a coarse one
    // of E2.+ tells them apart by so many of its deviations. 1.2, F2 and 1.3 are one class,
    // and 1.1, F1 and the inside of G1 another; the battery's volts stand alone.
    const Feed feed;
    const Asked asked(feed);
    const FeedOhms nominal;
    FeedOhms ohms;
    ohms.first += 1.0;
    const double scaled = nominal.fan_v() * ohms.lamp_v() / nominal.lamp_v(); // as if all were less
    const auto ask = [&](double chi_square) {
        MeterReading fine = feed.reading("E1.+", feed.both, ohms.lamp_v());
        fine.accuracy = {.share = 0.0, .fixed = Volts(0.002), .is_stated = true};
        MeterReading coarse = feed.reading("E2.+", feed.both, ohms.fan_v());
        const double deviation = (ohms.fan_v() - scaled) / std::sqrt(chi_square);
        coarse.accuracy = {
            .share = 0.0, .fixed = Volts(deviation * std::sqrt(3.0)), .is_stated = true};
        return asked.ask({fine, coarse});
    };
    const MeasureAnswer parted = ask(6.0);
    REQUIRE(parted.culprits.size() == 1);
    CHECK(asked.names(parted.culprits[0]) == std::set<std::string>{"1.2", "F2", "1.3"});
    const double other = std::exp(-6.0 / 2.0);
    const double all = 3.0 + 3.0 * other + 1.0 * other;
    CHECK(parted.culprits[0].sure == Approx(3.0 / all).epsilon(0.005));
    REQUIRE(parted.runners_up.size() == 2);
    for (const RunnerUp& runner : parted.runners_up) {
        REQUIRE(runner.set.size() == 1);
        CHECK(runner.chi_square == Approx(6.0).epsilon(0.01));
        const double count = runner.set[0].kind == Kind::source ? 1.0 : 3.0;
        CHECK(runner.share == Approx(count * other / all).epsilon(0.02));
    }
    CHECK(parted.runners_up[0].set != parted.runners_up[1].set);
    // within 3.84 (chi-square of one degree, 5 %) they are not told apart
    const MeasureAnswer together = ask(3.5);
    REQUIRE(together.culprits.size() == 1);
    CHECK(asked.names(together.culprits[0]) ==
          std::set<std::string>{"1.2", "F2", "1.3", "1.1", "F1", "G1", "G1 volts"});
    CHECK(together.culprits[0].sure == Approx(1.0).epsilon(1e-6));
    CHECK(together.runners_up.empty());
    // the best first
    const std::string first = asked.name(together.culprits[0].one_of[0].what);
    CHECK((first == "1.2" || first == "F2" || first == "1.3"));
    CHECK(ask(4.2).runners_up.size() == 2);
}

TEST_CASE("a relay that is out is traced to a joint in its coil's way") {
    // As warm as in the prediction the coil has 116.2 ohm (worked in test_measure_car.cpp).
    const testing::RelayFeed feed;
    const Asked asked(feed);
    // the lamp of 2.2 ohm is on in this state: 11.5 V at the posts when the relay is out
    const double posts = 12.0 - 0.1 * 12.0 / 2.4;
    const std::vector<MeterReading> readings{
        feed.reading("E9.+", feed.one, 0.0), feed.reading("K1.30", feed.one, posts),
        feed.reading("F9.in", feed.one, posts), feed.reading("K1.86", feed.one, 5.0),
        feed.reading("K1.85", feed.one, 0.0)};
    const MeasureAnswer answer = asked.ask(readings);
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]).contains("F9"));
    const SuspectFit& fit = asked.fit(answer.culprits[0], "F9");
    CHECK(fit.value == Approx((posts - 5.0) / 5.0 * 116.2 - 0.5).epsilon(0.02));
    CHECK_FALSE(fit.is_open);
    CHECK(answer.results[0].verdict == Verdict::explained);
    // Where the readings say no more than that it is out, the least ohm that keeps it out: of the
    // posts' 11.5 V it leaves 7 V at 20 C, 8.13 V as warm as it is.
    const MeasureAnswer out =
        asked.ask({feed.reading("E9.+", feed.one, 0.0), feed.reading("K1.30", feed.one, posts)});
    REQUIRE(out.culprits.size() == 1);
    const SuspectFit& open = asked.fit(out.culprits[0], "F9");
    CHECK(open.is_open);
    CHECK(open.low == Approx((posts / 8.13 - 1.0) * 116.2 - 0.5).epsilon(0.01));
    CHECK(asked.names(out.culprits[0]).contains("K1")); // its contact, or what is behind it
    CHECK(asked.fit(out.culprits[0], "K1").is_open);
}

TEST_CASE("of the sets that explain less well the three best are named") {
    // A second way from the posts: J1 to J5 of 0.1 ohm and E9 of 2 ohm in a row, J1 being bad. It
    // lowers all behind it by its drop; were it Jk, the places before that would stand as much
    // higher. Fine readings at both ends hold the current; those between are so coarse that the
    // drop is 5 at J1.out, 1 at each of the others, in squared deviations: J2 leaves 5, J3 6, J4 7
    // and J5 8.
    struct Row : Feed {
        Row() {
            heater("E9", 6.0, 12.0);
            std::string last = "G1.+";
            for (const char* name : {"J1", "J2", "J3", "J4", "J5"}) {
                joint(name, 0.1);
                short_wire(last, std::string(name) + ".in");
                last = std::string(name) + ".out";
            }
            short_wire(last, "E9.+");
            short_wire("E9.-", "G1.-");
        }
    };
    const Row feed;
    const Asked asked(feed);
    const double more = 0.3;
    const double main_way = open_switch().main + open_switch().first_way();
    const double way = 5.0 * 0.1 + 2.0 + more;
    const double posts = 12.0 / (1.0 + 0.1 * (1.0 / main_way + 1.0 / way));
    const double amps = posts / way;
    const double drop = amps * more;
    const auto read = [&](const char* place, double volts, double deviation) {
        MeterReading out = feed.reading(place, feed.one, volts);
        out.accuracy = {
            .share = 0.0, .fixed = Volts(deviation * std::sqrt(3.0)), .is_stated = true};
        return out;
    };
    const auto behind = [&](int joints) { return posts - drop - amps * 0.1 * joints; };
    const MeasureAnswer answer =
        asked.ask({read("G1.+", posts, 0.002), read("J1.out", behind(1), drop / std::sqrt(5.0)),
                   read("J2.out", behind(2), drop), read("J3.out", behind(3), drop),
                   read("J4.out", behind(4), drop), read("E9.+", behind(5), 0.002)});
    REQUIRE(answer.culprits.size() == 1);
    CHECK(asked.names(answer.culprits[0]).contains("J1"));
    CHECK_FALSE(asked.names(answer.culprits[0]).contains("J2"));
    REQUIRE(answer.runners_up.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(answer.runners_up[i].chi_square ==
              Approx(5.0 + static_cast<double>(i)).epsilon(0.01));
    }
}

} // namespace loomwright
