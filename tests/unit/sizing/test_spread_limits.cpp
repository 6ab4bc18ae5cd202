// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/spread_limits.hpp"

#include "sizing/judged.hpp"
#include "sizing/limits.hpp"
#include "study/controller_supply.hpp"
#include "study/study_bench.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

/// A controller with one feed that is always live and one behind a switch, a lamp behind a diode, a
/// battery on charge.
struct SpreadCar : Car {
    SpreadCar() {
        battery("G1", 60.0, 500.0);
        alternator("G2", 60.0, 30.0, 14.2);
        push("S1");
        diode = device("V1", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(1.0)});
        lamp = load("E1", LoadLaw::lamp, "lamp", 2.0, 12.0);
        Controller made;
        made.parts = {{.part = TerminalPart::feed},
                      {.part = TerminalPart::feed},
                      {.part = TerminalPart::ground}};
        made.draws = Demand{Amps(3.0), Volts(12.0)};
        made.needs = Volts(9.0);
        controller = device("A1", {"30", "15", "31"}, made);
        ground("GND1");
        ground("GND2");
        wire("G1.-", "GND1", "25", 0.5);
        wire("G2.B+", "G1.+", "10", 1.5);
        wire("G2.-", "GND1", "10", 0.5);
        wire("G1.+", "S1.1", "2.5", 2.0);
        wire("S1.2", "V1.a", "1", 2.0);
        wire("V1.k", "E1.+", "1", 2.0);
        wire("E1.-", "GND2", "1", 1.0);
        wire("G1.+", "A1.30", "1", 4.0);
        wire("S1.2", "A1.15", "1", 2.0);
        wire("A1.31", "GND2", "1", 1.0);
        off = state("off");
        running = state("running", EngineCondition::running);
        set_position(running, "S1", 1);
        vehicle.states[running.index()].expect_on = {{.value = lamp, .where = {}}};
        cranking = state("cranking", EngineCondition::cranking);
        set_position(cranking, "S1", 1);
    }
    DeviceId diode;
    DeviceId lamp;
    DeviceId controller;
    StateId off;
    StateId running;
    StateId cranking;
};

double spans_v(const SpreadLimit& limit, const StateSolution& solution) {
    double volts = 0.0;
    for (const auto& [from, to] : limit.spans) {
        volts += solution.node_volts[static_cast<std::size_t>(from)] -
                 solution.node_volts[static_cast<std::size_t>(to)];
    }
    return volts;
}

long count_of(const std::vector<SpreadLimit>& limits, SpreadLimit::Kind kind) {
    return std::ranges::count(limits, kind, &SpreadLimit::kind);
}

} // namespace

TEST_CASE("the drop of a sample is that of the judged way, diodes left out") {
    const SpreadCar car;
    const Study study(car.vehicle);
    const StateSolution solved = study.solve(car.running);
    const std::vector<SpreadLimit> limits = spread_limits(study.input(), study.design, solved);
    const std::vector<LoadDrop> drops = load_drops(study.input(), solved);
    REQUIRE(count_of(limits, SpreadLimit::Kind::drop) == static_cast<long>(drops.size()));
    REQUIRE(drops.size() == 3); // lamp, controller, battery on charge
    for (std::size_t i = 0; i < drops.size(); ++i) {
        CAPTURE(i);
        CHECK(limits[i].device == drops[i].load);
        CHECK(limits[i].limit == drops[i].limit_v);
        CHECK(std::abs(spans_v(limits[i], solved) - drops[i].drop_v) < 1e-9);
    }
    // By hand: what wires, switch, grounds take of the lamp's way, from the battery and back.
    const auto drop_of = [&](std::size_t wire) { return std::abs(solved.wires[wire].drop_v); };
    const double lamp_a = solved.devices[car.lamp.index()].amps;
    const double both_a = lamp_a + solved.devices[car.controller.index()].amps;
    const double by_hand =
        drop_of(3) + drop_of(4) + drop_of(5) + drop_of(6) + both_a * study.value("switch-contact");
    CHECK(spans_v(limits[0], solved) == doctest::Approx(by_hand).epsilon(0.1));
    CHECK(spans_v(limits[0], solved) < by_hand + 0.05); // not the diode's 0.7 V
}

TEST_CASE("each state has the limits that concern it") {
    const SpreadCar car;
    const Study study(car.vehicle);
    const auto limits_of = [&](StateId state) {
        return spread_limits(study.input(), study.design, study.solve(state));
    };
    const auto parked = limits_of(car.off);
    CHECK(count_of(parked, SpreadLimit::Kind::controller) == 0); // may sleep
    CHECK(count_of(parked, SpreadLimit::Kind::insulation) ==
          static_cast<long>(car.vehicle.wires.size()));
    const auto running = limits_of(car.running);
    CHECK(count_of(running, SpreadLimit::Kind::controller) == 1);
    CHECK(count_of(running, SpreadLimit::Kind::on) == 1);
    const auto cranking = limits_of(car.cranking);
    CHECK(count_of(cranking, SpreadLimit::Kind::controller) == 1);
    CHECK(count_of(cranking, SpreadLimit::Kind::insulation) == 0); // too short to warm a wire
    CHECK(count_of(cranking, SpreadLimit::Kind::drop) == 0);       // no starter in this car
    const auto found =
        std::ranges::find(cranking, SpreadLimit::Kind::controller, &SpreadLimit::kind);
    CHECK(found->limit == 9.0);
}

TEST_CASE("every relay and every starter has to stand as in the nominal car") {
    // Tables defaults: both pull in at 0.667 of 12 V where they say nothing of their own.
    SpreadCar car;
    const DeviceId own = car.relay("K1", 85.0);
    std::get<Relay>(car.at(own).spec).pulls_in = Volts(7.2);
    const DeviceId plain = car.relay("K2", 85.0);
    const DeviceId starter = car.device("M1", {"30", "50", "31"}, Starter{});
    car.wire("S1.2", "K1.86");
    car.wire("K1.85", "GND2");
    const Study study(car.vehicle);
    for (const auto& [state, k1_is_in] :
         {std::pair(car.running, true), std::pair(car.off, false)}) {
        std::vector<SpreadLimit> coils =
            spread_limits(study.input(), study.design, study.solve(state));
        std::erase_if(
            coils, [](const SpreadLimit& limit) { return limit.kind != SpreadLimit::Kind::coil; });
        REQUIRE(coils.size() == 3);
        CHECK(coils[0].device == own);
        CHECK(coils[0].limit == 7.2);
        CHECK(coils[0].is_on == k1_is_in);
        CHECK(coils[1].device == plain);
        CHECK(coils[1].limit == doctest::Approx(0.667 * 12.0));
        CHECK_FALSE(coils[1].is_on); // no wire leads to it
        CHECK(coils[2].device == starter);
        CHECK(coils[2].limit == doctest::Approx(0.667 * 12.0));
        CHECK_FALSE(coils[2].is_on);
    }
}

TEST_CASE("the voltage of each load that works is a figure to draw, and of none that does not") {
    const SpreadCar car;
    const Study study(car.vehicle);
    const auto has_lamp = [&](StateId state) {
        const StateSolution solved = study.solve(state);
        const auto figures = judged_figures(study.input(), solved, {});
        return std::ranges::any_of(figures, [&](const SpreadFigure& figure) {
            return figure.kind == SpreadFigure::Kind::device_volts &&
                   figure.index == car.lamp.index();
        });
    };
    CHECK(has_lamp(car.running));
    CHECK_FALSE(has_lamp(car.off));
    // And what each limit is held against, but for those that ask on or off.
    const StateSolution solved = study.solve(car.running);
    const std::vector<SpreadLimit> limits = spread_limits(study.input(), study.design, solved);
    const auto figures = judged_figures(study.input(), solved, limits);
    std::vector<std::size_t> judged;
    for (std::size_t i = 0; i < limits.size(); ++i) {
        if (limits[i].kind != SpreadLimit::Kind::on && limits[i].kind != SpreadLimit::Kind::off) {
            judged.push_back(i);
        }
    }
    std::vector<std::size_t> named;
    for (const SpreadFigure& figure : figures) {
        if (figure.kind == SpreadFigure::Kind::limit) {
            named.push_back(figure.index);
        }
    }
    REQUIRE(judged.size() < limits.size());
    CHECK(named == judged);
}

TEST_CASE("a controller has what its worst live feed has over its worst ground") {
    const SpreadCar car;
    const Study study(car.vehicle);
    const auto& made = *car.vehicle.device(car.controller).as<Controller>();
    const auto supply = [&](const StateSolution& solution) {
        return controller_supply(study.network, car.controller, made, solution);
    };
    const StateSolution running = study.solve(car.running);
    const double ground = study.volts(running, "A1.31");
    const ControllerSupply here = supply(running);
    CHECK(here.feed == 1); // the switched one carries the current
    CHECK(here.volts == doctest::Approx(study.volts(running, "A1.15") - ground));
    CHECK(here.volts < study.volts(running, "A1.30") - ground);
    // With its switched feed off it only keeps its memory.
    const ControllerSupply asleep = supply(study.solve(car.off));
    CHECK(asleep.feed == -1);
    CHECK(asleep.volts == 0.0);
}
