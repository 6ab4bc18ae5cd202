// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Which suspects count as one, and which sets of them explain readings best, on responses that are
// written down by hand: projections on a few directions.
#include "study/measure_compare.hpp"
#include "study/measure_search.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using Sets = std::vector<std::vector<std::size_t>>;
using Kind = Suspect::Kind;

/// A suspect as stated: what the readings see of it, and the current that it carries.
struct StatedSuspect {
    Kind kind;
    std::vector<double> effect;
    double amps = 1.0;
};

/// One state; nothing knows of anything else.
Response made(const std::vector<StatedSuspect>& suspects) {
    Response out;
    out.rows = suspects.front().effect.size();
    Response::State state;
    for (const StatedSuspect& one : suspects) {
        out.suspects.push_back({one.kind, static_cast<int>(out.suspects.size())});
        out.most_amps.push_back(std::abs(one.amps));
        state.amps.push_back(one.amps);
        state.effect.insert(state.effect.end(), one.effect.begin(), one.effect.end());
    }
    state.coupling.assign(suspects.size() * suspects.size(), 0.0);
    out.states.push_back(std::move(state));
    return out;
}

std::vector<double> unit(std::size_t rows, std::size_t which, double size = 1.0) {
    std::vector<double> out(rows, 0.0);
    out[which] = size;
    return out;
}

/// In the plane, so many radians from the first reading; two such are 2 sin(angle / 2) apart.
std::vector<double> direction(double angle, double length = 100.0) {
    return {length * std::cos(angle), length * std::sin(angle)};
}

/// The classes where no joint turns a relay.
std::vector<SuspectClass> classes_of(const Response& response, std::span<const double> residual) {
    const std::vector<std::vector<int>> turns(response.suspects.size());
    return classify(response, turns, residual, 12.0);
}

Sets members(const std::vector<SuspectClass>& classes) {
    Sets out;
    for (const SuspectClass& one : classes) {
        out.push_back(one.members);
    }
    return out;
}

} // namespace

TEST_CASE("readings that lean on each other are made independent") {
    // C = L L^T with L = ((2, 0, 0), (1, 2, 0), (3, -1, 1)); L^-1 (4, 6, 10) by substitution
    const Whitening whitening({4.0, 2.0, 6.0, 2.0, 5.0, 1.0, 6.0, 1.0, 11.0}, 3);
    CHECK(whitening.size() == 3);
    CHECK(whitening.deviations()[0] == Approx(2.0));
    CHECK(whitening.deviations()[1] == Approx(std::sqrt(5.0)));
    CHECK(whitening.deviations()[2] == Approx(std::sqrt(11.0)));
    const std::array shown{4.0, 6.0, 10.0};
    std::array white = shown;
    whitening.apply(white);
    CHECK(white[0] == Approx(2.0)); // 4 / 2
    CHECK(white[1] == Approx(2.0)); // (6 - 1 x 2) / 2
    CHECK(white[2] == Approx(6.0)); // (10 - 3 x 2 + 1 x 2) / 1
    // Columns of L^-1: (0.5, -0.25, -1.75), (0, 0.5, 0.5), (0, 0, 1); what is left of each once the
    // others foretell it is its column times the whitened, over the column's length.
    const std::vector<double> left = whitening.against_others(shown);
    CHECK(left[0] == Approx((1.0 - 0.5 - 10.5) / std::sqrt(0.25 + 0.0625 + 3.0625)));
    CHECK(left[1] == Approx((1.0 + 3.0) / std::sqrt(0.5)));
    CHECK(left[2] == Approx(6.0));
}

TEST_CASE("suspects of one kind that no reading tells apart count as one") {
    const std::vector<double> nothing(2, 0.0);
    const Response response = made({
        {Kind::joint, direction(0.0)},
        {Kind::joint, direction(0.29)},      // 0.289 of a deviation apart: not told
        {Kind::joint, direction(0.31)},      // 0.309: told (the limit of 0.3 is our own)
        {Kind::load, direction(0.0)},        // of another kind
        {Kind::source, direction(0.01)},     // likewise
        {Kind::source, direction(0.0, 7.0)}, // less of the same
        {Kind::joint, nothing},              // none of the readings knows of it
        {Kind::reading, unit(2, 0)},         // readings are never joined
        {Kind::reading, unit(2, 0)},
        {Kind::joint, direction(0.30, 3.0), -1.0}, // against the others
    });
    const std::array residual{0.0, 0.0};
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    CHECK(members(classes) == Sets{{0, 1}, {2}, {3}, {4, 5}, {7}, {8}, {9}});
    for (std::size_t c = 0; c < classes.size(); ++c) {
        CHECK(classes[c].is_reading == (c == 4 || c == 5));
        CHECK_FALSE(classes[c].is_weak);
    }
}

TEST_CASE("the more there is to explain, the finer suspects are told apart") {
    // |y| = 9, so a direction counts tenfold: 0.29 and 0.31 become 0.029 and 0.031
    const std::array residual{0.0, -9.0};
    const Response response = made({{Kind::joint, direction(0.0)},
                                    {Kind::joint, direction(0.029)},
                                    {Kind::joint, direction(0.031)}});
    CHECK(members(classes_of(response, residual)) == Sets{{0, 1}, {2}});
}

TEST_CASE("a joint that does less than a deviation when it opens is weak, and joins no other") {
    // At 12 V an open joint of 2 A drops the 12 V of its loop, 6 V for each ampere: 6 x 2 x 0.08
    // are 0.96 deviations, 6 x 2 x 0.09 are 1.08.
    const Response response = made({{Kind::joint, {0.08}, 2.0},
                                    {Kind::joint, {0.08}, 2.0},
                                    {Kind::joint, {0.09}, 2.0},
                                    {Kind::joint, {0.09}, 2.0},
                                    {Kind::load, {0.01}, 2.0}});
    const std::array residual{0.0};
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    CHECK(members(classes) == Sets{{0}, {1}, {2, 3}, {4}});
    CHECK(classes[0].is_weak);
    CHECK(classes[1].is_weak);
    CHECK_FALSE(classes[2].is_weak);
    CHECK_FALSE(classes[3].is_weak); // only joints turn a relay by being there
}

TEST_CASE("joints that turn different relays are told apart whatever the readings say until then") {
    const Response response = made({{Kind::joint, direction(0.0)},
                                    {Kind::joint, direction(0.0)},
                                    {Kind::joint, direction(0.0)},
                                    {Kind::joint, direction(0.0)}});
    const std::vector<std::vector<int>> turns{{}, {3}, {3, 4}, {3}};
    const std::array residual{0.0, 0.0};
    CHECK(members(classify(response, turns, residual, 12.0)) == Sets{{0}, {1, 3}, {2}});
}

TEST_CASE("a suspect is what it does in all states together") {
    // in the first state both do the same; the second tells them apart
    Response response = made({{Kind::source, {1.0, 0.0}}, {Kind::source, {1.0, 0.0}}});
    const std::array residual{0.0, 0.0};
    CHECK(members(classes_of(response, residual)) == Sets{{0, 1}});
    response.states.push_back({{0.0, 0.0}, {0.0, 0.0, 0.0, 0.0}, {0.0, 1.0, 0.0, 0.0}});
    CHECK(members(classes_of(response, residual)) == Sets{{0}, {1}});
}

TEST_CASE("the best sets of each size, by projections on hand-drawn directions") {
    // y = (3, -2, 1), |y|^2 = 14. A source may go either way, a load one way only.
    const Response response = made({{Kind::source, unit(3, 0, 2.0)}, // 0
                                    {Kind::load, unit(3, 1, 8.0)},   // 1: would have to go up
                                    {Kind::source, {3.0, 3.0, 0.0}}, // 2
                                    {Kind::load, unit(3, 2, 8.0)},   // 3
                                    {Kind::reading, unit(3, 0)},     // 4
                                    {Kind::reading, unit(3, 1)},     // 5
                                    {Kind::reading, unit(3, 2)}});   // 6
    const std::array residual{3.0, -2.0, 1.0};
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    REQUIRE(classes.size() == 7);
    SetSearch search(response, classes, residual, 12.0);
    struct Expected {
        std::vector<std::size_t> set;
        double chi_square;
    };
    const auto check = [&](std::size_t causes, std::size_t readings,
                           const std::vector<Expected>& expected) {
        CAPTURE(causes);
        CAPTURE(readings);
        const std::vector<SetFit> fits = search.best(causes, readings);
        REQUIRE(fits.size() == expected.size());
        for (std::size_t i = 0; i < fits.size(); ++i) {
            CAPTURE(i);
            CHECK(fits[i].chi_square == Approx(expected[i].chi_square).epsilon(1e-4));
        }
        for (const Expected& one : expected) {
            const bool is_there = std::ranges::any_of(fits, [&](const SetFit& fit) {
                return fit.set == one.set && fit.chi_square == Approx(one.chi_square).epsilon(1e-4);
            });
            CHECK(is_there);
        }
    };
    // 0 leaves (0, -2, 1), 3 leaves (3, -2, 0), 2 takes its half of (3 - 2)^2; 1 would go wrong
    check(1, 0, {{{0}, 5.0}, {{3}, 13.0}, {{2}, 13.5}});
    check(0, 1, {{{4}, 5.0}, {{5}, 10.0}, {{6}, 13.0}});
    // 0 and 2 span the first two readings, and so do 1 and 2: 2 gives (3, 3), so 1 takes -5: wrong
    check(2, 0, {{{0, 2}, 1.0}, {{0, 3}, 4.0}, {{2, 3}, 12.5}});
    check(0, 2, {{{4, 5}, 1.0}, {{4, 6}, 4.0}, {{5, 6}, 9.0}});
    // 0 with 4 are one direction, 3 with 6 likewise; 1 with 5 would be
    check(1, 1,
          {{{0, 5}, 1.0},
           {{2, 4}, 1.0},
           {{2, 5}, 1.0},
           {{3, 4}, 4.0},
           {{0, 6}, 4.0},
           {{3, 5}, 9.0},
           {{2, 6}, 12.5}});
    CHECK(search.is_exhausted());
    // four members and three readings leave nothing to tell: no set has independent members
    CHECK(search.best(2, 2).empty());
}

TEST_CASE("joints are ranked by what their best does, not by their first ohm") {
    // Two ways from one node (see the fit of sets): a is open. The readings know only the load a,
    // straight in t, so that its secant explains all; b pulls the other way and is left out.
    Response response = made({{Kind::joint, {-50.0, 5.0}, 2.0}, {Kind::joint, {5.0, -50.0}, 2.0}});
    response.states.front().coupling = {-1.0 / 6.0, 0.0, 0.0, -1.0 / 6.0};
    const std::array residual{-300.0, 30.0}; // 6 V dropped in a: the half of 12 V, 6 ohm more
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    SetSearch search(response, classes, residual, 12.0);
    const std::vector<SetFit> fits = search.best(1, 0);
    REQUIRE_FALSE(fits.empty());
    CHECK(fits.front().set == std::vector<std::size_t>{0});
    CHECK(fits.front().value[0] == Approx(6.0).epsilon(1e-4));
    CHECK(fits.front().chi_square < 1e-4);
}

TEST_CASE("beyond two million sets, those that grow from the best are weighed") {
    // 90 sources of one reading each: of four members there are 2,555,190 sets, of three 117,480.
    constexpr std::size_t count = 90;
    std::vector<StatedSuspect> suspects;
    std::vector<double> residual(count, 0.1);
    for (std::size_t i = 0; i < count; ++i) {
        suspects.push_back({Kind::source, unit(count, i, 5.0)});
    }
    const std::vector<std::size_t> wrong{7, 20, 55, 89};
    const double whole = 0.01 * (count - 4);
    for (std::size_t i = 0; i < wrong.size(); ++i) {
        residual[wrong[i]] = 3.0 + static_cast<double>(i);
    }
    const Response response = made(suspects);
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    REQUIRE(classes.size() == count);
    SetSearch search(response, classes, residual, 12.0);
    const std::vector<SetFit> pairs = search.best(2, 0);
    CHECK(pairs.size() == 120); // as many are fitted as are worth it: our own limit
    CHECK(pairs.front().set == std::vector<std::size_t>{55, 89});
    CHECK(pairs.front().chi_square == Approx(whole + 9.0 + 16.0).epsilon(1e-4));
    CHECK(pairs[1].set == std::vector<std::size_t>{20, 89});
    CHECK(search.is_exhausted());
    const std::vector<SetFit> fours = search.best(4, 0);
    CHECK_FALSE(search.is_exhausted());
    CHECK(fours.front().set == wrong);
    CHECK(fours.front().chi_square == Approx(whole).epsilon(1e-4));
}

TEST_CASE("wrong readings grow likewise") {
    constexpr std::size_t count = 90;
    std::vector<StatedSuspect> suspects;
    std::vector<double> residual(count, 0.1);
    for (std::size_t i = 0; i < count; ++i) {
        suspects.push_back({Kind::reading, unit(count, i)});
    }
    suspects.push_back({Kind::source, unit(count, 3)});
    residual[3] = 4.0;
    residual[4] = 5.0;
    residual[50] = 6.0;
    residual[88] = 7.0;
    const Response response = made(suspects);
    const std::vector<SuspectClass> classes = classes_of(response, residual);
    SetSearch search(response, classes, residual, 12.0);
    CHECK(search.best(0, 4).front().set == std::vector<std::size_t>{3, 4, 50, 88});
    CHECK_FALSE(search.is_exhausted());
    // with the source in the place of its reading: the cause stands before the readings, 117,480
    SetSearch other(response, classes, residual, 12.0);
    CHECK(other.best(1, 3).front().set == std::vector<std::size_t>{90, 4, 50, 88});
    CHECK(other.is_exhausted());
}

} // namespace loomwright
