// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Start pulses through a protective device: what starts together, for how long, and the share of
// the shortest opening time that it takes, by hand.

#include "checks/checked.hpp"
#include "sizing/joint_starts.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace loomwright;

namespace {

/// Two motors and two lamps behind F1: the motors each behind a switch of their own, the lamps
/// behind one, all of it behind S1.
const std::string several =
    "loomwright: 1\n"
    "zones: {cool: {air: 20 C}}\n"
    "points: {here: {zone: cool}}\n"
    "devices:\n"
    "  G1: {is: battery, at: here, capacity: 60 Ah, voltage: 12.6 V, resistance: 0.1 mohm}\n"
    "  F1: {is: fuse, at: here, family: maxi-blade, rating: 40 A}\n"
    "  S1: {is: switch, at: here, positions: {off: [], on: [1-2]}}\n"
    "  S2: {is: switch, at: here, positions: {off: [], on: [1-2]}}\n"
    "  S3: {is: switch, at: here, positions: {off: [], on: [1-2]}}\n"
    "  S4: {is: switch, at: here, positions: {off: [], on: [1-2]}}\n"
    "  M1: {is: motor, at: here, draws: 5 A at 12 V, inrush: 20 A for 0.3 s}\n"
    "  M2: {is: motor, at: here, draws: 4 A at 12 V, inrush: 24 A for 0.1 s}\n"
    "  E1: {is: lamp, at: here, draws: 2 A at 12.6 V, inrush: 22 A for 0.02 s}\n"
    "  E2: {is: lamp, at: here, draws: 2 A at 12.6 V}\n"
    "  SP1: {is: splice, at: here}\n"
    "  GND1: {is: ground, at: here, body: chassis}\n"
    "circuits:\n"
    "  all:\n"
    "    number: 1\n"
    "    size: 16 mm2\n"
    "    paths:\n"
    "      - G1 > F1 > S1 > SP1\n"
    "      - SP1 > S2 > M1 > GND1\n"
    "      - SP1 > S3 > M2 > GND1\n"
    "      - SP1 > S4 > E1 > GND1\n"
    "      - S4.2 > E2 > GND1\n"
    "      - G1.- > GND1\n"
    "states:\n"
    "  on: {set: {S1: on, S2: on, S3: on, S4: on}}\n";

const StartPulse* pulse_of(const std::vector<StartPulse>& pulses, std::size_t loads) {
    for (const StartPulse& pulse : pulses) {
        if (pulse.loads.size() == loads) {
            return &pulse;
        }
    }
    return nullptr;
}

} // namespace

TEST_CASE("what a contact turns on starts together; the others run") {
    const auto car = check_text(several, {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    const StudyInput study = car->study();
    const JointStarts pulses(study, car->sizing);
    const auto through = pulses.through(car->vehicle.find_device("F1"));
    // S1: all four; S4: both lamps; S2 and S3: one motor each.
    REQUIRE(through.size() == 4);
    const StartPulse* all = pulse_of(through, 4);
    const StartPulse* lamps = pulse_of(through, 2);
    REQUIRE(all != nullptr);
    REQUIRE(lamps != nullptr);
    // 13 A run. All: + 20 + (11 x 2 = 22) for 0.02 s, the motors' 15 + 20 until 0.1 s, 15 until
    // 0.3 s.
    REQUIRE(all->first.size() == 3);
    CHECK(all->first[0].amps == doctest::Approx(13.0 + 20.0 + 22.0 + 15.0 + 20.0).epsilon(0.01));
    CHECK(all->first[0].seconds == doctest::Approx(0.02).scale(0.0));
    CHECK(all->first[1].amps == doctest::Approx(48.0).epsilon(0.01));
    CHECK(all->first[1].seconds == doctest::Approx(0.08).scale(0.0));
    CHECK(all->first[2].amps == doctest::Approx(28.0).epsilon(0.01));
    CHECK(all->first[2].seconds == doctest::Approx(0.2));
    // Once more at once the filaments are warm.
    REQUIRE(all->again.size() == 2);
    CHECK(all->again[0].amps == doctest::Approx(48.0).epsilon(0.01));
    CHECK(all->again[0].seconds == doctest::Approx(0.1));
    CHECK(lamps->first.size() == 1);
    CHECK(lamps->again.empty());
}

TEST_CASE("the share of the shortest opening time, stage by stage") {
    // Blade of 20 A: 40 A (2x) 0.15 s, 27 A (1.35x) 0.75 s, 120 A (6x) 0.03 s; 22 A (1.1x) stays
    // closed. 40 A for 0.03 s, 27 A for 0.15 s, 22 A for ever: 0.2 + 0.2 + 0 = 0.4.
    const auto car = check_text(several, {}, false);
    const TimeCurrentBand blade =
        time_current_band(*car->catalogue.find_fuse_family("blade"), 20.0);
    const std::vector<PulseStage> stages{{40.0, 0.03}, {27.0, 0.15}, {22.0, 3600.0}};
    CHECK(opening_share(blade, stages) == doctest::Approx(0.4));
    // Air 50 K hotter, at 0.14 % a kelvin: the same at 93 % of the currents.
    const TimeCurrentBand hot = in_air(blade, 0.0014, {73.0, 73.0});
    const std::vector<PulseStage> less{{37.2, 0.03}, {25.11, 0.15}, {20.46, 3600.0}};
    CHECK(opening_share(hot, less) == doctest::Approx(0.4));
    StartPulse pulse;
    pulse.first = {{120.0, 0.015}, {40.0, 0.03}};
    pulse.again = {{40.0, 0.03}};
    // 0.5 + 0.2, and 0.2 for each one more.
    CHECK(opening_share(blade, pulse, 1) == doctest::Approx(0.7));
    CHECK(opening_share(blade, pulse, 3) == doctest::Approx(1.1));
}

TEST_CASE("a family whose short side ends at hours says nothing of a start") {
    const auto car = check_text(several, {}, false);
    const auto knows = [&](const char* family, double rating_a) {
        return knows_short_side(
            time_current_band(*car->catalogue.find_fuse_family(family), rating_a));
    };
    CHECK(knows("blade", 10.0));
    CHECK(knows("strip", 150.0));
    CHECK(knows("breaker", 20.0));
    // UL 248-14 sheets: 110 % for four hours, then only longest times.
    CHECK_FALSE(knows("glass", 10.0));
    CHECK_FALSE(knows("torpedo", 8.0));
}
