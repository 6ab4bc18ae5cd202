// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The rules on small cars, with the figures worked out by hand beside each check.
#include "small_cars.hpp"

#include "solve/heat.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

using namespace loomwright;

namespace {

const Figure& figure(const Finding& finding, FigureRole role) {
    return *std::ranges::find(finding.figures, role, &Figure::role);
}

/// Battery, fuse, switch, one load.
std::string switched(std::string_view load, std::string_view contact, std::string_view head = {}) {
    return fmt::format(
        "loomwright: 1\n"
        "{}"
        "devices:\n"
        "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
        "  F1: {{is: fuse, rating: 20 A}}\n"
        "  S1: {{is: switch, positions: {{rest: [1-2]}}, contact: {}}}\n"
        "  E1: {{{}}}\n"
        "  GND1: {{is: ground, body: chassis}}\n"
        "circuits:\n"
        "  one:\n"
        "    number: 1\n"
        "    size: 4 mm2\n"
        "    paths: [G1 > F1 > S1 > E1 > GND1, G1.- > GND1]\n"
        "    wires: {{1.1: {{length: 0.1 m}}, 1.2: {{length: 0.2 m}},\n"
        "            1.3: {{length: 0.2 m}}, 1.4: {{length: 0.2 m}}, 1.5: {{length: 0.2 m}}}}\n",
        head, contact, load);
}

} // namespace

TEST_CASE("switches: the factors of FAA AC 43.13-1B table 11-4") {
    // Table 11-4: at 12 V lamp 5, inductive 2, resistive 1, motor 2; at 28 V 8, 4, 2, 3. A 2 A lamp
    // needs a 10 A switch at 12 V and 16 A at 28 V (arithmetic on the table). Demands are at the
    // voltage they meet here, so that the current is near 2 A; the rating asked is the factor times
    // the current.
    struct Case {
        const char* load;
        double factor_12;
        double factor_24;
    };
    for (const Case& row : {Case{"is: lamp, draws: 2 A at 12.6 V", 5.0, 8.0},
                            Case{"is: coil, draws: 2 A at 12.6 V", 2.0, 4.0},
                            Case{"is: heater, draws: 2 A at 12.6 V", 1.0, 2.0},
                            Case{"is: motor, draws: 2 A at 12.6 V", 2.0, 3.0}}) {
        CAPTURE(std::string(row.load));
        const auto low = checked(switched(row.load, "1 A"));
        const Finding* finding = low->find(Rule::switch_contact, "S1");
        REQUIRE(finding != nullptr);
        CHECK(finding->severity == Severity::fault); // 2 A is over the plain rating too
        CHECK(figure(*finding, FigureRole::observed).value == doctest::Approx(2.0).epsilon(0.01));
        CHECK(figure(*finding, FigureRole::input).value ==
              doctest::Approx(2.0 * row.factor_12).epsilon(0.01));
        // Just under and just over the rating that the table asks.
        CHECK(checked(switched(row.load, fmt::format("{} A", 2.05 * row.factor_12)))
                  ->find(Rule::switch_contact) == nullptr);
        const auto high = checked(switched(row.load, "1 A", "nominal: 24 V\n"));
        const Finding* at_24 = high->find(Rule::switch_contact, "S1");
        REQUIRE(at_24 != nullptr);
        const double amps = figure(*at_24, FigureRole::observed).value;
        CHECK(figure(*at_24, FigureRole::input).value ==
              doctest::Approx(amps * row.factor_24).epsilon(0.001));
    }
    const auto lamp = checked(switched("is: lamp, draws: 2 A at 12.6 V", "5 A"));
    REQUIRE(lamp->find(Rule::switch_contact) != nullptr);
    CHECK(lamp->find(Rule::switch_contact)->severity == Severity::caution);
}

TEST_CASE("the drop of a path is what its load does not get, contacts and return included") {
    const auto car = checked(switched("is: heater, draws: 10 A at 12.6 V", "30 A"));
    REQUIRE(car->sizing.drops.size() == 1);
    const LoadDrop& drop = car->sizing.drops.front();
    CHECK(drop.drop_v == doctest::Approx(drop.supply_v - drop.load_v).epsilon(1e-9));
    double sum = 0.0;
    bool has_contact = false;
    bool has_fuse = false;
    bool has_bond = false;
    for (const auto* parts : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *parts) {
            const BranchKind kind =
                car->network.branches[static_cast<std::size_t>(part.branch)].kind;
            has_contact = has_contact || kind == BranchKind::contact;
            has_fuse = has_fuse || kind == BranchKind::protection;
            has_bond = has_bond || kind == BranchKind::bond;
            CHECK(part.volts > 0.0);
            sum += part.volts;
        }
    }
    CHECK(sum == doctest::Approx(drop.drop_v).epsilon(1e-12));
    CHECK(has_contact);
    CHECK(has_fuse);
    CHECK_FALSE(has_bond); // both ends are at one stud: the metal of the car is not on the way
}

TEST_CASE("drop limits: the policy over the table, and the table by the nominal voltage") {
    const auto limit = [](const char* head, const char* load) {
        const auto car = checked(switched(load, "30 A", head));
        REQUIRE(car->sizing.drops.size() == 1);
        return car->sizing.drops.front().limit_v;
    };
    const double at_12 = limit("", "is: heater, draws: 5 A at 12.6 V");
    CHECK(at_12 == doctest::Approx(0.6)); // 5 % of 12 V, table drop-limits, class other
    CHECK(limit("nominal: 6 V\n", "is: heater, draws: 5 A at 6.3 V") ==
          doctest::Approx(0.5 * at_12));
    // 24 V has a figure of its own in the table.
    CHECK(limit("nominal: 24 V\n", "is: heater, draws: 5 A at 25 V") == doctest::Approx(1.2));
    CHECK(limit("policy: {drop: {other: 0.25 V}}\n", "is: heater, draws: 5 A at 12.6 V") ==
          doctest::Approx(0.25));
}

TEST_CASE("fuse-over-wire: the figures, the limit's source, and a remedy with both figures") {
    const auto car =
        checked("loomwright: 1\n"
                "devices:\n"
                "  G1: {is: battery, capacity: 60 Ah}\n"
                "  F1: {is: fuse, rating: 30 A}\n"
                "  E1: {is: motor, draws: 3 A at 12.6 V}\n"
                "  GND1: {is: ground, body: chassis}\n"
                "circuits:\n"
                "  one:\n"
                "    number: 1\n"
                "    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]\n"
                "    wires: {1.1: {length: 0.1 m}, 1.2: {size: 1 mm2, length: 1 m}}\n");
    const Finding* finding = car->find(Rule::fuse_over_wire, "1.2");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::danger);
    CHECK(figure(*finding, FigureRole::observed).value == 30.0);
    CHECK(figure(*finding, FigureRole::limit).value ==
          doctest::Approx(car->wire("1.2").ampacity.amps));
    CHECK(finding->margin().value() < 0.0);
    CHECK(finding->source.find("IEC 60364-4-43") != std::string::npos);
    REQUIRE(finding->related.size() == 1);
    CHECK(finding->related.front().where.line == 4);
    // 1 mm2 by hand: 17.241/18.5 = 0.932 mm2 of sure copper, k 91.80: 7320 A2s >= 20 In^2 up
    // to 19.1 A; and In
    // <= Iz = 18.07 A in 50 C air: 15 A is the largest standard rating.
    CHECK(finding->remedy.find("F1 at 15 A or less") != std::string::npos);
    CHECK(finding->remedy.find("mm2 or more") != std::string::npos);
    // The way back is not behind the fuse.
    CHECK(car->find(Rule::fuse_over_wire, "1.3") == nullptr);
}

TEST_CASE("a wire fed through two fuses at once stands against both together") {
    const auto car = [](const char* size) {
        return checked(
            fmt::format("loomwright: 1\n"
                        "devices:\n"
                        "  G1: {{is: battery, capacity: 60 Ah}}\n"
                        "  F1: {{is: fuse, rating: 15 A}}\n"
                        "  F2: {{is: fuse, rating: 15 A}}\n"
                        "  SP1: {{is: splice}}\n"
                        "  E1: {{is: motor, draws: 3 A at 12.6 V}}\n"
                        "  GND1: {{is: ground, body: chassis}}\n"
                        "circuits:\n"
                        "  one:\n"
                        "    number: 1\n"
                        "    size: 6 mm2\n"
                        "    paths: [G1 > F1 > SP1, G1 > F2 > SP1, SP1 > E1 > GND1, G1.- > GND1]\n"
                        "    wires: {{1.1: {{length: 0.1 m}}, 1.3: {{length: 0.1 m}},\n"
                        "            1.5: {{size: {}, length: 1 m}}}}\n",
                        size));
    };
    const auto thin = car("1.5 mm2");
    CHECK(thin->sizing.feeds[thin->vehicle.find_wire("1.5").index()].rating_a == 30.0);
    REQUIRE(thin->find(Rule::fuse_over_wire, "1.5") != nullptr);
    CHECK(thin->find(Rule::fuse_over_wire, "1.5")->message.find("F1 and F2") != std::string::npos);
    CHECK(car("4 mm2")->find(Rule::fuse_over_wire) == nullptr);
}

TEST_CASE("unfused: by what hangs on it, by its length, by its cover") {
    const auto car = [](const char* run, const char* main_size = "25 mm2") {
        return checked(fmt::format(
            "loomwright: 1\n"
            "points: {{tray: {{}}, starter: {{}}, panel: {{}}}}\n"
            "runs:\n"
            "  main: {{from: tray, to: starter, length: 1 m}}\n"
            "  feed: {{from: starter, to: panel, {}}}\n"
            "devices:\n"
            "  G1: {{is: battery, at: tray, capacity: 60 Ah, cranking-amps: 600 A}}\n"
            "  M1: {{is: starter, at: starter, case: chassis, draws: 100 A at 10 V}}\n"
            "  F1: {{is: fuse, at: panel, rating: 10 A}}\n"
            "  E1: {{is: lamp, at: panel, draws: 10 W, case: chassis}}\n"
            "  GND1: {{is: ground, at: tray, body: chassis}}\n"
            "policy: {{take-out: 0 mm, service-loop: 0 mm}}\n"
            "circuits:\n"
            "  one:\n"
            "    number: 1\n"
            "    class: starter\n"
            "    paths: [G1 > M1, M1.30 > F1 > E1, G1.- > GND1]\n"
            "    wires: {{1.1: {{size: {}}}, 1.2: {{size: 6 mm2}}, 1.4: {{size: 25 mm2}}}}\n",
            run, main_size));
    };
    // The main cable of the starter is noted.
    const auto fine = car("length: 0.15 m");
    const Finding* noted = fine->find(Rule::fuse_missing, "M1");
    REQUIRE(noted != nullptr);
    CHECK(noted->severity == Severity::note);
    CHECK(fine->find(Rule::fuse_missing, "1.2") == nullptr);
    // 33 CFR 183.455: 7 in (0.178 m) bare, 40 in (1.016 m) covered, counted from the starter's
    // stud.
    const auto bare = car("length: 0.3 m");
    REQUIRE(bare->find(Rule::unfused_length, "1.2") != nullptr);
    CHECK(bare->find(Rule::unfused_length, "1.2")->severity == Severity::danger);
    CHECK(figure(*bare->find(Rule::unfused_length, "1.2"), FigureRole::limit).value ==
          doctest::Approx(0.1778));
    CHECK(car("length: 0.9 m, cover: conduit")->find(Rule::unfused_length, "1.2") == nullptr);
    CHECK(car("length: 1.1 m, cover: conduit")->find(Rule::unfused_length, "1.2") != nullptr);
}

TEST_CASE("unfused wire to a load is a danger however short it is") {
    const auto car = checked("loomwright: 1\n"
                             "devices:\n"
                             "  G1: {is: battery, capacity: 60 Ah}\n"
                             "  E1: {is: lamp, draws: 5 W, case: chassis}\n"
                             "  GND1: {is: ground, body: chassis}\n"
                             "circuits:\n"
                             "  one:\n"
                             "    number: 1\n"
                             "    paths: [G1 > E1, G1.- > GND1]\n"
                             "    wires: {1.1: {size: 1 mm2, length: 0.05 m}}\n");
    const Finding* finding = car->find(Rule::fuse_missing, "1.1");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::danger);
    // The way back of the battery is fed by nothing.
    CHECK(car->find(Rule::fuse_missing, "1.2") == nullptr);
}

TEST_CASE("an alternator limits itself; the battery beyond a fuse does not reach past it") {
    const auto car = [](const char* size) {
        return checked(fmt::format(
            "loomwright: 1\n"
            "devices:\n"
            "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
            "  G2: {{is: alternator, case: chassis, rated: 55 A, regulates: 14.2 V}}\n"
            "  F1: {{is: fuse, family: maxi-blade, rating: 60 A}}\n"
            "  GND1: {{is: ground, body: chassis}}\n"
            "circuits:\n"
            "  one:\n"
            "    number: 1\n"
            "    class: charging\n"
            "    paths: [G1 > F1 > G2.B+, G1.- > GND1]\n"
            "    wires: {{1.1: {{size: 16 mm2, length: 0.1 m}}, 1.2: {{size: {}, length: 1 m}},\n"
            "            1.3: {{size: 16 mm2}}}}\n"
            "states: {{run: {{engine: running}}}}\n",
            size));
    };
    const auto good = car("16 mm2");
    CHECK(good->sizing.feeds[1].self_limited_a == doctest::Approx(55.0));
    CHECK_FALSE(good->sizing.feeds[1].is_unprotected);
    CHECK(good->find(Rule::fuse_over_wire) == nullptr);
    CHECK(good->find(Rule::fuse_missing, "1.2") == nullptr);
    CHECK(car("2.5 mm2")->find(Rule::fuse_over_wire, "1.2") != nullptr);
}

TEST_CASE("no-return: a lost common ground is found for each lamp of the cluster") {
    const std::string with =
        "loomwright: 1\n"
        "devices:\n"
        "  G1: {is: battery, capacity: 60 Ah}\n"
        "  F1: {is: fuse, rating: 5 A}\n"
        "  F2: {is: fuse, rating: 5 A}\n"
        "  S1: {is: switch, contact: 20 A, positions: {rest: [], brake: [1-2]}}\n"
        "  E1: {is: unit, terminals: [58, 54, 31], inside: {\n"
        "        tail: {is: lamp, from: 58, to: 31, draws: 5 W},\n"
        "        stop: {is: lamp, from: 54, to: 31, draws: 21 W}}}\n"
        "  GND1: {is: ground, body: chassis}\n"
        "circuits:\n"
        "  one:\n"
        "    number: 1\n"
        "    paths: [G1 > F1 > E1.58, G1 > F2 > S1 > E1.54, E1.31 > GND1, G1.- > GND1]\n"
        "states: {night: {}, brake: {set: {S1: brake}}}\n";
    CHECK(checked(with)->find(Rule::no_return) == nullptr);
    std::string without = with;
    without.replace(without.find("E1.31 > GND1, "), 14, "");
    const auto lost = checked(without);
    CHECK(lost->find(Rule::no_return, "E1/tail") != nullptr);
    CHECK(lost->find(Rule::no_return, "E1/stop") != nullptr);
}

TEST_CASE(
    "no-return: the way back to batteries in a row leads in at the one and out at the other") {
    const auto car = checked("loomwright: 1\n"
                             "nominal: 24 V\n"
                             "devices:\n"
                             "  G1: {is: battery, capacity: 170 Ah}\n"
                             "  G2: {is: battery, capacity: 170 Ah}\n"
                             "  F1: {is: fuse, rating: 10 A}\n"
                             "  E1: {is: lamp, draws: 70 W at 27 V}\n"
                             "  GND1: {is: ground, body: chassis}\n"
                             "circuits:\n"
                             "  one:\n"
                             "    number: 1\n"
                             "    paths: [G1 > G2.-, G2 > F1 > E1 > GND1, G1.- > GND1]\n"
                             "states: {on: {expect: {on: [E1]}}}\n");
    CHECK(car->find(Rule::no_return) == nullptr);
    CHECK(car->find(Rule::state_not_met) == nullptr);
}

TEST_CASE("no-return: what a controller or a switch grounds has its way back") {
    const auto car = checked(
        "loomwright: 1\n"
        "devices:\n"
        "  G1: {is: battery, capacity: 60 Ah}\n"
        "  F1: {is: fuse, rating: 5 A}\n"
        "  S1: {is: switch, contact: 5 A, positions: {rest: [], pressed: [1-31]}}\n"
        "  K1: {is: relay, contact: 20 A, coil: 85 ohm}\n"
        "  P1: {is: coil, draws: 2 A}\n"
        "  A1: {is: controller, draws: 1 A, terminals: {15: feed, 31: ground, out: low-side}}\n"
        "  GND1: {is: ground, body: chassis}\n"
        "circuits:\n"
        "  one:\n"
        "    number: 1\n"
        "    paths: [G1 > F1 > P1 > S1.1, S1.31 > GND1, F1.out > K1.86, K1.85 > A1.out,\n"
        "            F1.out > A1.15, A1.31 > GND1, G1.- > GND1]\n");
    CHECK(car->find(Rule::no_return) == nullptr);
}

TEST_CASE("a relay in hot air, and into cold lamps") {
    const auto car = [](const char* air, const char* load) {
        return checked(fmt::format(
            "loomwright: 1\n"
            "zones: {{bay: {{air: {}}}}}\n"
            "points: {{here: {{zone: bay}}}}\n"
            "devices:\n"
            "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
            "  F1: {{is: fuse, family: maxi-blade, rating: 60 A}}\n"
            "  F2: {{is: fuse, rating: 5 A}}\n"
            "  K1: {{is: relay, at: here, contact: 40 A, coil: 85 ohm}}\n"
            "  E1: {{{}}}\n"
            "  GND1: {{is: ground, body: chassis}}\n"
            "circuits:\n"
            "  one:\n"
            "    number: 1\n"
            "    insulation: thin-wall xlpe\n"
            "    size: 16 mm2\n"
            "    paths: [G1 > F1 > K1 > E1 > GND1, G1 > F2 > K1.86, K1.85 > GND1, G1.- > GND1]\n",
            air, load));
    };
    // Mini relay data: 40 A to 85 C, 17 A at 125 C; at 105 C half-way, 40 (1 - 0.0144 x 20) = 28.5
    // A.
    CHECK(car("85 C", "is: motor, draws: 30 A at 12 V")->find(Rule::relay_contact) == nullptr);
    const auto hot = car("105 C", "is: motor, draws: 30 A at 12 V");
    const Finding* finding = hot->find(Rule::relay_contact, "K1");
    REQUIRE(finding != nullptr);
    CHECK(figure(*finding, FigureRole::limit).value == doctest::Approx(28.5).epsilon(0.003));
    // Lamps: 12 times cold (table) against 3 times the rating, 120 A: more than 10 A of lamps.
    CHECK(car("50 C", "is: lamp, draws: 9 A at 12.5 V")->find(Rule::relay_contact) == nullptr);
    const auto cold = car("50 C", "is: lamp, draws: 12 A at 12.5 V");
    const Finding* lamps = cold->find(Rule::relay_contact, "K1");
    REQUIRE(lamps != nullptr);
    CHECK(lamps->severity == Severity::caution);
}

TEST_CASE("state-not-met is told once for a device, with all its states") {
    const auto car =
        checked("loomwright: 1\n"
                "devices:\n"
                "  G1: {is: battery, capacity: 60 Ah}\n"
                "  F1: {is: fuse, rating: 5 A}\n"
                "  S1: {is: switch, contact: 10 A, positions: {rest: [], closed: [1-2]}}\n"
                "  E1: {is: lamp, draws: 5 W, case: chassis}\n"
                "  GND1: {is: ground, body: chassis}\n"
                "circuits: {one: {number: 1, paths: [G1 > F1 > S1 > E1, G1.- > GND1]}}\n"
                "states:\n"
                "  dusk: {expect: {on: [E1]}}\n"
                "  night: {expect: {on: [E1]}}\n"
                "  day: {set: {S1: closed}, expect: {off: [E1]}}\n"
                "  lit: {set: {S1: closed}, expect: {on: [E1]}}\n");
    std::vector<const Finding*> found;
    for (const Finding& finding : car->findings.all()) {
        if (finding.rule == Rule::state_not_met) {
            found.push_back(&finding);
        }
    }
    REQUIRE(found.size() == 2);
    const auto says = [&](const char* words) {
        return std::ranges::any_of(found, [&](const Finding* finding) {
            return finding->message.find(words) != std::string::npos;
        });
    };
    CHECK(says("is off in dusk and night, where it should be on"));
    CHECK(says("is on in day, where it should be off"));
}

TEST_CASE("crank-voltage: a memory feed does not keep a controller awake whose keyed feed dies") {
    const auto car = [](const char* start) {
        return checked(fmt::format(
            "loomwright: 1\n"
            "devices:\n"
            "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
            "  F1: {{is: fuse, rating: 5 A}}\n"
            "  F2: {{is: fuse, rating: 10 A}}\n"
            "  S1: {{is: switch, contact: 20 A, positions: {{off: [], run: [30-15], start: "
            "[{}]}}}}\n"
            "  A1: {{is: controller, draws: 2 A at 13.5 V, sleeps: 5 mA, needs: 7 V,\n"
            "       terminals: {{memory: feed, key: feed, ground: ground}}}}\n"
            "  GND1: {{is: ground, body: chassis}}\n"
            "circuits:\n"
            "  one:\n"
            "    number: 1\n"
            "    paths: [G1 > F1 > A1.memory, G1 > F2 > S1.30/15 > A1.key, A1.ground > GND1,\n"
            "            G1.- > GND1]\n"
            "states:\n"
            "  run: {{engine: running, set: {{S1: run}}}}\n"
            "  cranking: {{engine: cranking, set: {{S1: start}}}}\n",
            start));
    };
    const auto dead = car("");
    const Finding* finding = dead->find(Rule::crank_voltage, "A1");
    REQUIRE(finding != nullptr);
    CHECK(finding->message.find("no live feed in cranking") != std::string::npos);
    CHECK(car("30-15")->find(Rule::crank_voltage, "A1") == nullptr);
}

TEST_CASE("waivers keep the finding, with reason and name, and what they do not meet is told") {
    const std::string car = "loomwright: 1\n"
                            "devices:\n"
                            "  G1: {is: battery, capacity: 60 Ah}\n"
                            "  F1: {is: fuse, rating: 2 A}\n"
                            "  E1: {is: lamp, draws: 5 W}\n"
                            "  GND1: {is: ground, body: chassis}\n"
                            "circuits:\n"
                            "  one:\n"
                            "    number: 1\n"
                            "    size: 0.35 mm2\n"
                            "    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]\n"
                            "waivers:\n";
    const auto count = [](const Checked& it, bool waived) {
        return std::ranges::count_if(it.findings.all(), [&](const Finding& finding) {
            return finding.rule == Rule::least_size && finding.waived.empty() != waived;
        });
    };
    const auto some =
        checked(car + "  - {rule: least-size, on: [1.1, 1.2, GND1], because: old, by: me}\n");
    CHECK(count(*some, true) == 2);
    CHECK(count(*some, false) == 2);
    CHECK(some->find(Rule::least_size, "1.1")->waived == "old (by me)");
    REQUIRE(some->find(Rule::unused_waiver) != nullptr);
    CHECK(some->find(Rule::unused_waiver)->message.find("GND1") != std::string::npos);
    const auto all = checked(car + "  - {rule: least-size, because: old, by: me}\n");
    CHECK(count(*all, true) == 4);
    CHECK(all->find(Rule::unused_waiver) == nullptr);
    // A waived finding stands after those that are not.
    const auto& list = some->findings.all();
    const auto first_waived =
        std::ranges::find_if(list, [](const Finding& f) { return !f.waived.empty(); });
    CHECK(
        std::all_of(first_waived, list.end(), [](const Finding& f) { return !f.waived.empty(); }));
}

TEST_CASE("the Marlow as found: every planted fault is found, and nothing twice") {
    const std::string folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/examples/marlow-as-found";
    const std::string text = text_of(folder + "/marlow-as-found.yaml");
    const auto car = check_text(text, folder);
    INFO(car->text());
    REQUIRE(car->is_sized);
    // "# planted: RULE SUBJECT - what was done"
    int planted = 0;
    for (std::size_t at = text.find("# planted: "); at != std::string::npos;
         at = text.find("# planted: ", at + 1)) {
        std::istringstream words(text.substr(at + 11, 200));
        std::string rule;
        std::string subject;
        words >> rule >> subject;
        CAPTURE(rule);
        CAPTURE(subject);
        const RuleInfo* info = find_rule(rule);
        REQUIRE(info != nullptr);
        CHECK(car->find(info->rule, subject) != nullptr);
        ++planted;
    }
    CHECK(planted >= 12);
    std::set<std::string> seen;
    for (const Finding& finding : car->findings.all()) {
        const std::string key =
            fmt::format("{} {} {}", rule_info(finding.rule).id, finding.subject,
                        // A device may lose against each of several above it, and be woken by
                        // several ways.
                        finding.rule == Rule::state_not_met || finding.rule == Rule::selectivity ||
                                finding.rule == Rule::sneak_path
                            ? finding.message
                            : std::string());
        CAPTURE(key);
        CHECK(seen.insert(key).second);
    }
}

TEST_CASE("a wire of a low class among hot ones is cooked by them, and says so once") {
    // Two heaters of 30 A in 4 mm2 of a 125 C class heat the run; the wire of the lamp is of 100 C.
    const auto car =
        check_text("loomwright: 1\n"
                   "zones: {bay: {air: 95 C}}\n"
                   "points: {a: {zone: bay}, b: {zone: bay}}\n"
                   "runs: {bay-run: {from: a, to: b, length: 1 m}}\n"
                   "devices:\n"
                   "  G1: {is: battery, at: a, capacity: 60 Ah, cranking-amps: 600 A}\n"
                   "  F1: {is: fuse, at: a, rating: 40 A}\n"
                   "  F2: {is: fuse, at: a, rating: 5 A}\n"
                   "  E1: {is: heater, at: b, draws: 30 A at 12 V}\n"
                   "  E2: {is: heater, at: b, draws: 30 A at 12 V}\n"
                   "  E3: {is: lamp, at: b, draws: 21 W at 12 V}\n"
                   "  GND1: {is: ground, at: b, body: chassis}\n"
                   "  GND2: {is: ground, at: a, body: chassis}\n"
                   "circuits:\n"
                   "  hot:\n"
                   "    number: 1\n"
                   "    insulation: thin-wall xlpe\n"
                   "    size: 4 mm2\n"
                   "    paths: [G1 > F1 > E1 > GND1, F1.out > E2 > GND1, G1.- > GND2]\n"
                   "  lamp:\n"
                   "    number: 2\n"
                   "    insulation: thin-wall pvc\n"
                   "    paths: [G1 > F2 > E3 > GND1]\n",
                   {}, true);
    INFO(car->text());
    const Finding* finding = car->find(Rule::insulation_heat, "2.2");
    REQUIRE(finding != nullptr);
    CHECK(car->find(Rule::wire_ampacity, "2.2") == nullptr);
    CHECK(car->find(Rule::fuse_over_wire, "2.2") == nullptr);
    CHECK(car->find(Rule::size_not_found, "2.2") == nullptr);
    CHECK(car->size("2.2") == "0.5 mm2");
    // The balance, put together from the figures shown: what leaves the skin at T - A P is P,
    // A = (1 + x ln x / (1 - x)) / (4 pi k) of the lamp's wire, x = (its diameter / the
    // bundle's)^2.
    const auto figure = [&](std::string_view label) {
        return std::ranges::find(finding->figures, label, &Figure::label)->value;
    };
    const double heat = figure("heat of the bundle");
    const double rest_c = figure("middle of the bundle");
    CHECK(rest_c > 100.0);
    const Insulation& pvc = *car->catalogue.find_insulation("thin-wall pvc");
    const Conductor& thin = *car->catalogue.find_conductor({SizeStandard::iso, "0.5"});
    const double ratio =
        car->catalogue.outside_diameter(thin, pvc).value() / figure("bundle diameter");
    const double x = ratio * ratio;
    const double skin_c = rest_c - heat * (1.0 + x * std::log(x) / (1.0 - x)) /
                                       (4.0 * 3.141592653589793 * pvc.conductivity_w_per_m_k);
    // Of the heat shown the lamp's own wire has its small part, under 2 %.
    CHECK(solve::surface_heat_w_per_m(figure("bundle diameter"), skin_c, 95.0, 0.9) ==
          doctest::Approx(heat).epsilon(0.02));
}

TEST_CASE("a load that works in no state is told of: nothing was sized for it") {
    const std::string car = "loomwright: 1\n"
                            "devices:\n"
                            "  G1: {is: battery, capacity: 60 Ah}\n"
                            "  F1: {is: fuse, rating: auto}\n"
                            "  S1: {is: switch, positions: {rest: [], press: [1-2]}}\n"
                            "  E1: {is: lamp, draws: 55 W at 13.2 V}\n"
                            "  GND1: {is: ground, body: chassis}\n"
                            "circuits:\n"
                            "  a: {number: 1, paths: [G1 > F1 > S1 > E1 > GND1, G1.- > GND1]}\n"
                            "states:\n"
                            "  off: {set: {S1: rest}}\n";
    const auto idle = check_text(car, {}, true);
    const Finding* finding = idle->find(Rule::unused_part, "E1");
    REQUIRE(finding != nullptr);
    CHECK(finding->message.find("4.167 A") != std::string::npos); // 55 W / 13.2 V
    const auto lit = check_text(car + "  lit: {set: {S1: press}}\n", {}, true);
    CHECK(lit->find(Rule::unused_part, "E1") == nullptr);
    CHECK(lit->fuse("F1").rating_a > idle->fuse("F1").rating_a);
}

TEST_CASE("a missing strap: the starter's current through a control cable is named with its way") {
    const std::string car = "loomwright: 1\n"
                            "devices:\n"
                            "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                            "  M1: {is: starter, draws: 180 A at 10 V, case: engine}\n"
                            "  S1: {is: switch, positions: {off: [], start: [30-50]}}\n"
                            "  F1: {is: fuse, rating: 30 A}\n"
                            "  W9: {is: strap, between: [engine, chassis], resistance: 15 mohm, "
                            "stray: yes, title: Throttle cable}\n"
                            "  GND1: {is: ground, body: chassis}\n";
    const std::string rest =
        "circuits:\n"
        "  a: {number: 1, class: starter, paths: [G1 > M1.30, G1 > F1 > S1.30, "
        "S1.50 > M1.50, G1.- > GND1]}\n"
        "states:\n"
        "  cranking: {engine: cranking, set: {S1: start}}\n";
    const auto poor = check_text(car + rest, {}, true);
    const Finding* finding = poor->find(Rule::sneak_path, "W9");
    REQUIRE(finding != nullptr);
    for (const char* word : {"Throttle cable", "cranking", "from engine to chassis"}) {
        CHECK(finding->message.find(word) != std::string::npos);
    }
    // All of the starter's current and its solenoid's, by Kirchhoff's current law.
    CHECK(finding->figures.front().value > 180.0);
    const std::string strap =
        "  W1: {is: strap, between: [engine, chassis], resistance: 0.02 mohm}\n";
    const auto good = check_text(car + strap + rest, {}, true);
    CHECK(good->find(Rule::sneak_path, "W9") == nullptr); // 180 A x 0.02 / 15: under 1 A
}

TEST_CASE("what should be off gets current through another load: the way is named") {
    // E2 hangs between the battery and the feed of E1, behind S1: with S1 open two equal lamps
    // stand in a row across 12.6 V, 6.3 V each, under half of what they are rated for.
    const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}
  F1: {is: fuse, rating: 10 A}
  F2: {is: fuse, rating: 10 A}
  S1: {is: switch, positions: {off: [], on: [1-2]}}
  E1: {is: lamp, draws: 21 W at 13.5 V}
  E2: {is: lamp, draws: 21 W at 13.5 V}
  GND1: {is: ground, body: chassis}
circuits:
  all:
    number: 1
    size: 2.5 mm2
    paths:
      - G1 > F1 > S1 > E1 > GND1
      - G1 > F2 > E2 > E1.+
      - G1.- > GND1
states:
  dark: {set: {S1: off}, expect: {off: [E1]}}
)");
    INFO(car->text());
    const Finding* finding = car->find(Rule::sneak_path, "E1");
    REQUIRE(finding != nullptr);
    CHECK(finding->severity == Severity::caution);
    CHECK(finding->message.find("gets current in dark") != std::string::npos);
    const std::size_t other = finding->message.find(" > E2 > ");
    REQUIRE(other != std::string::npos);
    CHECK(finding->message.find(" > E1 > ", other) != std::string::npos);
    CHECK(finding->message.find("F2") < other);
    REQUIRE_FALSE(finding->figures.empty());
    CHECK(finding->figures.front().value == doctest::Approx(6.3).epsilon(0.01));
    CHECK(car->find(Rule::state_not_met) == nullptr);
}

TEST_CASE("the way home to a motor that is turned has its drop whichever way its wire is written") {
    // Battery, heater and a motor that the wind turns, in a row: by Kirchhoff what wires and fuse
    // take is what the two sources have over the heater.
    for (const char* home : {"E1.- > M1.-", "M1.- > E1.-"}) {
        CAPTURE(std::string(home));
        const auto car =
            checked(fmt::format("loomwright: 1\n"
                                "devices:\n"
                                "  G1: {{is: battery, capacity: 60 Ah, voltage: 12.6 V}}\n"
                                "  M1: {{is: motor, draws: 5 A at 12 V}}\n"
                                "  E1: {{is: heater, draws: 5 A at 13 V}}\n"
                                "  F1: {{is: fuse, rating: 15 A}}\n"
                                "  GND1: {{is: ground, body: chassis}}\n"
                                "circuits:\n"
                                "  one:\n"
                                "    number: 1\n"
                                "    size: 4 mm2\n"
                                "    paths: [G1 > F1 > E1, {}, M1.+ > GND1, G1.- > "
                                "GND1]\n"
                                "    wires: {{1.3: {{size: 1 mm2, length: 2 m}}}}\n"
                                "states: {{run: {{turning: {{M1: 30 %}}}}}}\n",
                                home));
        const auto drop =
            std::ranges::find(car->sizing.drops, car->vehicle.find_device("E1"), &LoadDrop::load);
        REQUIRE(drop != car->sizing.drops.end());
        REQUIRE(drop->back.size() == 1);
        CHECK(drop->back.front().volts > 0.0);
        CHECK(drop->drop_v == doctest::Approx(drop->supply_v - drop->load_v).epsilon(1e-9));
    }
}
