// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What is true of every car, on vehicle files that rapidcheck draws and that go the whole way:
// text, reader, routes, sizes, states, checks. One that breaks a property is cut down to the
// smallest that still does. The seed is fixed: RC_PARAMS="seed=... max_success=..." draws others.

#include "drawn_car.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>
#include <string>
#include <tuple>
#include <vector>

using namespace loomwright;
using namespace loomwright::testing;

namespace {

/// Sums taken in another order differ in their last bits, and the rounds of electrical and thermal
/// rest carry that on; the rounds themselves are the same. A state's balance is good to 1e-9 of its
/// currents.
constexpr double relative = 1e-9;
constexpr double least_number = 1e-6; ///< A, V: less is what the balance leaves over

void assert_same_numbers(const Answers& a, const Answers& b) {
    for (const auto& [name, words] : a.words) {
        const auto other = b.words.find(name);
        RC_ASSERT(other != b.words.end());
        if (words != other->second) {
            RC_FAIL(fmt::format("{}: {} and {}", name, words, other->second));
        }
    }
    RC_ASSERT(a.words.size() == b.words.size());
    RC_ASSERT(a.numbers.size() == b.numbers.size());
    for (const auto& [name, value] : a.numbers) {
        const auto other = b.numbers.find(name);
        RC_ASSERT(other != b.numbers.end());
        const double most = std::max({std::abs(value), std::abs(other->second), least_number});
        if (!(std::abs(value - other->second) <= relative * most) && value != other->second) {
            RC_FAIL(fmt::format("{}: {} and {}", name, value, other->second));
        }
    }
}

void assert_same(const std::vector<std::string>& a, const std::vector<std::string>& b) {
    std::vector<std::string> differ;
    std::ranges::set_symmetric_difference(a, b, std::back_inserter(differ));
    if (!differ.empty()) {
        RC_FAIL(fmt::format("in one of the two only: {}", fmt::join(differ, "; ")));
    }
}

} // namespace

TEST_CASE("drawn cars: they are read, come to rest, and have something to check") {
    int states = 0;
    std::size_t findings = 0;
    CHECK(holds("a drawn car is one", [&](const DrawnCar& car) {
        const auto project = checked(text_of(car));
        RC_ASSERT(!project->findings.has_input_fault());
        RC_ASSERT(project->is_sized);
        for (const StateSolution& state : project->sizing.states) {
            states += state.converged ? 1 : 0;
        }
        findings += project->findings.all().size();
    }));
    CHECK(states > 100); // of 180: the others have electronics that do not start
    CHECK(findings > 100);
}

TEST_CASE("drawn cars: the order of the file is in no answer") {
    // Claimed for what does not race: relays that lock one another out go by the file's order, by
    // design.
    CHECK(holds("zones, points, runs, devices, circuits, wires and settings in another order",
                [](const DrawnCar& car, std::uint8_t turn) {
                    const Answers one = answers_of(*checked(text_of(car)));
                    const Writing writing{.turn = 1U + turn};
                    const Answers other = answers_of(*checked(text_of(car, writing)));
                    assert_same_numbers(one, other);
                    assert_same(one.findings, other.findings);
                }));
    // Of states that are as bad as one another the first of the file is the one that is named.
    CHECK(holds("states in another order: all but which of them a sentence names",
                [](const DrawnCar& car, std::uint8_t turn) {
                    const Answers one = answers_of(*checked(text_of(car)));
                    const Writing writing{.turn_states = 1U + turn};
                    const Answers other = answers_of(*checked(text_of(car, writing)));
                    assert_same_numbers(one, other);
                    assert_same(one.ruled, other.ruled);
                }));
}

TEST_CASE("drawn cars: the units of the file are in no answer") {
    CHECK(holds("mm, cm, in and ft; A and mA; V and mV; ohm, mohm and kohm; C and F; times",
                [](const DrawnCar& car) {
                    const Answers plain = answers_of(*checked(text_of(car)));
                    for (const auto units : {Writing::Units::small, Writing::Units::imperial}) {
                        const Writing writing{.units = units};
                        const Answers other = answers_of(*checked(text_of(car, writing)));
                        assert_same_numbers(plain, other);
                        assert_same(plain.ruled, other.ruled);
                    }
                }));
}

TEST_CASE("drawn cars: a fault never appears twice") {
    CHECK(holds(
        "shorts by state and wire's end, opens by state and branch, and findings",
        [](const DrawnCar& car) {
            const auto project = checked(text_of(car), true);
            RC_ASSERT(project->faults.has_value());
            const FaultSweep& sweep = *project->faults;
            std::set<std::tuple<std::size_t, int>> events;
            for (const ShortEvent& event : sweep.events) {
                RC_ASSERT(events.emplace(event.state, event.node).second);
            }
            std::set<std::tuple<std::size_t, std::size_t, bool>> shorts;
            for (const ShortCase& one : sweep.shorts) {
                RC_ASSERT(one.event < sweep.events.size());
                RC_ASSERT(shorts.emplace(sweep.event(one).state, one.wire.index(), one.is_from_end)
                              .second);
            }
            std::set<std::tuple<std::size_t, int>> opens;
            for (const OpenCase& one : sweep.opens) {
                RC_ASSERT(opens.emplace(one.state, one.branch).second);
            }
            RC_ASSERT(!opens.empty());
            const Answers answers = answers_of(*project);
            RC_ASSERT(std::ranges::adjacent_find(answers.findings) == answers.findings.end());
        }));
}
