// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What `auto` becomes, on small cars whose answers are worked out by hand beside the check.
#include "sized_car.hpp"

#include "sizing/ampacity.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "sizing/protect.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

using namespace loomwright;

namespace {

/// Battery, fuse, one load, ground; the wires between have these sizes and lengths.
std::string one_load(std::string_view load, std::string_view fuse, std::string_view feed,
                     std::string_view extra = {}) {
    return fmt::format("loomwright: 1\n"
                       "devices:\n"
                       "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                       "  F1: {{is: fuse, {}}}\n"
                       "  E1: {{{}}}\n"
                       "  GND1: {{is: ground, body: chassis}}\n"
                       "circuits:\n"
                       "  one:\n"
                       "    number: 1\n"
                       "    class: motor\n"
                       "    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]\n"
                       "    wires:\n"
                       "      1.1: {{length: 0.1 m}}\n"
                       "      1.2: {{{}}}\n"
                       "      1.3: {{length: 0.3 m}}\n"
                       "      1.4: {{size: 35 mm2, length: 0.3 m}}\n"
                       "{}",
                       fuse, load, feed, extra);
}

} // namespace

TEST_CASE("a fuse: load over share and heat, then the next standard rating") {
    // 12 A at 90 C air: f = 1 - 0.0043 (90 - 20) = 0.699; 12 / (0.75 x 0.699) = 22.89 A; so 25 A.
    const std::string hot = "zones: {bay: {air: 90 C}}\npoints: {here: {zone: bay}}\n";
    std::string text = one_load("is: motor, draws: 12 A at 13 V", "at: here, rating: auto",
                                "length: 1 m, insulation: thin-wall xlpe", hot);
    const auto car = sized(text);
    const FuseSizing& fuse = car->fuse("F1");
    CHECK(fuse.load_a == doctest::Approx(12.0).epsilon(0.001));
    CHECK(fuse.temperature_factor == doctest::Approx(0.699));
    CHECK(fuse.least_rating_a == doctest::Approx(22.89).epsilon(0.001));
    CHECK(fuse.rating_a == 25.0);
    CHECK(fuse.decided_by == Reason::load);
    CHECK(fuse.was_auto);
}

TEST_CASE("a fuse: two starts in a row against the short side of the band") {
    // 8 A in 20 C air asks 10.67 A, so 15 A. Two starts of 36 A for 0.4 s take 0.8 s. 36 A is 2.4 x
    // 15: the band's short side there is 0.15 (2.4/2)^(ln(0.08/0.15)/ln(3.5/2)) = 0.122 s. 20 A:
    // 1.8, 0.75 (1.8/1.35)^-4.095 = 0.231 s. 25 A: 1.44, 0.576 s: rides one start, not two. 30 A:
    // 1.2, minutes (by hand, docs/method/protection.md).
    const std::string cool = "zones: {cool: {air: 20 C}}\npoints: {here: {zone: cool}}\n";
    const auto car = sized(one_load("is: motor, draws: 8 A at 13 V, inrush: 36 A for 0.4 s",
                                    "at: here, rating: auto", "length: 1 m", cool));
    const FuseSizing& fuse = car->fuse("F1");
    CHECK(fuse.least_rating_a == doctest::Approx(10.67).epsilon(0.001));
    CHECK(fuse.rating_a == 30.0);
    CHECK(fuse.decided_by == Reason::inrush);
    REQUIRE(fuse.pulse.has_value());
    CHECK(fuse.pulse->first.front().amps == doctest::Approx(36.0).epsilon(0.001));
    CHECK(fuse.pulse->first.front().seconds == doctest::Approx(0.4));
    CHECK(fuse.pulse_share < 1.0);
    // 25 A as written: 2 x 0.4 / 0.576 = 1.389 of the time.
    const auto given = sized(one_load("is: motor, draws: 8 A at 13 V, inrush: 36 A for 0.4 s",
                                      "at: here, rating: 25 A", "length: 1 m", cool));
    CHECK(given->fuse("F1").pulse_share == doctest::Approx(1.389).epsilon(0.002));
    // A shorter start is ridden by the fuse of the load: 2 x 0.05 s under 0.122 s.
    CHECK(sized(one_load("is: motor, draws: 8 A at 13 V, inrush: 36 A for 0.05 s",
                         "at: here, rating: auto", "length: 1 m", cool))
              ->fuse("F1")
              .rating_a == 15.0);
}

TEST_CASE("a fuse in hot air has less far to go when its load starts") {
    // At 90 C opening times stand at 1 - 0.0014 (90 - 23) = 0.9062 of their currents: those of 25 A
    // at 22.66 A. 36 A is 1.589 of that, 0.75 (1.589/1.35)^-4.095 = 0.385 s for each start.
    const std::string hot = "zones: {bay: {air: 90 C}}\npoints: {here: {zone: bay}}\n";
    const auto car =
        sized(one_load("is: motor, draws: 8 A at 13 V, inrush: 36 A for 0.1 s",
                       "at: here, rating: 25 A", "length: 1 m, insulation: thin-wall xlpe", hot));
    const FuseSizing& fuse = car->fuse("F1");
    CHECK(fuse.pulse_factor == doctest::Approx(0.9062));
    CHECK(fuse.pulse_share == doctest::Approx(0.2 / 0.385).epsilon(0.01));
}

TEST_CASE("a wire follows its fuse, not only its load") {
    // 2 A behind 30 A: the wire must carry 30 A (IEC 60364-4-43) and stand 20 x 30^2 = 18000 A2s.
    const auto car =
        sized(one_load("is: motor, draws: 2 A at 13 V", "rating: 30 A", "length: 1 m"));
    const WireSizing& wire = car->wire("1.2");
    CHECK(wire.decided_by == Reason::fuse);
    CHECK(wire.ampacity.amps >= 30.0);
    const WireDesign& made = car->sizing.design.wires[wire.wire.index()];
    CHECK(std::pow(made.insulation->k_a_sqrt_s_per_mm2 * made.conductor->copper_area.value() * 1e6,
                   2) >= 18000.0);
    // An overload of the motor runs through the way home as well: the same demand there.
    CHECK(car->wire("1.3").fuse == wire.fuse);
    CHECK(car->wire("1.3").decided_by == Reason::fuse);
    CHECK(car->wire("1.3").ampacity.amps >= 30.0);
    // And through the stretch ahead of the fuse.
    CHECK(car->wire("1.1").fuse == wire.fuse);
}

TEST_CASE("a wire behind a fusible link is four AWG numbers thicker, and stands its short") {
    // SAE J156 practice. AWG areas go by 92^(2/39) a number (ASTM B258): four are 2.525 times. A
    // link of 16 AWG, 1.307 mm2, asks for 3.30 mm2; of the ISO sizes 4 mm2 is the first. In a short
    // it lets through 364 000 A2s or a little more in 50 C air (tests/unit/checks/test_links.cpp):
    // of thin-wall PVC (k = 91.8) 8 mm2 is the first to stand that, with 442 000 A2s after 254 000
    // of 6 mm2; of cross-linked thin wall (125 C to 250 C, k = 226 sqrt(ln(484.5 / 359.5)) = 123.5)
    // 6 mm2, 460 000 A2s after 292 000 of 5 mm2 (3.94 mohm/m).
    const auto behind = [](const char* insulation) {
        return sized(
            fmt::format("loomwright: 1\n"
                        "devices:\n"
                        "  G1: {{is: battery, capacity: 60 Ah, cranking-amps: 600 A}}\n"
                        "  F1: {{is: fusible-link, size: 16 AWG}}\n"
                        "  E1: {{is: heater, draws: 2 A at 13 V}}\n"
                        "  GND1: {{is: ground, body: chassis}}\n"
                        "circuits:\n"
                        "  one: {{number: 1, insulation: {}, paths: [G1 > F1 > E1 > GND1, G1.- > "
                        "GND1]}}\n",
                        insulation));
    };
    const auto car = behind("thin-wall pvc");
    CHECK(car->size("1.2") == "8 mm2");
    CHECK(car->wire("1.2").decided_by == Reason::fuse);
    CHECK(car->find(Rule::fuse_over_wire, "1.2") == nullptr);
    const auto hot = behind("thin-wall xlpe");
    CHECK(hot->size("1.2") == "6 mm2");
    CHECK(hot->wire("1.2").decided_by == Reason::fuse);
}

TEST_CASE("a wire grows for the drop of its whole path") {
    // 8 m there, 0.3 m back; class motor, 0.6 V. The smaller size fails: V = I x L x r20 x (1 +
    // ...).
    const auto car =
        sized(one_load("is: motor, draws: 7 A at 13 V", "rating: 10 A", "length: 8 m"));
    const WireSizing& wire = car->wire("1.2");
    CHECK(wire.decided_by == Reason::drop);
    const LoadDrop& drop = car->sizing.drops.front();
    CHECK(drop.drop_v <= drop.limit_v);
    // One size down, with the conductor no hotter than its air, takes more than the path has left.
    const WireDesign& made = car->sizing.design.wires[wire.wire.index()];
    const auto sizes = car->catalogue.conductors(SizeStandard::iso);
    const Conductor* smaller = nullptr;
    for (const Conductor& conductor : sizes) {
        if (conductor.is_standard_size && conductor.area < made.conductor->area) {
            smaller = &conductor;
        }
    }
    REQUIRE(smaller != nullptr);
    const double now = wire.worst_drop_v;
    const double then = drop.amps * made.length.value() *
                        resistance_at(smaller->r20_ohm_per_m, Celsius(wire.ampacity.air_c));
    CHECK(drop.drop_v - now + then > drop.limit_v);
}

TEST_CASE("wires of a path whose joints alone break the limit are grown as though they had it") {
    // 10 A through a fuse of 100 mohm take 1 V; the limit of class motor at 12 V is 0.5 V or so.
    const auto car = sized(one_load("is: motor, draws: 10 A at 13 V",
                                    "rating: 15 A, resistance: 100 mohm", "length: 6 m"));
    const LoadDrop& drop = car->sizing.drops.front();
    CHECK(drop.drop_v > drop.limit_v);
    double wires = 0.0;
    for (const char* number : {"1.1", "1.2", "1.3", "1.4"}) {
        wires += car->wire(number).worst_drop_v;
    }
    CHECK(wires <= drop.limit_v);
    CHECK(car->wire("1.2").decided_by == Reason::drop);
}

TEST_CASE("a stretch that two failing loads share is grown before two that they do not") {
    // Feed 5 m shared, then 0.3 m each: one metre of shared copper gains for both, at twice the
    // current.
    const std::string text = "loomwright: 1\n"
                             "devices:\n"
                             "  G1: {is: battery, capacity: 60 Ah, cranking-amps: 600 A}\n"
                             "  F1: {is: fuse, rating: 20 A}\n"
                             "  SP1: {is: splice}\n"
                             "  M1: {is: motor, draws: 5 A at 13 V, case: chassis}\n"
                             "  M2: {is: motor, draws: 5 A at 13 V, case: chassis}\n"
                             "  GND1: {is: ground, body: chassis}\n"
                             "circuits:\n"
                             "  one:\n"
                             "    number: 1\n"
                             "    class: motor\n"
                             "    paths: [G1 > F1 > SP1, SP1 > M1, SP1 > M2, G1.- > GND1]\n"
                             "    wires:\n"
                             "      1.1: {length: 0.1 m}\n"
                             "      1.2: {length: 5 m}\n"
                             "      1.3: {length: 0.3 m}\n"
                             "      1.4: {length: 0.3 m}\n"
                             "      1.5: {size: 35 mm2, length: 0.3 m}\n";
    const auto car = sized(text);
    const auto area = [&](const char* number) {
        return car->sizing.design.wires[car->vehicle.find_wire(number).index()]
            .conductor->area.value();
    };
    CHECK(car->wire("1.2").decided_by == Reason::drop);
    CHECK(area("1.2") > area("1.3"));
    CHECK(area("1.3") == area("1.4"));
    for (const LoadDrop& drop : car->sizing.drops) {
        CHECK(drop.drop_v <= drop.limit_v);
    }
}

TEST_CASE("sizes never fall when a load, a length or the air grows") {
    double last_area = 0.0;
    for (const char* amps : {"1", "3", "6", "10", "15", "22"}) {
        CAPTURE(std::string(amps));
        const auto car = sized(one_load(fmt::format("is: motor, draws: {} A at 13 V", amps),
                                        "rating: auto", "length: 2 m"));
        const double area =
            car->wire("1.2").was_auto ? car->sizing.design.wires[1].conductor->area.value() : 0.0;
        CHECK(area >= last_area);
        last_area = area;
    }
    last_area = 0.0;
    for (const char* metres : {"0.5", "2", "5", "9", "14"}) {
        CAPTURE(std::string(metres));
        const auto car = sized(one_load("is: motor, draws: 8 A at 13 V", "rating: auto",
                                        fmt::format("length: {} m", metres)));
        CHECK(car->sizing.design.wires[1].conductor->area.value() >= last_area);
        last_area = car->sizing.design.wires[1].conductor->area.value();
    }
    last_area = 0.0;
    for (const char* air : {"20", "50", "70", "85", "95"}) {
        CAPTURE(std::string(air));
        const auto car =
            sized(one_load("is: motor, draws: 8 A at 13 V", "rating: 20 A", "length: 1 m",
                           fmt::format("states: {{run: {{air: {} C}}}}\n", air)));
        CHECK(car->sizing.design.wires[1].conductor->area.value() >= last_area);
        last_area = car->sizing.design.wires[1].conductor->area.value();
    }
}

TEST_CASE("the standard that auto picks from") {
    const std::string load = "is: motor, draws: 3 A at 13 V";
    CHECK(sized(one_load(load, "rating: 5 A", "length: 1 m", "policy: {sizes: AWG}\n"))
              ->size("1.2")
              .find("AWG") != std::string::npos);
    CHECK(sized(one_load(load, "rating: 5 A", "length: 1 m", "policy: {sizes: SAE}\n"))
              ->size("1.2")
              .find("SAE") != std::string::npos);
    CHECK(sized(one_load(load, "rating: 5 A", "length: 1 m"))->size("1.2").find("mm2") !=
          std::string::npos);
    // An insulation that is sold on SAE and AWG sizes only.
    CHECK(sized(one_load(load, "rating: 5 A", "length: 1 m, insulation: GXL"))
              ->size("1.2")
              .find("mm2") == std::string::npos);
}

TEST_CASE("part level is judged at full") {
    const std::string at = "states: {{slow: {{set: {{E1: {}}}}}}}\n";
    const auto part = sized(one_load("is: motor, draws: 8 A at 13 V", "rating: auto", "length: 6 m",
                                     fmt::format(fmt::runtime(at), "50 %")));
    const auto full = sized(one_load("is: motor, draws: 8 A at 13 V", "rating: auto", "length: 6 m",
                                     fmt::format(fmt::runtime(at), "100 %")));
    CHECK(part->size("1.2") == full->size("1.2"));
    CHECK(part->fuse("F1").rating_a == full->fuse("F1").rating_a);
    // The state itself is solved as it is written: mean current.
    CHECK(part->sizing.states[0].devices[part->vehicle.find_device("E1").index()].amps ==
          doctest::Approx(4.0).epsilon(0.001));
    CHECK(part->sizing.judged(0).devices[part->vehicle.find_device("E1").index()].amps ==
          doctest::Approx(8.0).epsilon(0.001));
}

TEST_CASE("a starter cable is judged for as long as cranking lasts") {
    const std::string text =
        "loomwright: 1\n"
        "devices:\n"
        "  G1: {is: battery, capacity: 70 Ah, cranking-amps: 650 A}\n"
        "  M1: {is: starter, case: chassis, draws: 180 A at 10 V}\n"
        "  F1: {is: fuse, rating: 25 A}\n"
        "  S1: {is: switch, positions: {rest: [], start: [30-50]}, contact: 40 A}\n"
        "  GND1: {is: ground, body: chassis}\n"
        "circuits:\n"
        "  start:\n"
        "    number: 1\n"
        "    class: starter\n"
        "    paths: [G1 > M1, G1 > F1 > S1.30, S1.50 > M1.50, G1.- > GND1]\n"
        "    wires: {1.1: {length: 1 m}, 1.2: {length: 0.1 m}, 1.3: {length: 1 m}, 1.4: {length: 1 "
        "m},\n"
        "            1.5: {length: 0.4 m}}\n"
        "states:\n"
        "  start: {engine: cranking, set: {S1: start}}\n";
    const auto car = sized(text);
    const WireSizing& cable = car->wire("1.1");
    CHECK(cable.worst_amps == doctest::Approx(180.0).epsilon(0.02));
    CHECK_FALSE(cable.fuse.is_valid());
    // The smallest size by heat: k S / sqrt(30 s) >= 180 A from 50 C to 100 C, k = 226
    // sqrt(ln(334.5/284.5)) = 90.94, so S >= 10.84 mm2 of sure copper: 12 mm2 (17.241/1.52 = 11.34
    // mm2), by hand.
    CHECK(cable.area_for_ampacity_m2 * 1e6 == doctest::Approx(12.0));
    CHECK(cable.decided_by == Reason::drop);
    CHECK(car->sizing.feeds[cable.wire.index()].is_unprotected);
}

TEST_CASE("the answer does not hang on how often it is asked") {
    const std::string text =
        one_load("is: motor, draws: 8 A at 13 V", "rating: auto", "length: 6 m");
    const auto first = sized(text);
    const auto again = sized(text);
    CHECK(first->size("1.2") == again->size("1.2"));
    CHECK(first->sizing.copper_kg == again->sizing.copper_kg);
    CHECK(first->sizing.rounds == again->sizing.rounds);
    // The states that are handed on were solved with the design that is.
    const auto solved = solve_states(first->study(), first->sizing.design);
    REQUIRE(solved.size() == first->sizing.states.size());
    for (std::size_t i = 0; i < solved.size(); ++i) {
        CHECK(solved[i].node_volts == first->sizing.states[i].node_volts);
    }
}

TEST_CASE("wires that heat one another past their class share the heat: they grow, not shrink") {
    // Six heaters of 20 A behind 30 A each, in one run of 80 C air, PVC of 100 C. At the first
    // guess of 4 mm2 (4.95 mohm/m, at 100 C x 1.314 = 6.5 mohm/m) they make 6 x 18.7^2 x 6.5e-3 =
    // 13.6 W/m, and a bundle of 9 mm across at 20 K over its air gives off about half of that: no
    // size of one alone would do. With 8 mm2 (2.52 x 1.314 = 3.31 mohm/m) five make 5.8 W/m and
    // leave the sixth the 30^2 x 3.31e-3 = 3.0 W/m that its fuse may ask for.
    std::string devices;
    std::string paths;
    for (int i = 1; i <= 6; ++i) {
        devices += fmt::format("  F{0}: {{is: fuse, at: a, rating: 30 A}}\n"
                               "  E{0}: {{is: heater, at: b, draws: 20 A at 12.5 V}}\n",
                               i);
        paths += fmt::format("      - G1 > F{0} > E{0} > GND2\n", i);
    }
    const auto car = check_text("loomwright: 1\n"
                                "zones: {hot: {air: 80 C}}\n"
                                "points: {a: {zone: hot}, b: {zone: hot}}\n"
                                "runs: {shared: {from: a, to: b, length: 2 m}}\n"
                                "devices:\n"
                                "  G1: {is: battery, at: a, capacity: 60 Ah, voltage: 12.6 V, "
                                "resistance: 4 mohm}\n" +
                                devices +
                                "  GND1: {is: ground, at: a, body: chassis}\n"
                                "  GND2: {is: ground, at: b, body: chassis}\n"
                                "circuits:\n"
                                "  all:\n"
                                "    number: 1\n"
                                "    paths:\n" +
                                paths + "      - G1.- > GND1\npolicy: {drop: {other: 3 V}}\n");
    REQUIRE(car->is_sized);
    INFO(car->text());
    CHECK(car->find(Rule::insulation_heat) == nullptr);
    CHECK(car->find(Rule::size_not_found) == nullptr);
    CHECK(car->find(Rule::fuse_over_wire) == nullptr);
    for (int i = 0; i < 6; ++i) {
        const std::string number = fmt::format("1.{}", 3 * i + 2); // from the fuse to the heater
        CHECK(car->wire(number).ampacity.amps >= 30.0);            // In <= Iz
        CHECK(car->wire(number).decided_by != Reason::not_found);
        CHECK(car->sizing.design.wires[car->wire(number).wire.index()].conductor->area.value() <=
              10.001e-6); // a size over what is enough, at the most
    }
}
