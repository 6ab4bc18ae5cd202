// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Sets of suspects fitted in responses that are written down by hand, so that every answer is a
// least-squares problem of school size, or Ohm's law of the loop that the response is of.
#include "study/measure_fit.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
constexpr double two_sided = 1.959963984540054; // 97.5 % of a normal distribution; any table
constexpr std::array<std::size_t, 1> first{0};
constexpr std::array<std::size_t, 2> both{0, 1};

/// Suspects of one state that do not know of each other, by what a unit of each does to the rows.
Response independent(Suspect::Kind kind, const std::vector<std::vector<double>>& effects) {
    Response out;
    out.rows = effects.front().size();
    Response::State state;
    for (const std::vector<double>& effect : effects) {
        out.suspects.push_back({kind, static_cast<int>(out.suspects.size())});
        out.most_amps.push_back(0.0);
        state.amps.push_back(0.0);
        state.effect.insert(state.effect.end(), effect.begin(), effect.end());
    }
    state.coupling.assign(effects.size() * effects.size(), 0.0);
    out.states.push_back(std::move(state));
    return out;
}

/// A loop of 12 V and 1.2 ohm, 1 ohm of it the load whose volts are read to 0.1 V: 10 A. A volt
/// that is dropped in it takes 1 / 1.2 A, and as many volts of the load.
Response loop() {
    Response out = independent(Suspect::Kind::joint, {{-1.0 / 1.2 / 0.1}});
    out.most_amps = {10.0};
    out.states.front().amps = {10.0};
    out.states.front().coupling = {-1.0 / 1.2};
    return out;
}

/// 12 V behind 0.5 ohm, two loads of 2 ohm beside each other, a joint before each: 4 A each. One
/// volt dropped in one way lifts the node by 1/6 V (three branches of 2, 0.5 and 0.5 S meet there),
/// so takes (1 - 1/6) / 2 A of its own current and gives the other 1/12 A. Read to 0.01 V: the node
/// and both loads.
Response two_ways() {
    Response out = independent(Suspect::Kind::joint, {{100.0 / 6.0, -500.0 / 6.0, 100.0 / 6.0},
                                                      {100.0 / 6.0, 100.0 / 6.0, -500.0 / 6.0}});
    out.most_amps = {4.0, 4.0};
    out.states.front().amps = {4.0, 4.0};
    out.states.front().coupling = {-5.0 / 12.0, 1.0 / 12.0, 1.0 / 12.0, -5.0 / 12.0};
    return out;
}

/// What is read of it with joints of these ohms more, by Ohm's law of the whole circuit.
std::vector<double> two_ways_read(double a_ohm, double b_ohm) {
    const double node_v =
        12.0 / 0.5 / (1.0 / 0.5 + 1.0 / (2.0 + a_ohm) + 1.0 / (2.0 + b_ohm)); // Millman
    return {100.0 * (node_v - 8.0), 100.0 * (node_v * 2.0 / (2.0 + a_ohm) - 8.0),
            100.0 * (node_v * 2.0 / (2.0 + b_ohm) - 8.0)};
}

} // namespace

TEST_CASE("a joint of any resistance does to the readings what Ohm's law says of the loop") {
    const Response response = loop();
    const SetFitter fitter(response, {}, 12.0);
    std::vector<double> out(1);
    for (const double ohm : {0.0, 0.3, 1.2, 12.0, 1e6}) {
        CAPTURE(ohm);
        fitter.moved(first, std::array{ohm}, out);
        CHECK(out[0] == Approx((12.0 / (1.2 + ohm) - 10.0) / 0.1));
    }
    // the same joint, asked of a response that was made with 0.3 ohm in it: 8 A, 1.5 ohm
    Response later = loop();
    later.states.front() = {{8.0}, {-1.0 / 1.5}, {-1.0 / 1.5 / 0.1}};
    const std::array made_with{0.3};
    SetFitter(later, {}, 12.0, made_with).moved(first, std::array{1.3}, out);
    CHECK(out[0] == Approx((12.0 / 2.5 - 8.0) / 0.1));
}

TEST_CASE("two joints share a source: their readings are those of the whole circuit") {
    const Response response = two_ways();
    const SetFitter fitter(response, {}, 12.0);
    std::vector<double> out(3);
    for (const auto& ohm : {std::array{2.0, 1.0}, std::array{0.0, 5.0}, std::array{30.0, 0.1}}) {
        fitter.moved(both, ohm, out);
        const std::vector<double> expected = two_ways_read(ohm[0], ohm[1]);
        for (std::size_t m = 0; m < 3; ++m) {
            CHECK(out[m] == Approx(expected[m]));
        }
    }
    // and the fit gives the ohms back
    const std::vector<double> shown = two_ways_read(2.0, 1.0);
    const SetFit fit = SetFitter(response, shown, 12.0).fit(both);
    CHECK(fit.set == std::vector<std::size_t>{0, 1});
    CHECK(fit.chi_square < 1e-6);
    CHECK(fit.value[0] == Approx(2.0).epsilon(1e-5));
    CHECK(fit.value[1] == Approx(1.0).epsilon(1e-5));
    const SetFit again = SetFitter(response, shown, 12.0).fit(both, std::array{9.0, 0.2});
    CHECK(again.chi_square < 1e-6);
    CHECK(again.value[0] == Approx(2.0).epsilon(1e-5));
    CHECK(again.value[1] == Approx(1.0).epsilon(1e-5));
}

TEST_CASE("what a set does in several states is added up, row by row") {
    // a source that one state's reading knows threefold, the other's twice
    Response response = independent(Suspect::Kind::source, {{3.0, 0.0}});
    response.states.push_back({{0.0}, {0.0}, {0.0, 2.0}});
    std::vector<double> out(2);
    SetFitter(response, {}, 12.0).moved(first, std::array{1.5}, out);
    CHECK(out[0] == Approx(4.5));
    CHECK(out[1] == Approx(3.0));
}

TEST_CASE("the limits of a joint are told as a share of its loop") {
    // The load's volts fall from 10 to 0 in a straight line in t = R / (R + 1.2 ohm), 12 V / 10 A:
    // a hundred deviations of 0.1 V, so t is known to 0.01.
    const Response response = loop();
    const double wide = 0.01 * two_sided;
    const auto ohm = [](double t) { return 1.2 * t / (1.0 - t); };
    struct Case {
        double t; ///< that the reading tells
        bool is_open;
    };
    // 0.9797 + 0.0196 is more than 0.999 of the loop, 0.9790 + 0.0196 is less
    for (const Case& one : {Case{0.5, false}, Case{0.1, false}, Case{0.9, false},
                            Case{0.9790, false}, Case{0.9797, true}}) {
        CAPTURE(one.t);
        const std::array residual{-100.0 * one.t};
        const SetFit fit = SetFitter(response, residual, 12.0).fit(first);
        CHECK(fit.chi_square < 1e-6);
        CHECK(fit.value[0] == Approx(ohm(one.t)).epsilon(1e-4));
        CHECK(fit.low[0] == Approx(ohm(one.t - wide)).epsilon(1e-3));
        if (one.t < 0.97) {
            CHECK(fit.high[0] == Approx(ohm(one.t + wide)).epsilon(1e-3));
        }
        CHECK((fit.is_open[0] != 0) == one.is_open);
    }
    // a reading that asks for less than a good joint, and one that asks for more than an open one
    const std::array better{25.0};
    const SetFit good = SetFitter(response, better, 12.0).fit(first);
    CHECK(good.value[0] == 0.0);
    CHECK(good.low[0] == 0.0);
    CHECK(good.high[0] == Approx(ohm(wide)).epsilon(1e-3));
    CHECK(good.chi_square == Approx(625.0));
    CHECK(good.is_open[0] == 0);
    const std::array worse{-103.0};
    const SetFit open = SetFitter(response, worse, 12.0).fit(first);
    CHECK(open.value[0] > 1e6);
    CHECK(open.low[0] == Approx(ohm(1.0 - wide)).epsilon(1e-3));
    CHECK(open.chi_square == Approx(9.0).epsilon(1e-4));
    CHECK(open.is_open[0] == 1);
}

TEST_CASE("a joint that carries next to nothing is still given a loop") {
    // 1 nA is the least that is reckoned with: 12 V / 1 nA
    Response response = independent(Suspect::Kind::joint, {{-1e9}});
    response.most_amps = {0.0};
    response.states.front().amps = {1e-9};
    const std::array residual{-6.0};
    const SetFit fit = SetFitter(response, residual, 12.0).fit(first);
    // d = R 1 nA, the reading moves by 1e9 d: 6 ohm, of a loop that is 12e9
    CHECK(fit.value[0] == Approx(6.0).epsilon(0.01));
}

TEST_CASE("one unknown and several readings: least squares by hand") {
    // a = (2, 1, 2), y = (3, 1, 1): x = a y / a a = 9 / 9, X = 11 - 81 / 9, deviation 1 / 3
    for (const Suspect::Kind kind : {Suspect::Kind::source, Suspect::Kind::reading}) {
        const Response response = independent(kind, {{2.0, 1.0, 2.0}});
        const std::array residual{3.0, 1.0, 1.0};
        const SetFit fit = SetFitter(response, residual, 12.0).fit(first);
        CHECK(fit.value[0] == Approx(1.0).epsilon(1e-5));
        CHECK(fit.chi_square == Approx(2.0));
        CHECK(fit.low[0] == Approx(1.0 - two_sided / 3.0).epsilon(1e-4));
        CHECK(fit.high[0] == Approx(1.0 + two_sided / 3.0).epsilon(1e-4));
        CHECK(fit.is_open[0] == 0);
    }
    // the same for a load that is known ten times as well: a share of 0.1
    const Response response = independent(Suspect::Kind::load, {{20.0, 10.0, 20.0}});
    const std::array residual{3.0, 1.0, 1.0};
    const SetFit fit = SetFitter(response, residual, 12.0).fit(first);
    CHECK(fit.value[0] == Approx(0.1).epsilon(1e-5));
    CHECK(fit.low[0] == Approx(0.1 - two_sided / 30.0).epsilon(1e-3));
    CHECK(fit.high[0] == Approx(0.1 + two_sided / 30.0).epsilon(1e-3));
}

TEST_CASE("two unknowns that pull at one reading: least squares by hand") {
    // J = ((1, 1), (0, 1)): x = (3 - 2, 2); (J^T J)^-1 = ((2, -1), (-1, 1)); a third row that
    // neither reaches is left as it is: 4^2
    const Response response =
        independent(Suspect::Kind::source, {{1.0, 0.0, 0.0}, {1.0, 1.0, 0.0}});
    const std::array residual{3.0, 2.0, 4.0};
    const SetFitter fitter(response, residual, 12.0);
    for (const SetFit& fit : {fitter.fit(both), fitter.fit(both, std::array{-2.0, 30.0})}) {
        CHECK(fit.value[0] == Approx(1.0).epsilon(1e-4));
        CHECK(fit.value[1] == Approx(2.0).epsilon(1e-4));
        CHECK(fit.chi_square == Approx(16.0));
        CHECK(fit.low[0] == Approx(1.0 - two_sided * std::sqrt(2.0)).epsilon(1e-3));
        CHECK(fit.high[0] == Approx(1.0 + two_sided * std::sqrt(2.0)).epsilon(1e-3));
        CHECK(fit.low[1] == Approx(2.0 - two_sided).epsilon(1e-3));
        CHECK(fit.high[1] == Approx(2.0 + two_sided).epsilon(1e-3));
    }
}

TEST_CASE("no value leaves what its kind allows") {
    struct Case {
        Suspect::Kind kind;
        double shown; ///< one reading that moves by 10 for each unit
        double value;
        double low;
        double high;
    };
    const double wide = two_sided / 10.0;
    // A source is off by no more than 0.4 of 12 V (4.8 V), a load takes none to all, a reading is
    // off by no more than 1000 V: the limits are this program's own.
    const std::array cases{
        Case{Suspect::Kind::source, 100.0, 4.8, 4.8 - wide, 4.8},
        Case{Suspect::Kind::source, -100.0, -4.8, -4.8, -4.8 + wide},
        Case{Suspect::Kind::source, 46.0, 4.6, 4.6 - wide, 4.6 + wide},
        Case{Suspect::Kind::load, 30.0, 1.0, 1.0 - wide, 1.0},
        Case{Suspect::Kind::load, -30.0, 0.0, 0.0, wide},
        Case{Suspect::Kind::load, 5.0, 0.5, 0.5 - wide, 0.5 + wide},
        Case{Suspect::Kind::reading, 20000.0, 1000.0, 1000.0 - wide, 1000.0},
        Case{Suspect::Kind::reading, -20000.0, -1000.0, -1000.0, -1000.0 + wide},
    };
    for (const Case& one : cases) {
        CAPTURE(static_cast<int>(one.kind));
        CAPTURE(one.shown);
        const Response response = independent(one.kind, {{10.0}});
        const std::array residual{one.shown};
        const SetFit fit = SetFitter(response, residual, 12.0).fit(first);
        CHECK(fit.value[0] == Approx(one.value).epsilon(1e-5));
        CHECK(fit.low[0] == Approx(one.low).epsilon(1e-4));
        CHECK(fit.high[0] == Approx(one.high).epsilon(1e-4));
        CHECK(
            fit.chi_square ==
            Approx((one.shown - 10.0 * one.value) * (one.shown - 10.0 * one.value)).epsilon(1e-5));
        CHECK(fit.is_open[0] == 0);
    }
    // one that is held at its end leaves the other free: y = (1, 1) with columns (1, 0), (0, -1)
    const Response response = independent(Suspect::Kind::load, {{4.0, 0.0}, {0.0, -4.0}});
    const std::array residual{1.0, 1.0};
    const SetFit fit = SetFitter(response, residual, 12.0).fit(both);
    CHECK(fit.value[0] == Approx(0.25).epsilon(1e-5));
    CHECK(fit.value[1] == 0.0);
    CHECK(fit.chi_square == Approx(1.0));
}

TEST_CASE("a reading that asks for next to nothing is given just that") {
    // one reading that moves by 10 deviations for each unit, from either end of what a load may
    for (const double shown : {0.02, 0.05, 0.09, 0.2, 5.0}) {
        CAPTURE(shown);
        const Response response = independent(Suspect::Kind::load, {{10.0}});
        const std::array little{shown};
        const SetFit up = SetFitter(response, little, 12.0).fit(first);
        CHECK(up.value[0] == Approx(shown / 10.0).epsilon(2e-3));
        const std::array most{10.0 - shown};
        const SetFit down = SetFitter(response, most, 12.0).fit(first, std::array{1.0});
        CHECK(1.0 - down.value[0] == Approx(shown / 10.0).epsilon(2e-3));
        // of a joint's loop of 1.2 ohm a hundredth as much in t = R / (R + 1.2 ohm)
        const std::array dropped{-shown};
        const SetFit joint = SetFitter(loop(), dropped, 12.0).fit(first);
        const double t = shown / 100.0;
        CHECK(joint.value[0] == Approx(1.2 * t / (1.0 - t)).epsilon(3e-3));
    }
}

TEST_CASE("what the readings say nothing of has limits as wide as its kind") {
    // two sources that do the same to the only reading: any sum of 2 V will do
    const Response response = independent(Suspect::Kind::source, {{1.0}, {1.0}});
    const std::array residual{2.0};
    const SetFit fit = SetFitter(response, residual, 12.0).fit(both);
    CHECK(fit.value[0] + fit.value[1] == Approx(2.0).epsilon(1e-4));
    CHECK(fit.chi_square < 1e-6);
    for (std::size_t i = 0; i < 2; ++i) {
        CHECK(fit.low[i] == Approx(-4.8));
        CHECK(fit.high[i] == Approx(4.8));
    }
    // one that moves no reading stays where it is
    const Response mute = independent(Suspect::Kind::source, {{0.0}});
    const SetFit still = SetFitter(mute, residual, 12.0).fit(first);
    CHECK(still.value[0] == 0.0);
    CHECK(still.chi_square == Approx(4.0));
    CHECK(still.low[0] == Approx(-4.8));
    CHECK(still.high[0] == Approx(4.8));
    // and two such where they were begun, the second beyond what a source may be off
    const Response mutes = independent(Suspect::Kind::source, {{0.0}, {0.0}});
    const SetFit begun = SetFitter(mutes, residual, 12.0).fit(both, std::array{1.5, -30.0});
    CHECK(begun.value[0] == Approx(1.5));
    CHECK(begun.value[1] == Approx(-4.8));
}

} // namespace loomwright
