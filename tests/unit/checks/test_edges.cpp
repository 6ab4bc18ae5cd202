// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Rules at their edges: a car just over what the rule's page allows and one just under it, or the
// one case that the page sets apart.

#include "checks/checked.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

/// A relay's coil of 85 ohm that a controller switches, with a resistor beside it.
std::unique_ptr<Checked> coil_beside(int ohm) {
    return check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah}}
  F1: {{is: fuse, rating: 10 A}}
  K1: {{is: relay, contact: 30 A, coil: 85 ohm, suppression: none}}
  R1: {{is: resistor, resistance: {} ohm}}
  E1: {{is: lamp, draws: 21 W}}
  A1: {{is: controller, draws: 1 A, terminals: {{15: feed, 31: ground, lamp: low-side}}}}
  GND1: {{is: ground, body: chassis}}
circuits:
  lamp:
    number: 1
    paths:
      - G1 > F1 > K1 > E1 > GND1
      - F1.out > K1.86
      - K1.85 > A1.lamp
      - K1.86 > R1.1
      - R1.2 > K1.85
      - F1.out > A1.15
      - A1.31 > GND1
      - G1.- > GND1
states:
  lit: {{engine: running, set: {{A1.lamp: on}}}}
)",
                                  ohm));
}

} // namespace

TEST_CASE(
    "coil-suppression: a resistor takes the voltage off up to ten times the coil's resistance") {
    // docs/rules/coil-suppression.md: "a resistor of at most ten times its own resistance".
    CHECK(coil_beside(9 * 85)->find(Rule::coil_suppression, "K1") == nullptr);
    CHECK(coil_beside(14 * 85)->find(Rule::coil_suppression, "K1") != nullptr);
}

TEST_CASE("outside-table: the first wire of the file is looked at too") {
    const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, rating: 10 A}
  E1: {is: lamp, draws: 21 W}
  GND1: {is: ground, body: chassis}
circuits:
  lamp:
    number: 1
    insulation: thin-wall pvc
    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]
    wires: {1.1: {size: 120 mm2}, 1.2: {size: 2.5 mm2}, 1.3: {size: 2.5 mm2}, 1.4: {size: 16 mm2}}
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    CHECK_MESSAGE(car->find(Rule::outside_table, "1.1") != nullptr, car->text());
    CHECK(car->find(Rule::outside_table, "1.2") == nullptr);
}

TEST_CASE("chattering: loads that let go are told together, a loop with a relay in it by itself") {
    // lib/checks/states.cpp: "one finding for all loads that let go by themselves, and one for each
    // loop of others". What the search for an operating point hands on is put in its place.
    const auto car = coil_beside(9 * 85);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const auto device = [&](std::string_view name) { return car->vehicle.find_device(name); };
    const auto told = [&](std::vector<std::vector<DeviceId>> loops) {
        StateSolution& state = car->sizing.states.front();
        state.converged = false;
        state.chattering = std::move(loops);
        Findings findings;
        check_states(CheckInput{car->study(), car->sizing, nullptr}, findings);
        std::vector<std::string> out;
        for (const Finding& finding : findings.all()) {
            out.push_back(finding.message);
        }
        return out;
    };
    const std::string fall = ": the voltage falls below the least when the current flows";
    const std::string undone = ": each position undoes its own cause";
    using Told = std::vector<std::string>;
    CHECK(told({{device("E1")}}) == Told{"E1 starts and lets go for ever" + fall});
    CHECK(told({{device("E1")}, {device("A1")}}) ==
          Told{"E1 and A1 start and let go for ever" + fall});
    CHECK(told({{device("K1")}}) == Told{"K1 switches on and off for ever" + undone});
    CHECK(told({{device("K1"), device("E1")}}) ==
          Told{"K1 and E1 switch on and off for ever" + undone});
    CHECK(told({{device("E1"), device("K1")}, {device("A1")}}) ==
          Told{"A1 starts and lets go for ever" + fall,
               "E1 and K1 switch on and off for ever" + undone});
}

TEST_CASE(
    "frozen-differs: insulation and colour that are written otherwise than the wire was cut") {
    // explained/cut.yaml has 1.2 of thin-wall pvc in red, 1.3 of thin-wall pvc in brown. What the
    // file leaves open (all of 1.1 but its length, the insulation of 1.3) cannot differ.
    const auto car =
        check_text(R"(loomwright: 1
frozen: cut.yaml
devices:
  G1: {is: battery, capacity: 60 Ah}
  F1: {is: fuse, rating: 10 A}
  E1: {is: lamp, draws: 21 W}
  GND1: {is: ground, body: chassis}
circuits:
  lamp:
    number: 1
    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]
    wires:
      1.1: {length: 0.5 m}
      1.2: {length: 2 m, insulation: thin-wall xlpe, colour: BU}
      1.3: {length: 1 m, colour: BK}
)",
                   std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/unit/checks/explained");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const auto told = [&](std::string_view wire) {
        const Finding* finding = car->find(Rule::frozen_differs, wire);
        return finding == nullptr ? std::string() : finding->message;
    };
    CHECK(told("1.1").empty());
    CHECK(told("1.2") == "thin-wall xlpe is written and thin-wall pvc is cut; BU is written and RD "
                         "is cut: the file is followed");
    CHECK(told("1.3") == "BK is written and BN is cut: the file is followed");
}

TEST_CASE("ground-offset: no more terminals of a controller are signals than it has parts") {
    // E1's 100 A come home from the engine over 1.5 mohm: 0.15 V between the grounds of B1 and A1.
    const auto car = check_text(R"(loomwright: 1
devices:
  A1: {is: controller, draws: 1 A at 12 V, terminals: {30: feed, 31: ground, speed: signal, coolant: signal}}
  B1: {is: sensor}
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}
  F1: {is: fuse, rating: 10 A}
  F2: {is: fuse, family: strip, rating: 100 A}
  E1: {is: led-lamp, draws: 100 A at 12 V, case: engine}
  W1: {is: strap, between: [engine, chassis], resistance: 1.5 mohm}
  GND1: {is: ground, body: chassis}
  GND2: {is: ground, body: engine}
circuits:
  one:
    number: 1
    size: 25 mm2
    paths: [G1 > F1 > A1.30, A1.31 > GND1, G1 > F2 > E1, B1.signal > A1.coolant, B1.- > GND2, G1.- > GND1]
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const auto is_found = [&] {
        Findings findings;
        check_ground_offsets(CheckInput{car->study(), car->sizing, nullptr}, findings);
        return !findings.empty();
    };
    CHECK(is_found());
    // The terminal that B1 is read at is given no part: nothing reads B1 any more.
    Device& a1 = car->vehicle.devices[car->vehicle.find_device("A1").index()];
    std::get<Controller>(a1.spec).parts.pop_back();
    CHECK_FALSE(is_found());
}

TEST_CASE("shorts that burn a conductor: the worst first, what nothing stands before at the end") {
    // 0.5 mm2 has 37.1 to 39 mohm/m at 20 C (IEC 60228), 1.118 times that at 50 C. 12.6 V over 10 m
    // of it are less than 31 A there, and a blade of 30 A holds 110 % x (1 - 0.0014 x (50 - 23)),
    // 31.8 A: nothing opens. Half that current, over 20 m, makes a quarter of the heat: it ages the
    // wire that the other burns. 1 m from the battery's post burns at once.
    const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 5 mohm}
  F1: {is: fuse, rating: 30 A, breaking: 5000 A}
  F2: {is: fuse, rating: 30 A, breaking: 5000 A}
  F3: {is: fuse, rating: 30 A, breaking: 5000 A}
  E1: {is: lamp, draws: 21 W}
  E2: {is: lamp, draws: 21 W}
  E3: {is: lamp, draws: 21 W}
  GND1: {is: ground, body: chassis, bond: 0.5 mohm}
circuits:
  one:
    number: 1
    size: 10 mm2
    paths: [G1 > F3, F3.out > E3 > GND1, G1 > F1 > E1 > GND1, G1 > F2 > E2 > GND1, G1.- > GND1]
    wires:
      1.1: {size: 0.5 mm2, length: 1 m}
      1.4: {length: 0.3 m}
      1.5: {size: 0.5 mm2, length: 20 m}
      1.7: {length: 0.3 m}
      1.8: {size: 0.5 mm2, length: 10 m}
)",
                                {}, false);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const StudyInput study = car->study();
    const FaultSweep sweep = sweep_faults(study, car->sizing, {});
    const std::vector<SourceZone> zones = source_zones(study.vehicle, study.network, {});
    const std::vector<ShortDanger> dangers = short_dangers({study, sweep, zones});
    std::vector<std::string> protected_at;
    for (const ShortDanger& danger : dangers) {
        if (!danger.is_before_protection) {
            protected_at.push_back(car->network.node_names[static_cast<std::size_t>(danger.node)]);
        }
    }
    CHECK(protected_at == std::vector<std::string>{"E2.+", "E1.+"});
    CHECK(std::ranges::is_partitioned(
        dangers, [](const ShortDanger& danger) { return !danger.is_before_protection; }));
    REQUIRE(dangers.size() > 3);
    CHECK(car->network.node_names[static_cast<std::size_t>(dangers[2].node)] == "F3.in");
}

TEST_CASE("source-shorted: a plus lead on the body, with nothing but copper round the battery") {
    const auto car = check_text(R"(loomwright: 1
zones: {cool: {air: 20 C}}
points: {here: {zone: cool}}
devices:
  G1: {is: battery, at: here, capacity: 60 Ah, voltage: 12.6 V, resistance: 100 mohm}
  F1: {is: fuse, at: here, rating: 10 A}
  E1: {is: lamp, at: here, draws: 21 W}
  GND1: {is: ground, at: here, body: chassis, bond: 1 mohm}
  GND2: {is: ground, at: here, body: chassis, bond: 1 mohm}
circuits:
  lamp:
    number: 1
    size: 2.5 mm2
    paths: [G1 > GND2, G1.- > GND1, G1 > F1 > E1 > GND1]
    wires: {1.1: {size: 120 mm2, length: 0.1 m}, 1.2: {size: 120 mm2, length: 0.1 m}, 1.3: {length: 2 m}}
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* finding = car->find(Rule::source_shorted, "G1");
    REQUIRE_MESSAGE(finding != nullptr, car->text());
    CHECK(finding->severity == Severity::danger);
    CHECK(finding->message == "its plus and minus are joined by 1.1, GND2, GND1 and 1.2 in as "
                              "built, with no load between");
    REQUIRE(finding->figures.size() == 1);
    // Ohm's law round the loop: 12.6 V / (100 + 2 x 1 + 2 x 0.1 m x r20 of 120 mm2) = 123.49 A. The
    // lamp beside the bonds and the few kelvin that such wires warm by move 0.003 %.
    const double wire_ohm =
        0.1 * car->catalogue.find_conductor({SizeStandard::iso, "120"})->r20_ohm_per_m;
    CHECK(finding->figures.front().value ==
          doctest::Approx(12.6 / (0.100 + 2.0 * 0.001 + 2.0 * wire_ohm)).epsilon(1e-4));
    // Nothing is fed from it: the 2 m to F1, more than a battery's lead may be long, neither.
    CHECK(car->find(Rule::fuse_missing) == nullptr);
    CHECK(car->find(Rule::unfused_length) == nullptr);
}

TEST_CASE("fuse-over-wire: an output's wire is held against the fuse of the feed that it names") {
    // docs/format/devices.md: "A high-side output gets its current from one feed, and its wire is
    // held against the fuse before that one", whatever the order in which the feeds are listed.
    // A bare 0.5 mm2 carries more than 5 A and less than 40 A by any table.
    for (const char* feeds : {"small: feed, big: feed", "big: feed, small: feed"}) {
        for (const bool is_big : {false, true}) {
            CAPTURE(feeds);
            CAPTURE(is_big);
            const auto car = check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 500 A}}
  F1: {{is: fuse, rating: 5 A}}
  F2: {{is: fuse, rating: 40 A}}
  A1: {{is: controller, draws: 1 A, terminals: {{{}, 31: ground, lamp: {{part: high-side, feed: {}}}}}}}
  E1: {{is: lamp, draws: 21 W}}
  GND1: {{is: ground, body: chassis}}
circuits:
  lamp:
    number: 1
    paths:
      - G1 > F1 > A1.small
      - G1 > F2 > A1.big
      - A1.lamp > E1 > GND1
      - A1.31 > GND1
      - G1.- > GND1
    wires: {{1.1: {{length: 0.1 m}}, 1.3: {{length: 0.1 m}}, 1.5: {{size: 0.5 mm2, length: 2 m}}}}
states:
  lit: {{engine: running, set: {{A1.lamp: on}}}}
)",
                                                    feeds, is_big ? "big" : "small"));
            const Finding* found = car->find(Rule::fuse_over_wire, "1.5");
            CHECK((found != nullptr) == is_big);
            if (found != nullptr) {
                CHECK(found->message.find("F2 of 40 A") != std::string::npos);
            }
        }
    }
}

namespace {

/// A controller with these feeds; wires lead from F1 of 5 A to `small`, from F2 of 40 A to `big`,
/// and 0.5 mm2 to the lamp, unless `paths` is something else.
std::unique_ptr<Checked> car_with_feeds(
    std::string_view feeds, std::string_view lamp,
    std::string_view paths = "[G1 > F1 > A1.small, G1 > F2 > A1.big, A1.lamp > E1 > GND1, A1.31 > "
                             "GND1, G1.- > GND1]") {
    return check_text(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 500 A}}
  F1: {{is: fuse, rating: 5 A}}
  F2: {{is: fuse, rating: 40 A}}
  A1: {{is: controller, draws: 1 A, terminals: {{{}, 31: ground, lamp: {}}}}}
  E1: {{is: lamp, draws: 21 W}}
  GND1: {{is: ground, body: chassis}}
circuits:
  lamp:
    number: 1
    paths: {}
    wires: {{1.1: {{length: 0.1 m}}, 1.3: {{length: 0.1 m}}, 1.5: {{size: 0.5 mm2, length: 2 m}}}}
states:
  lit: {{engine: running, set: {{A1.lamp: on}}}}
)",
                                  feeds, lamp, paths));
}

} // namespace

TEST_CASE("output-feed: an output that names none of several wired feeds is behind the first") {
    // docs/rules/output-feed.md: "the first feed with a wire is taken"; here all are always live.
    // 0.5 mm2 carries more than 5 A and less than 40 A by any table.
    for (const bool is_big_first : {false, true}) {
        CAPTURE(is_big_first);
        const auto car = car_with_feeds(is_big_first ? "spare: feed, big: feed, small: feed"
                                                     : "small: feed, spare: feed, big: feed",
                                        "high-side");
        REQUIRE_MESSAGE(car->is_sized, car->text());
        const Finding* found = car->find(Rule::output_feed, "A1");
        REQUIRE(found != nullptr);
        CHECK(found->severity == Severity::caution);
        CHECK(found->where.line == 6);
        CHECK(found->message.find(is_big_first
                                      ? "output lamp does not say which of the feeds big "
                                        "and small it is behind: big is taken"
                                      : "output lamp does not say which of the feeds small "
                                        "and big it is behind: small is taken") == 0);
        CHECK(found->remedy.find(is_big_first ? "add `feed: big`" : "add `feed: small`") == 0);
        REQUIRE(found->figures.size() == 1);
        CHECK(found->figures[0].value == 2.0);
        CHECK((car->find(Rule::fuse_over_wire, "1.5") != nullptr) == is_big_first);
    }
}

TEST_CASE("output-feed: of many feeds three are named, and each output is told") {
    const auto car = car_with_feeds(
        "small: feed, big: feed, a: feed, b: feed",
        "high-side, horn: {part: high-side, limit: 5 A}",
        "[G1 > F1 > A1.small, G1 > F2 > A1.big, A1.lamp > E1 > GND1, A1.31 > GND1, G1.- > GND1, "
        "F1.out > A1.a, F1.out > A1.b, A1.horn > E1]");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Finding* found = car->find(Rule::output_feed);
    REQUIRE(found != nullptr);
    CHECK(found->message.find("feeds small, big, a and others it is behind") != std::string::npos);
    CHECK(found->figures[0].value == 4.0);
    CHECK(std::ranges::count(car->findings.all(), Rule::output_feed, &Finding::rule) == 2);
}

TEST_CASE("output-feed: nothing is told where there is no choice, or it is made") {
    const char* const feeds = "small: feed, big: feed";
    const auto is_told = [](const std::unique_ptr<Checked>& car) {
        REQUIRE_MESSAGE(car->is_sized, car->text());
        return car->find(Rule::output_feed) != nullptr;
    };
    CHECK(is_told(car_with_feeds(feeds, "high-side")));
    CHECK_FALSE(is_told(car_with_feeds(feeds, "{part: high-side, feed: small}")));
    // One feed has a wire: it is that one, though it stands second.
    const auto one = car_with_feeds(
        feeds, "high-side",
        "[G1 > F2 > A1.big, G1.- > GND1, A1.lamp > E1 > GND1, A1.31 > GND1, G1 > F1]");
    CHECK_FALSE(is_told(one));
    // No wire at the output.
    CHECK_FALSE(is_told(car_with_feeds(
        feeds, "high-side",
        "[G1 > F1 > A1.small, G1 > F2 > A1.big, F1.out > E1 > GND1, A1.31 > GND1, G1.- > GND1]")));
}
