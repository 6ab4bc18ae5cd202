// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a short or an open makes of the rest of a small car: which devices count it as theirs, what
// lets go and comes back, what wakes, how warm it gets. Currents by Ohm's law.
#include "study/fault_sweep.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::Car;
using testing::Study;
using testing::Sweep;

/// 12 V behind 1 mohm, F1 of 10 mohm, R1 and R2 in a row to ground: a short between them takes R2
/// out of the loop. Resistors work for nobody, so that nothing dies of it.
struct TwoResistors {
    Car car;
    WireId feed, first, middle, home, minus;
    TwoResistors(double first_ohm, double second_ohm, const char* size = "2.5",
                 double length_m = 0.1) {
        car.source("G1", 12.0, 0.001);
        std::get<Protection>(car.at(car.fuse("F1", 20.0)).spec).resistance = Ohms(0.010);
        car.device("R1", {"1", "2"}, Resistor{.resistance = Ohms(first_ohm)});
        car.device("R2", {"1", "2"}, Resistor{.resistance = Ohms(second_ohm)});
        car.ground("GND1");
        feed = car.wire("G1.+", "F1.in", "6", 0.1);
        first = car.wire("F1.out", "R1.1", size, length_m);
        middle = car.wire("R1.2", "R2.1", size, length_m);
        home = car.wire("R2.2", "GND1", "6", 0.1);
        minus = car.wire("G1.-", "GND1", "16", 0.1);
    }
    /// With a short at R2: all of the loop's current.
    [[nodiscard]] double shorted_a(const Sweep& sweep) const {
        const double bond = sweep.value("ground-bond");
        const double r2 =
            car.vehicle.device(car.vehicle.find_device("R2")).as<Resistor>()->resistance.value();
        const double r1 =
            car.vehicle.device(car.vehicle.find_device("R1")).as<Resistor>()->resistance.value();
        // the short ends on the metal, R2 on GND1's terminal, where the battery's minus is
        const double to_metal = bond;
        const double beside = r2 + sweep.wire_ohm(home);
        const double through = sweep.value("short-contact") + to_metal;
        return 12.0 / (0.001 + 0.010 + r1 + sweep.wire_ohm(feed) + sweep.wire_ohm(first) +
                       sweep.wire_ohm(middle) + sweep.wire_ohm(minus) +
                       1.0 / (1.0 / beside + 1.0 / through));
    }
};

} // namespace

TEST_CASE("a short that raises a fuse's current by a fifth opens it when its curve says so") {
    const TwoResistors made(1.0, 0.2);
    Sweep sweep(made.car.vehicle);
    sweep.set_curve("F1", 10.5, 0.02, 0.1);
    sweep.run();
    const double amps = made.shorted_a(sweep);
    REQUIRE(amps / 9.8 == Approx(1.2).epsilon(0.02));
    const ShortEvent& event = sweep.short_of("1.3", false);
    REQUIRE(event.opens.size() == 1);
    CHECK(event.opens[0].amps == Approx(amps).epsilon(1e-6));
    const double longest = 0.1 * std::pow(10.5 / amps, 2);
    CHECK(event.opens[0].after_s == Approx(longest).epsilon(1e-6));
    CHECK(event.opens[0].earliest_s == Approx(longest / 5.0).epsilon(1e-6));
    CHECK(event.over_after_s == Approx(longest).epsilon(1e-6));
    CHECK(event.outcome == ShortOutcome::cleared);
    CHECK(event.dead.empty());
    CHECK(event.unexpected.empty());
    CHECK(event.first_a == event.fault_a); // nothing turned over

    // the least that it may take is not known below 50 A: it may open at once
    Sweep unknown(made.car.vehicle);
    unknown.set_curve("F1", OpeningCurve({{50.0, 0.02}}, {{10.5, 0.1}}));
    unknown.run();
    const ShortEvent& sudden = unknown.short_of("1.3", false);
    REQUIRE(sudden.opens.size() == 1);
    CHECK(sudden.opens[0].earliest_s == 0.0);
    CHECK(sudden.opens[0].after_s == Approx(longest).epsilon(1e-6));
}

TEST_CASE("of two fuses beside each other the second has borne its share when the first is gone") {
    // Its I^2 t adds up: what it bore beside the first is off what it bears alone, of the longest
    // as of the shortest that it may take.
    Car car;
    car.source("G1", 12.0, 0.010);
    std::get<Protection>(car.at(car.fuse("F1", 20.0)).spec).resistance = Ohms(0.020);
    std::get<Protection>(car.at(car.fuse("F2", 20.0)).spec).resistance = Ohms(0.030);
    car.device("R1", {"1", "2"}, Resistor{.resistance = Ohms(12.0)});
    car.splice("X1");
    car.ground("GND1");
    car.ground("GND2");
    const WireId first_feed = car.wire("G1.+", "F1.in", "6", 0.5);
    const WireId second_feed = car.wire("G1.+", "F2.in", "6", 0.5);
    const WireId first_out = car.wire("F1.out", "X1", "6", 0.1);
    const WireId second_out = car.wire("F2.out", "X1", "6", 0.1);
    const WireId behind = car.wire("X1", "R1.1", "6", 0.5);
    const WireId home = car.wire("R1.2", "GND1", "2.5", 0.5);
    const WireId minus = car.wire("G1.-", "GND2", "16", 0.5);
    Sweep sweep(car.vehicle);
    sweep.set_curve("F1", 100.0, 0.02, 0.1);
    sweep.set_curve("F2", 100.0, 0.15, 0.5);
    sweep.run();
    const double bond = sweep.value("ground-bond");
    const double beside_short =
        1.0 / (1.0 / sweep.value("short-contact") + 1.0 / (12.0 + sweep.wire_ohm(home) + bond));
    const double rest =
        0.010 + sweep.wire_ohm(minus) + bond + sweep.wire_ohm(behind) + beside_short;
    const double first_ohm = sweep.wire_ohm(first_feed) + 0.020 + sweep.wire_ohm(first_out);
    const double second_ohm = sweep.wire_ohm(second_feed) + 0.030 + sweep.wire_ohm(second_out);
    const double node_share = 1.0 / (1.0 / first_ohm + 1.0 / second_ohm);
    const double total = 12.0 / (rest + node_share);
    const double first_a = total * node_share / first_ohm;
    const double second_a = total * node_share / second_ohm;
    const double alone_a = 12.0 / (rest + second_ohm);
    const ShortEvent& event = sweep.short_of("1.5", false);
    REQUIRE(event.opens.size() == 2);
    CHECK(sweep.names({event.opens[0].device, event.opens[1].device}) == "F1 F2");
    const double first_s = 0.1 * std::pow(100.0 / first_a, 2);
    CHECK(event.opens[0].amps == Approx(first_a).epsilon(1e-6));
    CHECK(event.opens[0].after_s == Approx(first_s).epsilon(1e-6));
    CHECK(event.opens[0].earliest_s == Approx(first_s / 5.0).epsilon(1e-6));
    CHECK(event.opens[0].or_else.empty()); // F2 takes longer, even the shortest that it may
    const double borne = second_a * second_a * first_s; // A^2 s, of 500 and of 1500 at least
    REQUIRE(borne < 0.15 * 1e4);
    CHECK(event.opens[1].amps == Approx(alone_a).epsilon(1e-6));
    CHECK(event.opens[1].after_s ==
          Approx(first_s + (0.5 * 1e4 - borne) / (alone_a * alone_a)).epsilon(1e-6));
    CHECK(event.opens[1].earliest_s ==
          Approx(first_s + (0.15 * 1e4 - borne) / (alone_a * alone_a)).epsilon(1e-6));
    CHECK(event.opens[1].or_else.empty());
    CHECK(event.over_after_s == event.opens[1].after_s);
    CHECK(event.outcome == ShortOutcome::cleared);
}

TEST_CASE("a device that opens at its own load's current does not open for the short") {
    // R2 of 5 mohm with the short of 5 mohm beside it: a quarter of a per cent of the loop
    const TwoResistors made(1.0, 0.005);
    Sweep sweep(made.car.vehicle);
    sweep.set_curve("F1", 8.0, 0.02, 0.1);
    sweep.run();
    const ShortEvent& event = sweep.short_of("1.3", false);
    CHECK(event.opens.empty());
    CHECK(event.outcome == ShortOutcome::harmless);
    CHECK(event.over_after_s == 0.0);
    CHECK(event.last_a > 1.0); // through the short, past R2
}

TEST_CASE("a short of a small current that no conductor minds is harmless") {
    const TwoResistors made(12.0, 2.4);
    Sweep sweep(made.car.vehicle);
    sweep.run();
    const ShortEvent& event = sweep.short_of("1.3", false);
    // 0.83 A become 1 A; 2.5 mm2 stands some 30 A
    CHECK(event.fault_a == Approx(12.0 / 12.02).epsilon(0.005));
    CHECK(event.last_a == event.first_a);
    CHECK(event.outcome == ShortOutcome::harmless);
    CHECK(event.is_cleared());
    CHECK(event.over_after_s == 0.0);
}

TEST_CASE("a short that flows for good warms its wires as a load of that current would") {
    std::array<int, 3> seen{};
    for (const double first_ohm : {3.0, 0.8, 0.7, 0.62, 0.55, 0.48, 0.25, 0.15}) {
        CAPTURE(first_ohm);
        const TwoResistors made(first_ohm, 100.0, "0.5");
        Sweep sweep(made.car.vehicle);
        sweep.run();
        const ShortEvent& event = sweep.short_of("1.3", false);
        CHECK(event.opens.empty());
        CHECK(std::isinf(event.over_after_s));
        // the same wires at rest, with a load that takes what the short lets through
        const TwoResistors twin(first_ohm, sweep.value("short-contact"), "0.5");
        const Study study(twin.car.vehicle);
        const double rest_c = study.solve().wires[twin.middle.index()].conductor_c;
        const WireDesign& wire = sweep.design(made.middle);
        const double class_c = wire.insulation->limit.value();
        const double short_time_c = wire.insulation->short_time.value();
        const double air_c = sweep.value("air");
        if (rest_c < 300.0) {
            // as hot, the wires of the loop at rest have some per cent of its ohms more
            CHECK(event.hottest_c - air_c == Approx(rest_c - air_c).epsilon(0.05));
        }
        const bool is_near =
            std::abs(rest_c - class_c) < 8.0 || std::abs(rest_c - short_time_c) < 8.0;
        if (is_near) {
            continue; // either is right
        }
        CHECK(event.outcome == (rest_c > short_time_c ? ShortOutcome::fire
                                : rest_c > class_c    ? ShortOutcome::overheats
                                                      : ShortOutcome::carried));
        CHECK(event.is_cleared() == (rest_c < class_c));
        CHECK(event.overheated.empty() == (rest_c < class_c));
        ++seen.at(rest_c > short_time_c ? 2 : rest_c > class_c ? 1 : 0);
        for (const HotConductor& hot : event.overheated) {
            CHECK(hot.class_c == class_c);
            CHECK(hot.short_time_c == short_time_c);
            CHECK(std::isinf(hot.too_hot_after_s) == (hot.peak_c <= hot.short_time_c));
            CHECK(hot.peak_c > class_c);
        }
    }
    CHECK(seen[0] >= 1);
    CHECK(seen[1] >= 1);
    CHECK(seen[2] >= 1);
}

TEST_CASE("a wire that ran too hot before the short and hardly hotter after is not of its doing") {
    // 0.55 ohm and 10 mohm in a row: the short past the second adds a per cent of the current.
    // The wires of 0.5 mm2 are over their insulation's class either way.
    const TwoResistors made(0.55, 0.010, "0.5");
    Sweep sweep(made.car.vehicle);
    sweep.run();
    const double class_c = sweep.design(made.middle).insulation->limit.value();
    const double before_c = sweep.base[0].wires[made.first.index()].conductor_c;
    REQUIRE(before_c > class_c);
    const ShortEvent& event = sweep.short_of("1.3", false);
    REQUIRE(event.hottest.is_valid());
    CHECK(event.hottest_c > before_c);
    REQUIRE(event.hottest_c < before_c + 5.0);
    CHECK(event.overheated.empty());
    CHECK(event.is_cleared());
}

TEST_CASE(
    "relays that race when a short feeds both are settled one after the other, none is held") {
    // Each coil hangs on the other's break contact, and both minus on a switch that is open.
    // Shorted to metal both pull in together and cut each other off, fall out together, and so on;
    // as one of them is in truth the quicker, it stays in and locks the other out.
    Car car;
    car.source("G1", 12.0, 0.010);
    car.splice("X1");
    car.push("S1");
    car.ground("GND1");
    for (const char* const name : {"K1", "K2"}) {
        car.relay(name, 85.0, true);
        car.wire("G1.+", std::string(name) + ".30");
        car.wire(std::string(name) + ".85", "X1");
    }
    car.wire("K1.87a", "K2.86");
    car.wire("K2.87a", "K1.86");
    const WireId minus = car.wire("X1", "S1.1");
    car.wire("S1.2", "GND1");
    car.wire("G1.-", "GND1", "16", 0.2);
    Sweep sweep(car.vehicle);
    sweep.run();
    const ShortEvent& event = sweep.short_of(car.at(minus).number, true);
    CHECK(sweep.names(event.unexpected) == "K1"); // the first of the file wins
    CHECK(event.welded.empty());
    CHECK(event.dead.empty());
}

TEST_CASE("an alternator that comes with leads of its own gives nothing with its D+ on ground") {
    Car car;
    car.source("G1", 12.6, 0.010);
    const DeviceId generator = car.alternator("G2", 90.0, 40.0, 14.2);
    car.at(generator).case_body = 0;
    car.at(generator).case_terminal = 2;
    car.vehicle.supplied.push_back({.name = "tail",
                                    .device = generator,
                                    .leads = {{.name = "blue",
                                               .terminal = 1, // D+
                                               .size = ConductorSize{SizeStandard::iso, "1"},
                                               .length = Metres(0.2)}}});
    car.load("P1", LoadLaw::lamp, "lamp", 0.2, 12.0);
    car.heater("E1", 20.0, 12.0);
    car.ground("GND1");
    car.wire("G2.B+", "G1.+", "16", 0.5);
    car.wire("G1.-", "GND1", "16", 0.5);
    car.wire("G1.+", "E1.+", "6", 0.5);
    car.wire("E1.-", "GND1", "6", 0.5);
    car.wire("G1.+", "P1.+", "0.75", 0.5);
    const WireId to_field = car.wire("P1.-", "G2.D+", "0.75", 0.5);
    car.state("running", EngineCondition::running);
    Sweep sweep(car.vehicle);
    sweep.run();
    REQUIRE(sweep.study().is_on(sweep.base[0], "G2"));
    // without its field it has no voltage, however the short is reached
    const ShortEvent& field = sweep.short_of(car.at(to_field).number, false);
    CHECK(sweep.names(field.dead) == "G2");
    CHECK(sweep.names(field.unexpected) == "P1");
}

TEST_CASE("electronics that let go during a short and come back are resets, not losses") {
    // 12.6 V behind 50 mohm: some 150 A leave the posts 5 V until the fuse opens
    Car car;
    car.source("G1", 12.6, 0.050);
    std::get<Protection>(car.at(car.fuse("F1", 20.0)).spec).resistance = Ohms(0.002);
    car.heater("E1", 10.0, 12.0);
    car.load("A1", LoadLaw::constant_power, "electronics", 2.0, 12.0);
    car.load("P1", LoadLaw::lamp, "lamp", 0.2, 12.0);
    car.ground("GND1");
    car.wire("G1.+", "F1.in", "6", 0.5);
    car.wire("F1.out", "E1.+", "2.5", 1.0);
    car.wire("E1.-", "GND1", "2.5", 0.5);
    car.wire("G1.-", "GND1", "16", 0.5);
    car.wire("G1.+", "A1.+", "1", 0.5);
    car.wire("A1.-", "GND1", "1", 0.5);
    car.wire("G1.+", "P1.+", "1", 0.5);
    car.wire("P1.-", "GND1", "1", 0.5);
    Sweep sweep(car.vehicle);
    sweep.set_curve("F1", 100.0, 0.02, 0.1);
    sweep.run();
    const ShortEvent& event = sweep.short_of("1.2", false);
    CHECK(sweep.names(event.resets) == "A1"); // a lamp goes dim and is not told of
    CHECK(sweep.names(event.dead) == "E1");
    CHECK(event.unexpected.empty());
    CHECK(event.welded.empty());
    CHECK(event.outcome == ShortOutcome::cleared);
}

TEST_CASE("a short on the switched minus of a coil works its relay") {
    Car car;
    car.source("G1", 12.0, 0.010);
    car.relay("K1", 80.0);
    car.push("S1");
    car.heater("E1", 5.0, 12.0);
    car.ground("GND1");
    car.wire("G1.+", "K1.86", "1", 0.5);
    car.wire("K1.85", "S1.1", "1", 0.5);
    car.wire("S1.2", "GND1", "1", 0.5);
    car.wire("G1.+", "K1.30", "2.5", 0.5);
    car.wire("K1.87", "E1.+", "2.5", 0.5);
    car.wire("E1.-", "GND1", "2.5", 0.5);
    car.wire("G1.-", "GND1", "16", 0.5);
    Sweep sweep(car.vehicle);
    sweep.run();
    const ShortEvent& event = sweep.short_of("1.2", true);
    CHECK(sweep.names(event.unexpected) == "K1 E1");
    CHECK(event.dead.empty());
    CHECK(event.opens.empty());
    CHECK(event.outcome == ShortOutcome::carried); // a coil of 80 ohm at 12 V: 0.15 A
    CHECK(event.last_a == Approx(12.0 / 80.0).epsilon(0.01));
    CHECK(event.is_cleared());
}

TEST_CASE("a lost ground wakes a neighbour that lets current through, not one that blocks") {
    // X1 rises to the battery's plus through E2 (6 ohm). E1 hangs from the metal to X1, so it has
    // its voltage the wrong way round: a heater of 6 ohm half of 12 V, a lamp of diodes all of it
    // and no current.
    for (const bool blocks : {false, true}) {
        CAPTURE(blocks);
        Car car;
        car.source("G1", 12.0, 0.010);
        if (blocks) {
            car.load("E1", LoadLaw::constant_current, "led-lamp", 0.5, 12.0);
        } else {
            car.heater("E1", 2.0, 12.0);
        }
        car.heater("E2", 2.0, 12.0);
        car.splice("X1");
        car.ground("GND1");
        car.wire("G1.+", "E2.+");
        car.wire("E2.-", "X1");
        car.wire("X1", "GND1");
        car.wire("E1.-", "X1");
        car.wire("E1.+", "GND1");
        car.wire("G1.-", "GND1", "16", 0.2);
        Sweep sweep(car.vehicle);
        sweep.run();
        const OpenCase& lost = sweep.open_of("1.3");
        CHECK(lost.amps_before == Approx(2.0).epsilon(0.01));
        if (blocks) {
            CHECK(sweep.names(lost.dead) == "E2");
            CHECK(lost.unexpected.empty());
            continue;
        }
        REQUIRE(lost.unexpected.size() == 1);
        CHECK(sweep.names({lost.unexpected[0].device}) == "E1");
        CHECK(lost.unexpected[0].volts == Approx(-6.0).epsilon(0.01));
        CHECK(lost.unexpected[0].amps == Approx(-1.0).epsilon(0.01));
        CHECK(lost.unexpected[0].is_reversed);
    }
}

TEST_CASE("a controller that loses its feed lets its outputs go though its ground is whole") {
    Car car;
    car.source("G1", 12.6, 0.010);
    Controller made;
    made.parts = {{.part = TerminalPart::feed},
                  {.part = TerminalPart::ground},
                  {.part = TerminalPart::low_side}};
    made.draws = Demand{Amps(1.0), Volts(13.5)};
    made.needs = Volts(6.0);
    car.device("A1", {"power", "ground", "pump"}, made);
    car.push("S1");
    car.relay("K1", 80.0);
    car.heater("E1", 2.0, 12.0); // at the battery's 10 mohm it moves the controller by 20 mV
    car.ground("GND1");
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "A1.power");
    car.wire("A1.ground", "GND1");
    car.wire("G1.+", "K1.86"); // the coil has a feed of its own
    car.wire("K1.85", "A1.pump");
    car.wire("G1.+", "K1.30");
    car.wire("K1.87", "E1.+");
    car.wire("E1.-", "GND1");
    car.wire("G1.-", "GND1", "16", 0.2);
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    car.set_output(on, "A1.pump", true);
    Sweep sweep(car.vehicle);
    sweep.run();
    REQUIRE(sweep.study().is_on(sweep.base[0], "K1"));
    const OpenCase& lost = sweep.open_of("S1.1-2");
    CHECK(sweep.names(lost.dead) == "A1 K1 E1");
    CHECK(lost.unexpected.empty());
    CHECK(lost.chattering.empty());
    CHECK(lost.amps_before ==
          Approx(13.5 / sweep.study().device(sweep.base[0], "A1").volts).epsilon(1e-6));
    REQUIRE(lost.controllers.size() == 1);
    CHECK(lost.controllers[0].volts == Approx(0.0));
    // opened in the coil's way the controller keeps its volts, and is not told of
    const OpenCase& coil = sweep.open_of("1.4");
    CHECK(sweep.names(coil.dead) == "K1 E1");
    CHECK(coil.controllers.empty());
}

TEST_CASE("a controller of no current of its own dies with its feed, and lets its output go") {
    Car car;
    car.source("G1", 12.6, 0.010);
    car.fuse("F1", 10.0);
    car.fuse("F2", 10.0);
    Controller made; // neither draws nor sleeps: known by the voltage at its feed alone
    made.parts = {{.part = TerminalPart::feed},
                  {.part = TerminalPart::ground},
                  {.part = TerminalPart::low_side}};
    made.needs = Volts(6.0);
    car.device("A1", {"30", "31", "q"}, made);
    car.heater("E1", 2.0, 12.0);
    car.ground("GND1");
    car.wire("G1.+", "F1.in");
    const WireId feed = car.wire("F1.out", "A1.30");
    const WireId home = car.wire("A1.31", "GND1");
    car.wire("G1.+", "F2.in");
    const WireId lamp = car.wire("F2.out", "E1.+");
    car.wire("E1.-", "A1.q");
    car.wire("G1.-", "GND1", "16", 0.2);
    const StateId lit = car.state("lit");
    car.set_output(lit, "A1.q", true);
    Sweep sweep(car.vehicle);
    for (const char* fuse : {"F1", "F2"}) {
        sweep.set_curve(fuse, 20.0, 0.1, 0.5);
    }
    sweep.run();
    REQUIRE(sweep.study().is_on(sweep.base[0], "A1"));
    REQUIRE(sweep.study().is_on(sweep.base[0], "E1"));
    const auto number_of = [&](WireId wire) { return car.vehicle.wire(wire).number; };
    // F1 opens, and A1 has 0 V of its 6 V: E1's own feed by F2 is whole, and of no use.
    const ShortEvent& at_feed = sweep.short_of(number_of(feed), false);
    REQUIRE(at_feed.opens.size() == 1);
    CHECK(at_feed.opens[0].device == car.vehicle.find_device("F1"));
    CHECK(sweep.names(at_feed.dead) == "A1 E1");
    // Behind F2 it is E1 alone: with F2 open A1 has the battery's whole voltage again.
    const ShortEvent& at_lamp = sweep.short_of(number_of(lamp), false);
    REQUIRE(at_lamp.opens.size() == 1);
    CHECK(at_lamp.opens[0].device == car.vehicle.find_device("F2"));
    CHECK(sweep.names(at_lamp.dead) == "E1");
    // No current flows in its feed, and it is missed: with F1 open, or the wire behind it, nothing
    // is there.
    for (const std::string& opened : {std::string("F1"), number_of(feed)}) {
        CAPTURE(opened);
        CHECK(sweep.names(sweep.open_of(opened).dead) == "A1 E1");
    }
    // With its ground off nothing holds that terminal at the metal's voltage: it counts 0 V.
    const OpenCase& lost = sweep.open_of(number_of(home));
    CHECK(sweep.names(lost.dead) == "A1 E1");
    REQUIRE(lost.controllers.size() == 1);
    CHECK(lost.controllers[0].volts == Approx(0.0));
    CHECK(lost.controllers[0].needs_v == 6.0);
    CHECK_FALSE(lost.controllers[0].is_on);
}

TEST_CASE("a source that takes over from another is no sneak path") {
    // At 14.4 V the charger of 14.0 V gives nothing; with the alternator's lead open it gives,
    // which is what it is there for.
    Car car;
    car.source("G1", 12.6, 0.010);
    car.alternator("G2", 50.0, 40.0, 14.4);
    car.device("G3", {"+", "-"}, Charger{.limit = Amps(10.0), .regulates = Volts(14.0)});
    car.heater("E1", 5.0, 13.0);
    car.ground("GND1");
    car.wire("G2.B+", "G1.+", "16", 0.5);
    car.wire("G3.+", "G1.+", "6", 0.5);
    car.wire("G1.+", "E1.+", "4", 0.5);
    car.wire("E1.-", "GND1", "4", 0.5);
    car.wire("G1.-", "GND1", "16", 0.5);
    car.wire("G2.-", "GND1", "16", 0.5);
    car.wire("G3.-", "GND1", "6", 0.5);
    const StateId running = car.state("running", EngineCondition::running);
    car.set_level(running, "G3", 1.0);
    Sweep sweep(car.vehicle);
    sweep.run();
    REQUIRE_FALSE(sweep.study().is_on(sweep.base[0], "G3"));
    const OpenCase& lost = sweep.open_of("1.1");
    CHECK(sweep.names(lost.dead) == "G2");
    CHECK(lost.unexpected.empty());
    // A short of that lead is another matter: it names all that comes on.
    CHECK(sweep.names(sweep.short_of("1.1", true).unexpected) == "G3");
}

} // namespace loomwright
