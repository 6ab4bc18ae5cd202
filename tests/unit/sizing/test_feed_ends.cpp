// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// From which end of a wire the current of each device comes.
#include "../checks/checked.hpp"

#include "sizing/feed_ends.hpp"
#include "sizing/feeds.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <random>

using namespace loomwright;

namespace {

/// Nodes that can be reached from `start` without edge `without`: what the word "bridge" means.
std::vector<bool> reached(const std::vector<PieceEdge>& edges, int nodes, int start,
                          std::size_t without) {
    std::vector<bool> out(static_cast<std::size_t>(nodes), false);
    out[static_cast<std::size_t>(start)] = true;
    for (bool grew = true; grew;) {
        grew = false;
        for (std::size_t i = 0; i < edges.size(); ++i) {
            auto a = out[static_cast<std::size_t>(edges[i].a)];
            auto b = out[static_cast<std::size_t>(edges[i].b)];
            if (i != without && a != b) {
                out[static_cast<std::size_t>(edges[i].a)] = true;
                out[static_cast<std::size_t>(edges[i].b)] = true;
                grew = true;
            }
        }
    }
    return out;
}

std::string names(const Checked& car, std::span<const DeviceId> devices) {
    std::string out;
    for (const DeviceId device : devices) {
        out += car.vehicle.device(device).name + " ";
    }
    return out;
}

const WireFeed& feed_of(const Checked& car, const std::string& number) {
    const auto found = std::ranges::find(car.vehicle.wires, number, &Wire::number);
    REQUIRE(found != car.vehicle.wires.end());
    return car.sizing.feeds[static_cast<std::size_t>(found - car.vehicle.wires.begin())];
}

FeedShare share_of(const Checked& car, const char* number) {
    for (std::size_t i = 0; i < car.vehicle.wires.size(); ++i) {
        if (car.vehicle.wires[i].number == number) {
            return worst_share(car.sizing.design, car.sizing.feeds[i]);
        }
    }
    FAIL("no such wire: " << number);
    return {};
}

/// Two batteries, each with a fuse of its own, joined by a lead with a branch at its middle.
std::string two_batteries(std::string_view more) {
    return "loomwright: 1\n"
           "devices:\n"
           "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
           "  G2: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
           "  F1: {is: fuse, rating: 20 A}\n"
           "  F2: {is: fuse, rating: 30 A}\n"
           "  F3: {is: fuse, rating: 25 A}\n"
           "  ST1: {is: stud}\n"
           "  E1: {is: heater, draws: 5 A at 13 V}\n"
           "  GND1: {is: ground, body: chassis}\n"
           "circuits:\n"
           "  one:\n"
           "    number: 1\n"
           "    size: 25 mm2\n"
           "    paths:\n"
           "      - G1 > F1 > ST1\n"
           "      - G2 > F2 > ST1\n"
           "      - ST1 > E1 > GND1\n"
           "      - G1.- > GND1\n"
           "      - G2.- > GND1\n" +
           std::string(more);
}

} // namespace

TEST_CASE("sides of an edge: against taking it away, on 400 random pieces") {
    std::mt19937 random(20261125);
    int bridges = 0;
    for (int round = 0; round < 400; ++round) {
        const int nodes = 2 + static_cast<int>(random() % 12);
        std::vector<PieceEdge> edges;
        for (int node = 1; node < nodes; ++node) {
            edges.push_back({static_cast<int>(random() % static_cast<unsigned>(node)), node});
        }
        for (auto more = random() % 5; more > 0; --more) {
            edges.push_back({static_cast<int>(random() % static_cast<unsigned>(nodes)),
                             static_cast<int>(random() % static_cast<unsigned>(nodes))});
        }
        std::ranges::shuffle(edges, random);
        std::vector<int> entries;
        for (auto more = random() % 6; more > 0; --more) {
            entries.push_back(static_cast<int>(random() % static_cast<unsigned>(nodes)));
        }
        const auto sides = entries_on_side_a(edges, entries);
        REQUIRE(sides.size() == edges.size());
        for (std::size_t i = 0; i < edges.size(); ++i) {
            const std::vector<bool> on_a = reached(edges, nodes, edges[i].a, i);
            const bool is_bridge = !on_a[static_cast<std::size_t>(edges[i].b)];
            REQUIRE(sides[i].has_value() == is_bridge);
            if (!is_bridge) {
                continue;
            }
            ++bridges;
            std::uint64_t expected = 0;
            for (std::size_t e = 0; e < entries.size(); ++e) {
                expected |= std::uint64_t{on_a[static_cast<std::size_t>(entries[e])]} << e;
            }
            REQUIRE(*sides[i] == expected);
        }
    }
    CHECK(bridges > 1000);
}

TEST_CASE(
    "a lead between two feeds is held against its worse end, what branches off against both") {
    const auto car = check_text(two_batteries(""), {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    // 1.2 F1.out > ST1: 20 A comes in at one end and 30 A at the other.
    CHECK(names(*car, share_of(*car, "1.2").devices) == "F2 ");
    CHECK(share_of(*car, "1.2").rating_a == 30.0);
    CHECK(names(*car, share_of(*car, "1.4").devices) == "F2 ");
    // 1.5 ST1 > E1: both come in at the stud.
    CHECK(names(*car, share_of(*car, "1.5").devices) == "F1 F2 ");
    CHECK(share_of(*car, "1.5").rating_a == 50.0);
}

TEST_CASE("feeds that meet at one end are summed there") {
    const auto car = check_text(two_batteries("      - G1 > F3 > F1.out\n"), {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    // F1 and F3 feed 1.2 at F1.out, F2 at the stud: 45 A against 30 A.
    CHECK(names(*car, share_of(*car, "1.2").devices) == "F1 F3 ");
    CHECK(share_of(*car, "1.2").rating_a == 45.0);
    // 1.4 F2.out > ST1: F2 at its one end, F1 and F3 at the stud.
    CHECK(share_of(*car, "1.4").rating_a == 45.0);
    CHECK(share_of(*car, "1.5").rating_a == 75.0);
}

TEST_CASE(
    "two batteries in a row: 12 V each in a car of 24 V, and the lead between them is no hole") {
    const std::string text =
        "loomwright: 1\n"
        "nominal: 24 V\n"
        "devices:\n"
        "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
        "  G2: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
        "  F1: {is: fuse, rating: 30 A}\n"
        "  E1: {is: heater, draws: 10 A at 24 V}\n"
        "  GND1: {is: ground, body: chassis}\n"
        "circuits:\n"
        "  one: {number: 1, class: other, paths: [GND1 > G1.-/+ > G2.-/+ > F1 > E1 > GND1]}\n";
    const auto car = check_text(text, {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    // A full lead battery rests at 12.7 to 12.8 V: two of them, less what they and ten metres of
    // wire take at 10 A, under 2 V. As two of 24 V they would stand at 50 V.
    const double volts =
        car->sizing.states.front().devices[car->vehicle.find_device("E1").index()].volts;
    CHECK(volts > 23.5);
    CHECK(volts < 25.6);
    // All that the load takes goes through it: it is held against the fuse as the feed is.
    CHECK(share_of(*car, "1.2").rating_a == 30.0);
    CHECK(car->size("1.2") == car->size("1.1"));
    CHECK(car->wire("1.2").ampacity.amps >= 30.0);
    // Written as one battery it is the same supply.
    const auto one =
        check_text("loomwright: 1\n"
                   "nominal: 24 V\n"
                   "devices:\n"
                   "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                   "  F1: {is: fuse, rating: 30 A}\n"
                   "  E1: {is: heater, draws: 10 A at 24 V}\n"
                   "  GND1: {is: ground, body: chassis}\n"
                   "circuits:\n"
                   "  one: {number: 1, class: other, paths: [G1 > F1 > E1 > GND1, G1.- > GND1]}\n",
                   {}, false);
    REQUIRE(one->is_sized);
    CHECK(one->sizing.states.front().devices[one->vehicle.find_device("G1").index()].volts ==
          doctest::Approx(car->sizing.states.front().devices[0].volts +
                          car->sizing.states.front().devices[1].volts)
              .epsilon(0.001));
}

TEST_CASE("an alternator without a fuse adds to what a fuse at the same end lets pass") {
    // F1 of 20 A and an alternator of 60 A meet at F1.out, F2 of 30 A comes in at the stud.
    std::string text = two_batteries("      - G3.B+ > F1.out\nstates: {on: {engine: running}}\n");
    text.insert(text.find("  F1:"),
                "  G3: {is: alternator, rated: 60 A, regulates: 14.2 V, case: chassis}\n");
    const auto car = check_text(text, {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    CHECK(names(*car, share_of(*car, "1.2").devices) == "F1 ");
    CHECK(share_of(*car, "1.2").beside_a == 60.0);
    // 1.4 F2.out > ST1: both of the other end.
    CHECK(share_of(*car, "1.4").rating_a == 20.0);
    CHECK(share_of(*car, "1.4").beside_a == 60.0);
    // 1.5 ST1 > E1: all three come in at the stud.
    CHECK(share_of(*car, "1.5").rating_a == 50.0);
    CHECK(share_of(*car, "1.5").beside_a == 60.0);
}

TEST_CASE("an alternator at the battery adds nothing to a stretch that ends at a fuse") {
    // 1.2 G1.+ > F1.in has no branch: what flows in it flows through F1, 30 A by its rating, though
    // the alternator gives 60 A to the battery that it comes from.
    const auto car = [](const char* size) {
        auto out = check_text(
            fmt::format(
                "loomwright: 1\n"
                "devices:\n"
                "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A, case: chassis}}\n"
                "  G3: {{is: alternator, rated: 60 A, regulates: 14.2 V, case: chassis}}\n"
                "  F1: {{is: fuse, rating: 30 A}}\n"
                "  E1: {{is: heater, draws: 5 A at 13 V, case: chassis}}\n"
                "circuits:\n"
                "  one:\n"
                "    number: 1\n"
                "    paths: [G3.B+ > G1.+, G1 > F1 > E1]\n"
                "    wires: {{1.1: {{length: 1 m}}, 1.2: {{length: 0.3 m, size: {}}},\n"
                "            1.3: {{length: 0.3 m}}}}\n"
                "states: {{on: {{engine: running}}}}\n",
                size),
            {}, true);
        REQUIRE(out->is_sized);
        return out;
    };
    // 3 mm2 alone in 50 C air carries more than 30 A (docs/method/protection.md asks for no more),
    // 1 mm2 less: that is found, against the fuse alone.
    const auto good = car("3 mm2");
    INFO(good->text());
    CHECK(share_of(*good, "1.2").rating_a == 30.0);
    CHECK(share_of(*good, "1.2").beside_a == 0.0);
    CHECK(feed_of(*good, "1.2").is_unprotected);
    CHECK(feed_of(*good, "1.2").self_limited_a == 0.0);
    CHECK(good->find(Rule::fuse_over_wire) == nullptr);
    CHECK(car("1 mm2")->find(Rule::fuse_over_wire, "1.2") != nullptr);
    // Chosen, it is no thicker than the wire behind the fuse, which the same fuse protects.
    const auto chosen = car("auto");
    CHECK(chosen->size("1.2") == chosen->size("1.3"));
    // The alternator's own lead, with nothing before it, carries what that gives.
    CHECK(feed_of(*good, "1.1").self_limited_a == 60.0);
}

TEST_CASE("a car with its plus on the metal is protected like its mirror image") {
    const auto car = [](const std::string& live, const std::string& home) {
        auto out = check_text("loomwright: 1\n"
                              "devices:\n"
                              "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                              "  F1: {is: fuse, rating: 20 A}\n"
                              "  F2: {is: fuse, rating: 5 A}\n"
                              "  K1: {is: relay, contact: 30 A}\n"
                              "  E1: {is: heater, draws: 8 A at 12 V}\n"
                              "  E2: {is: lamp, draws: 5 W}\n"
                              "  GND1: {is: ground, body: chassis}\n"
                              "circuits:\n"
                              "  one:\n"
                              "    number: 1\n"
                              "    paths:\n"
                              "      - " +
                                  live +
                                  " > F1 > K1 > E1 > GND1\n"
                                  "      - F1.out > K1.86\n"
                                  "      - K1.85 > GND1\n"
                                  "      - " +
                                  live +
                                  " > F2 > E2 > GND1\n"
                                  "      - " +
                                  home + " > GND1\n",
                              {}, true);
        REQUIRE(out->is_sized);
        return out;
    };
    const auto usual = car("G1.+", "G1.-");
    const auto mirrored = car("G1.-", "G1.+");
    for (const Wire& wire : usual->vehicle.wires) {
        CAPTURE(wire.number);
        CHECK(mirrored->size(wire.number) == usual->size(wire.number));
        CHECK(share_of(*mirrored, wire.number.c_str()).rating_a ==
              share_of(*usual, wire.number.c_str()).rating_a);
    }
    CHECK(share_of(*mirrored, "1.2").rating_a == 20.0);
    CHECK(mirrored->fuse("F1").protects.size() == usual->fuse("F1").protects.size());
}

TEST_CASE("batteries in a row with the plus on the metal feed the car by the last minus") {
    // Two of 12 V, the plus of the first on the chassis: all wires lie in one loop with F1 of 30 A.
    // 1 mm2 carries less than 20 A alone in still air of 50 C, 2.5 mm2 a little over 30 A: the
    // first is too thin everywhere, and the mirror image of the car says the same.
    const auto car = [](const char* passed, const char* size) {
        auto out =
            check_text(fmt::format("loomwright: 1\n"
                                   "nominal: 24 V\n"
                                   "devices:\n"
                                   "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                                   "  G2: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                                   "  F1: {{is: fuse, rating: 30 A}}\n"
                                   "  E1: {{is: heater, draws: 5 A at 24 V}}\n"
                                   "  GND1: {{is: ground, body: chassis}}\n"
                                   "circuits:\n"
                                   "  one:\n"
                                   "    number: 1\n"
                                   "    size: {1}\n"
                                   "    paths: [GND1 > G1.{0} > G2.{0} > F1 > E1 > GND1]\n",
                                   passed, size),
                       {}, true);
        REQUIRE(out->is_sized);
        return out;
    };
    for (const char* passed : {"+/-", "-/+"}) {
        CAPTURE(std::string(passed));
        const auto thin = car(passed, "1 mm2");
        const auto chosen = car(passed, "auto");
        for (const char* number : {"1.1", "1.2", "1.3", "1.4", "1.5"}) {
            CAPTURE(std::string(number));
            CHECK(share_of(*thin, number).rating_a == 30.0);
            CHECK(thin->find(Rule::fuse_over_wire, number) != nullptr);
            CHECK(chosen->wire(number).ampacity.amps >= 30.0);
        }
        // From the row's live post to the fuse, and from battery to battery, nothing stands before.
        CHECK(feed_of(*thin, "1.2").is_unprotected);
        CHECK(feed_of(*thin, "1.3").is_unprotected);
        CHECK_FALSE(feed_of(*thin, "1.4").is_unprotected);
    }
}

TEST_CASE("two ways home: each is held against the fuse, for the day the other fails") {
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  F1: {is: fuse, rating: 30 A}\n"
                                "  E1: {is: heater, draws: 20 A at 12 V}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "  GND2: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    paths:\n"
                                "      - G1 > F1 > E1 > GND1\n"
                                "      - E1.- > GND2\n"
                                "      - E1.- > GND1\n"
                                "      - G1.- > GND1\n",
                                {}, false);
    REQUIRE(car->is_sized);
    for (const char* number : {"1.3", "1.4", "1.5"}) {
        CAPTURE(std::string(number));
        CHECK(share_of(*car, number).rating_a == 30.0);
        CHECK(car->wire(number).ampacity.amps >= 30.0);
    }
}

TEST_CASE("the worst state is the one in which most can come in, fuses and sources together") {
    // Standing: F1 and F2 through the switch, 20 + 30 A. Running: F1 and the alternator, 20 + 60 A.
    const auto car =
        check_text("loomwright: 1\n"
                   "devices:\n"
                   "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                   "  G3: {is: alternator, rated: 60 A, regulates: 14.2 V, case: chassis}\n"
                   "  F1: {is: fuse, rating: 20 A}\n"
                   "  F2: {is: fuse, rating: 30 A}\n"
                   "  S1: {is: switch, positions: {shut: [1-2], open: []}}\n"
                   "  ST1: {is: stud}\n"
                   "  E1: {is: heater, draws: 5 A at 13 V}\n"
                   "  GND1: {is: ground, body: chassis}\n"
                   "circuits:\n"
                   "  one:\n"
                   "    number: 1\n"
                   "    size: 25 mm2\n"
                   "    paths:\n"
                   "      - G1 > F1 > ST1\n"
                   "      - G1 > F2 > S1 > ST1\n"
                   "      - G3.B+ > ST1\n"
                   "      - ST1 > E1 > GND1\n"
                   "      - G1.- > GND1\n"
                   "states:\n"
                   "  standing: {engine: stopped, set: {S1: shut}}\n"
                   "  running: {engine: running, set: {S1: open}}\n",
                   {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    CHECK(share_of(*car, "1.7").rating_a == 20.0);
    CHECK(share_of(*car, "1.7").beside_a == 60.0);
}

TEST_CASE("two wires side by side have no ends apart: all feeds are summed") {
    const auto car = check_text(two_batteries("      - F1.out > ST1\n"), {}, false);
    INFO(car->text());
    REQUIRE(car->is_sized);
    CHECK(share_of(*car, "1.2").rating_a == 50.0);
    CHECK(share_of(*car, "1.4").rating_a == 30.0);
}

TEST_CASE(
    "the ground wire of a battery takes home what its own fuses pass, not what another's do") {
    // Two supplies with nothing but the metal in common, and F3 in the ground lead of the second.
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  G2: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  F1: {is: fuse, rating: 5 A}\n"
                                "  F2: {is: fuse, rating: 10 A}\n"
                                "  F3: {is: fuse, rating: 15 A}\n"
                                "  E1: {is: heater, draws: 2 A at 12 V}\n"
                                "  E2: {is: heater, draws: 2 A at 12 V}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    paths:\n"
                                "      - G1 > F1 > E1 > GND1\n"
                                "      - G1.- > GND1\n"
                                "  two:\n"
                                "    number: 2\n"
                                "    paths:\n"
                                "      - G2 > F2 > E2 > F3 > GND1\n"
                                "      - G2.- > GND1\n",
                                {}, false);
    REQUIRE(car->is_sized);
    CHECK(names(*car, feed_of(*car, "1.4").devices) == "F1 ");
    CHECK(names(*car, feed_of(*car, "2.5").devices) == "F2 F3 ");
}

TEST_CASE("a fuse in the way home lies in a row with the load's: the least of the two counts") {
    // 1 mm2 alone in still air of 50 C carries more than 10 A and less than 20 A.
    const auto car = [](const char* home_fuse, const char* more) {
        auto out =
            check_text(fmt::format("loomwright: 1\n"
                                   "devices:\n"
                                   "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                                   "  F1: {{is: fuse, rating: 30 A}}\n"
                                   "  F2: {{is: fuse, rating: {}}}\n"
                                   "  E1: {{is: heater, draws: 5 A at 12 V}}\n"
                                   "  GND1: {{is: ground, body: chassis}}\n"
                                   "  GND2: {{is: ground, body: chassis}}\n"
                                   "circuits:\n"
                                   "  one:\n"
                                   "    number: 1\n"
                                   "    size: 10 mm2\n"
                                   "    paths: [G1 > F1 > E1 > F2 > GND1, G1.- > GND1{}]\n"
                                   "    wires: {{1.3: {{size: 1 mm2, length: 0.3 m}},\n"
                                   "            1.4: {{size: 1 mm2, length: 0.3 m}}}}\n",
                                   home_fuse, more),
                       {}, true);
        REQUIRE(out->is_sized);
        return out;
    };
    const auto small = car("10 A", "");
    const auto large = car("40 A", "");
    for (const char* number : {"1.3", "1.4"}) { // E1.- > F2.in, F2.out > GND1
        CAPTURE(std::string(number));
        CHECK(feed_of(*small, number).is_return);
        CHECK(share_of(*small, number).rating_a == 10.0);
        CHECK(names(*small, share_of(*small, number).devices) == "F2 ");
        CHECK(small->find(Rule::fuse_over_wire, number) == nullptr);
        CHECK(share_of(*large, number).rating_a == 30.0);
        CHECK(names(*large, share_of(*large, number).devices) == "F1 ");
        CHECK(large->find(Rule::fuse_over_wire, number) != nullptr);
    }
    // Those two, and 1.5 G1.- > GND1, which takes home what any fuse lets pass.
    CHECK(small->fuse("F2").protects.size() == 3);
    // Another way home leads round F2, 1.6 E1.- > GND2: no part of it is held against F2.
    const auto round = car("10 A", ", E1.- > GND2");
    CHECK(share_of(*round, "1.6").rating_a == 30.0);
}

TEST_CASE(
    "fuses in the ways home of two loads: the larger of the two rows counts where they meet") {
    // F1 30 A and F2 10 A in a row let 10 A pass, F3 alone 20 A: one fault at a time, 20 A.
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  F1: {is: fuse, rating: 30 A}\n"
                                "  F2: {is: fuse, rating: 10 A}\n"
                                "  F3: {is: fuse, rating: 20 A}\n"
                                "  E1: {is: heater, draws: 5 A at 12 V}\n"
                                "  E2: {is: heater, draws: 5 A at 12 V}\n"
                                "  ST1: {is: stud}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    size: 10 mm2\n"
                                "    paths:\n"
                                "      - G1 > F1 > E1 > F2 > ST1 > GND1\n"
                                "      - G1 > F3 > E2 > ST1\n"
                                "      - G1.- > GND1\n",
                                {}, false);
    REQUIRE(car->is_sized);
    CHECK(share_of(*car, "1.4").rating_a == 10.0); // F2.out > ST1
    CHECK(share_of(*car, "1.5").rating_a == 20.0); // ST1 > GND1
    CHECK(names(*car, share_of(*car, "1.5").devices) == "F3 ");
}

TEST_CASE("a load of the same fuse that comes home past no second one undoes that one's part") {
    // Where both meet, 1.5 ST1 > GND1, what F1 of 30 A lets pass can come by way of E2 alone.
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  F1: {is: fuse, rating: 30 A}\n"
                                "  F2: {is: fuse, rating: 10 A}\n"
                                "  E1: {is: heater, draws: 5 A at 12 V}\n"
                                "  E2: {is: heater, draws: 5 A at 12 V}\n"
                                "  ST1: {is: stud}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    size: 10 mm2\n"
                                "    paths:\n"
                                "      - G1 > F1 > E1 > F2 > ST1 > GND1\n"
                                "      - F1.out > E2 > ST1\n"
                                "      - G1.- > GND1\n",
                                {}, false);
    REQUIRE(car->is_sized);
    CHECK(share_of(*car, "1.3").rating_a == 10.0); // E1.- > F2.in
    CHECK(share_of(*car, "1.5").rating_a == 30.0);
    CHECK(names(*car, share_of(*car, "1.5").devices) == "F1 ");
}

TEST_CASE("a fuse in the minus of the battery: the leads on both sides of it are held against it") {
    // What the bare stretch at the plus lets into the metal passes F2 alone, 40 A.
    const auto car = check_text("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                                "  F1: {is: fuse, rating: 30 A}\n"
                                "  F2: {is: fuse, rating: 40 A}\n"
                                "  E1: {is: heater, draws: 5 A at 12 V}\n"
                                "  GND1: {is: ground, body: chassis}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    size: 10 mm2\n"
                                "    paths: [G1 > F1 > E1 > GND1, G1.- > F2 > GND1]\n",
                                {}, false);
    REQUIRE(car->is_sized);
    CHECK(share_of(*car, "1.3").rating_a == 30.0); // E1.- > GND1
    for (const char* number : {"1.4", "1.5"}) {    // G1.- > F2.in, F2.out > GND1
        CAPTURE(std::string(number));
        CHECK(feed_of(*car, number).is_return);
        CHECK(share_of(*car, number).rating_a == 40.0);
    }
}
