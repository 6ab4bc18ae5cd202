// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/heat.hpp"
#include "study/study_bench.hpp"

#include <cmath>
#include <vector>

using namespace loomwright;
using loomwright::testing::add_grounded_battery;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

/// 14 A at 13 V, 42 A when it starts.
DeviceId fan_motor(Car& car, std::string name) {
    const DeviceId fan = car.load(std::move(name), LoadLaw::constant_current, "motor", 14.0, 13.0);
    std::get<Load>(car.at(fan).spec).inrush =
        Inrush{.current = Amps(42.0), .duration = Seconds(0.4)};
    return fan;
}

} // namespace

TEST_CASE("one lamp's worth of resistance, summed by hand") {
    Car car;
    add_grounded_battery(car);
    car.heater("E1", 6.0, 12.0); // 2 ohm
    car.ground("GND2");
    car.wire("G1.+", "E1.+", "1.5", 4.0);
    car.wire("E1.-", "GND2", "1.5", 0.5);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    double ohm = 0.02 + 2.0 + 2.0 * study.value("ground-bond");
    for (const WireState& wire : solution.wires) {
        ohm += wire.ohm;
    }
    CHECK(study.device(solution, "E1").amps == doctest::Approx(12.0 / ohm).epsilon(1e-12));
    CHECK(study.device(solution, "E1").volts == doctest::Approx(24.0 / ohm).epsilon(1e-12));
    CHECK(study.device(solution, "G1").amps == doctest::Approx(12.0 / ohm).epsilon(1e-12));
    CHECK(study.device(solution, "G1").on);
    CHECK(state_name(car.vehicle, solution) == "as built");
    CHECK(study.volts(solution, "chassis") == 0.0);
}

TEST_CASE("every wire's temperature satisfies the heat balance at its own current, to 0.01 K") {
    Car car;
    const ZoneId hot = car.zone("bay", 90.0);
    const PointId point = car.point("p", hot);
    add_grounded_battery(car);
    car.at(car.heater("E1", 40.0, 12.0)).at = point;
    car.at(car.splice("SP1")).at = point;
    car.ground("GND2");
    car.wire("G1.+", "SP1", "10", 2.0);
    car.wire("SP1", "E1.+", "2.5", 3.0);
    car.wire("E1.-", "GND2", "4", 1.0);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    for (std::size_t i = 0; i < solution.wires.size(); ++i) {
        const WireState& wire = solution.wires[i];
        const WireDesign& design = study.design.wires[i];
        const solve::WireBody body{
            .r20_ohm_per_m = design.conductor->r20_ohm_per_m,
            .conductor_diameter_m = design.conductor->diameter.value(),
            .outside_diameter_m =
                study.catalogue.outside_diameter(*design.conductor, *design.insulation).value(),
            .insulation_w_per_m_k = design.insulation->conductivity_w_per_m_k,
            .emissivity = study.value("emissivity")};
        CHECK(std::abs(wire.conductor_c -
                       solve::conductor_temperature_c(body, wire.amps, wire.air_c)) < 0.015);
        CHECK(wire.ohm ==
              doctest::Approx(design.r20_ohm() * (1.0 + 0.00393 * (wire.conductor_c - 20.0)))
                  .epsilon(1e-12));
        CHECK(wire.drop_v == doctest::Approx(wire.amps * wire.ohm).epsilon(1e-9));
    }
    CHECK(solution.wires[2].air_c == 90.0);
    CHECK(solution.wires[2].conductor_c > 110.0); // 40 A in 2.5 mm2 at 90 C is hot
    CHECK(solution.runaways.empty());
}

TEST_CASE("the air of a state replaces that of the zones") {
    Car car;
    add_grounded_battery(car);
    car.heater("E1", 0.001, 12.0);
    car.ground("GND2");
    car.wire("G1.+", "E1.+");
    car.wire("E1.-", "GND2");
    const StateId frost = car.state("frost");
    car.vehicle.states.back().air = Celsius(-20.0);
    const Study study(car.vehicle);
    CHECK(study.solve(frost).wires[1].conductor_c == doctest::Approx(-20.0).epsilon(1e-3));
}

TEST_CASE("a wire whose heat cannot leave is named, and taken at 1000 C") {
    Car car;
    car.source("G1", 12.0, 0.001);
    car.heater("E1", 200.0, 12.0);
    car.wire("G1.+", "E1.+", "0.5", 0.2);
    car.wire("E1.-", "G1.-", "95", 0.2);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    REQUIRE(solution.runaways.size() == 1);
    CHECK(solution.runaways[0] == WireId(0));
    CHECK(solution.wires[0].conductor_c == 1000.0);
    CHECK(solution.failure.find("wire 1.1") != std::string::npos);
}

TEST_CASE("a switch rests in its first position, a state sets another") {
    Car car;
    add_grounded_battery(car);
    car.push("S1");
    car.heater("E1", 5.0, 12.0);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "E1.+");
    car.wire("E1.-", "GND1");
    const StateId off = car.state("off");
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    const Study study(car.vehicle);
    const StateSolution rest = study.solve(off);
    CHECK_FALSE(study.is_on(rest, "E1"));
    CHECK_FALSE(study.is_on(rest, "S1"));
    CHECK(study.device(rest, "E1").amps == 0.0);
    const StateSolution set = study.solve(on);
    CHECK(study.is_on(set, "E1"));
    CHECK(study.is_on(set, "S1"));
    CHECK(study.device(set, "S1").amps == doctest::Approx(study.device(set, "E1").amps));
    CHECK(study.device(set, "S1").volts ==
          doctest::Approx(study.device(set, "E1").amps * study.value("switch-contact")));
}

TEST_CASE("a load's level scales its current; at nothing it is gone") {
    Car car;
    add_grounded_battery(car);
    car.load("M1", LoadLaw::constant_current, "motor", 8.0, 13.0);
    car.wire("G1.+", "M1.+");
    car.wire("M1.-", "GND1");
    const StateId full = car.state("full");
    const StateId part = car.state("part");
    car.set_level(part, "M1", 0.7);
    const StateId none = car.state("none");
    car.set_level(none, "M1", 0.0);
    const Study study(car.vehicle);
    CHECK(study.device(study.solve(full), "M1").amps == doctest::Approx(8.0));
    CHECK(study.device(study.solve(part), "M1").amps == doctest::Approx(5.6));
    const StateSolution off = study.solve(none);
    CHECK(study.device(off, "M1").amps == 0.0);
    CHECK_FALSE(study.is_on(off, "M1"));
}

// V = E + I R, E in proportion to the speed: any textbook of direct-current machines.
TEST_CASE("a fan that the wind turns gives a voltage like a generator, and less into a load") {
    Car car;
    const DeviceId fan = fan_motor(car, "M1");
    car.ground("GND1");
    car.ground("GND2");
    car.heater("E1", 6.0, 12.0); // 2 ohm
    car.wire("M1.+", "E1.+", "1.5", 2.0);
    car.wire("M1.-", "GND1", "1.5", 0.5);
    car.wire("E1.-", "GND2", "1.5", 0.5);
    const StateId blown = car.state("blown");
    car.vehicle.states[blown.index()].turning = {{.device = fan, .speed = 0.8, .where = {}}};
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(blown);
    const double winding_ohm = 13.0 / 42.0; // stands still and draws its start pulse
    const double emf_v = 0.8 * (13.0 - 14.0 * winding_ohm);
    double ohm = winding_ohm + 2.0 + 2.0 * study.value("ground-bond");
    for (const WireState& wire : solution.wires) {
        ohm += wire.ohm;
    }
    REQUIRE(solution.converged);
    CHECK(study.device(solution, "E1").amps == doctest::Approx(emf_v / ohm).epsilon(1e-12));
    CHECK(study.device(solution, "M1").amps == doctest::Approx(-emf_v / ohm).epsilon(1e-12));
    CHECK_FALSE(study.device(solution, "M1").on); // it gives
    CHECK(solution.power_error < 1e-9);
}

TEST_CASE("a fan that turns at its full speed takes what is written, and a slower one more") {
    for (const double speed : {1.0, 0.5}) {
        CAPTURE(speed);
        Car car;
        car.source("G1", 13.0, 1e-6);
        const DeviceId fan = fan_motor(car, "M1");
        car.wire("G1.+", "M1.+", "50", 0.001);
        car.wire("G1.-", "M1.-", "50", 0.001);
        const StateId blown = car.state("blown");
        car.vehicle.states[blown.index()].turning = {{.device = fan, .speed = speed, .where = {}}};
        const Study study(car.vehicle);
        const StateSolution solution = study.solve(blown);
        const double winding_ohm = 13.0 / 42.0;
        const double emf_v = speed * (13.0 - 14.0 * winding_ohm);
        // The two wires and the source's own resistance are some microohms.
        CHECK(study.device(solution, "M1").amps ==
              doctest::Approx((13.0 - emf_v) / winding_ohm).epsilon(1e-4));
        CHECK(study.device(solution, "M1").on);
    }
}

TEST_CASE("an alternator holds its voltage up to what it can give, then gives no more") {
    Car car;
    car.alternator("G2", 90.0, 40.0, 14.2);
    car.at(DeviceId(0)).case_body = 0;
    car.at(DeviceId(0)).case_terminal = 2;
    car.source("G1", 12.0, 0.01);
    car.ground("GND1");
    car.load("M1", LoadLaw::constant_current, "motor", 60.0, 13.0);
    car.wire("G2.B+", "M1.+", "25", 0.5);
    car.wire("M1.-", "GND1", "25", 0.5);
    car.wire("G1.+", "M1.+", "25", 0.5);
    car.wire("G1.-", "GND1", "25", 0.5);
    const StateId stopped = car.state("stopped");
    const StateId idle = car.state("idle", EngineCondition::idle);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution at_rest = study.solve(stopped);
    CHECK_FALSE(study.is_on(at_rest, "G2"));
    CHECK(study.device(at_rest, "G1").amps == doctest::Approx(60.0).epsilon(1e-3));
    const StateSolution at_idle = study.solve(idle);
    // Its place is not given: air of 50 C. Between 25 C and 95 C it loses 15 % (memory), so here
    // 40 A x (1 - 0.15 x 25 / 70).
    const double most = 40.0 * (1.0 - 0.15 * 25.0 / 70.0);
    CHECK(study.device(at_idle, "G2").most_a == doctest::Approx(most));
    CHECK(study.device(at_idle, "G2").amps == doctest::Approx(most));
    CHECK(study.device(at_idle, "G1").amps == doctest::Approx(60.0 - most));
    const StateSolution at_speed = study.solve(running);
    const DeviceState& alternator = study.device(at_speed, "G2");
    CHECK(alternator.volts ==
          doctest::Approx(14.2 - alternator.amps * study.value("alternator-resistance")));
    CHECK(study.device(at_speed, "G1").amps < 0.0); // on charge
    CHECK_FALSE(study.is_on(at_speed, "G1"));
    CHECK(alternator.amps ==
          doctest::Approx(60.0 - study.device(at_speed, "G1").amps).epsilon(1e-9));
}

TEST_CASE("the charge lamp is lit through the field, and out when the alternator turns") {
    Car car;
    add_grounded_battery(car);
    car.alternator("G2", 90.0, 40.0, 14.2);
    car.load("P1", LoadLaw::lamp, "lamp", 2.0 / 13.5, 13.5);
    car.wire("G2.-", "GND1");
    car.wire("G2.B+", "G1.+", "16", 1.0);
    car.wire("G1.+", "P1.+");
    car.wire("P1.-", "G2.D+");
    const StateId stopped = car.state("stopped");
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution at_rest = study.solve(stopped);
    CHECK(study.is_on(at_rest, "P1"));
    CHECK(study.volts(at_rest, "G2.D+") < 1.0);
    const StateSolution turning = study.solve(running);
    CHECK_FALSE(study.is_on(turning, "P1"));
    CHECK(study.volts(turning, "G2.D+") == doctest::Approx(14.2).epsilon(0.01));
}

TEST_CASE("a lost common ground: two lamps in series through a third terminal") {
    // A cluster whose ground is off: the tail lamp feeds back through the brake lamp to its switch
    // side, which hangs on nothing else; both stay dark but not dead.
    Car car;
    add_grounded_battery(car);
    car.device("E7", {"58", "54", "31"}, Unit{});
    for (const auto& [name, own] : {std::pair("E7/tail", 0), std::pair("E7/brake", 1)}) {
        const DeviceId lamp = car.heater(name, 2.0, 12.0);
        car.at(lamp).housing = car.vehicle.find_device("E7");
        car.at(lamp).housing_terminal = {own, 2};
    }
    car.heater("E8", 2.0, 12.0); // another brake lamp on the same feed, well grounded
    car.wire("G1.+", "E7.58");
    car.wire("E7.54", "E8.+");
    car.wire("E8.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.device(solution, "E8").amps == doctest::Approx(12.0 / 18.0).epsilon(0.01));
    CHECK(study.device(solution, "E7/brake").amps < 0.0); // the wrong way round
    CHECK_FALSE(study.is_on(solution, "E8"));
}

TEST_CASE("an LED lamp blocks the wrong way round") {
    Car car;
    add_grounded_battery(car);
    car.load("E1", LoadLaw::constant_current, "led-lamp", 0.5, 13.5);
    car.heater("E2", 2.0, 12.0);
    car.wire("G1.+", "E1.-"); // joined back to front
    car.wire("E1.+", "E2.+");
    car.wire("E2.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.device(solution, "E2").amps == 0.0);
    CHECK_FALSE(study.is_on(solution, "E1"));
}

TEST_CASE("all states in their order, whatever the threads do") {
    Car car;
    add_grounded_battery(car);
    car.load("E1", LoadLaw::lamp, "lamp", 4.0, 13.5);
    car.wire("G1.+", "E1.+");
    car.wire("E1.-", "GND1");
    for (int i = 0; i < 23; ++i) {
        car.set_level(car.state("s" + std::to_string(i)), "E1", 0.04 * i);
    }
    const Study study(car.vehicle);
    const std::vector<StateSolution> all = solve_states(study.input(), study.design);
    REQUIRE(all.size() == 23);
    for (std::size_t i = 0; i < all.size(); ++i) {
        const StateSolution one = solve_state(study.input(), study.design, StateId(i));
        CHECK(all[i].state == StateId(i));
        CHECK(all[i].node_volts == one.node_volts); // to the last bit
        CHECK(all[i].branch_amps == one.branch_amps);
    }
}

TEST_CASE("going on from a nearby design gives the same answer as starting from rest") {
    Car car;
    add_grounded_battery(car);
    car.relay("K1", 85.0);
    car.fuse("F1", 15.0);
    car.push("S1");
    car.load("M1", LoadLaw::constant_current, "motor", 12.0, 13.0);
    car.wire("G1.+", "F1.in");
    car.wire("F1.out", "K1.30");
    car.wire("K1.87", "M1.+", "1.5", 3.0);
    car.wire("M1.-", "GND1", "1.5", 1.0);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "K1.86");
    car.wire("K1.85", "GND1");
    car.state("off");
    car.set_position(car.state("on"), "S1", 1);
    const Study study(car.vehicle);
    Design thicker = study.design;
    thicker.wires[3].conductor = study.catalogue.find_conductor({SizeStandard::iso, "4"});
    thicker.ratings[car.vehicle.find_device("F1").index()] = Amps(20.0);
    StateStudy states(study.input());
    (void)states.solve(study.design);
    const std::vector<StateSolution> on = states.solve_on(thicker);
    const std::vector<StateSolution> afresh = solve_states(study.input(), thicker);
    REQUIRE(on.size() == 2);
    for (std::size_t i = 0; i < on.size(); ++i) {
        CHECK(on[i].converged);
        CHECK(on[i].closed == afresh[i].closed);
        for (std::size_t n = 0; n < on[i].node_volts.size(); ++n) {
            // Conductors are settled to 0.01 K, which is 4e-5 of their drop.
            CHECK(std::abs(on[i].node_volts[n] - afresh[i].node_volts[n]) < 5e-5);
        }
    }
    const std::vector<StateSolution> back = states.solve(study.design);
    const std::vector<StateSolution> first = solve_states(study.input(), study.design);
    CHECK(back[1].node_volts == first[1].node_volts); // from rest: to the last bit
}

TEST_CASE("a vehicle without a source is dark, and that is an answer") {
    Car car;
    car.heater("E1", 5.0, 12.0);
    car.splice("SP1");
    car.wire("SP1", "E1.+");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(solution.floating == std::vector<std::uint8_t>(solution.floating.size(), 1));
    CHECK_FALSE(study.is_on(solution, "E1"));
}

TEST_CASE(
    "a controller whose draw is not given has the best of its feeds, and 0 V when none is live") {
    Car car;
    car.source("G1", 12.0, 0.01);
    car.push("S1");
    Controller made;
    made.parts = {{.part = TerminalPart::feed}, {.part = TerminalPart::ground}};
    car.device("A1", {"15", "31"}, made);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "A1.15");
    car.wire("A1.31", "G1.-");
    const StateId off = car.state("off");
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    const Study study(car.vehicle);
    CHECK(study.device(study.solve(off), "A1").volts == doctest::Approx(0.0));
    CHECK(study.device(study.solve(on), "A1").volts == doctest::Approx(12.0).epsilon(1e-3));
}

TEST_CASE(
    "a relay that holds itself stays in after the first state of the car, and after no other") {
    Car car;
    add_grounded_battery(car);
    car.push("S1");
    car.relay("K1", 85.0);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "K1.86");
    car.wire("K1.85", "GND1");
    car.wire("G1.+", "K1.30");
    car.wire("K1.87", "K1.86");
    const StateId pressed = car.state("pressed");
    car.set_position(pressed, "S1", 1);
    const StateId held = car.state("held");
    car.vehicle.states[held.index()].after = pressed;
    const StateId asleep = car.state("asleep");
    const StateId later = car.state("later");
    car.vehicle.states[later.index()].after = asleep;
    const Study study(car.vehicle);
    const std::vector<StateSolution> solved = solve_states(study.input(), study.design);
    REQUIRE(solved.size() == 4);
    CHECK(study.is_on(solved[pressed.index()], "K1"));
    CHECK(study.is_on(solved[held.index()], "K1"));
    CHECK_FALSE(study.is_on(solved[asleep.index()], "K1"));
    CHECK_FALSE(study.is_on(solved[later.index()], "K1"));
}

TEST_CASE("a wire's drop is its current times its resistance, though it be billionths of a volt") {
    // 1 nA through milliohms, beside 12 V: what the last digit of a voltage of 12 V can tell is
    // a ten-thousandth of that.
    Car car;
    add_grounded_battery(car);
    car.heater("E1", 1e-9, 12.0); // 12 Gohm
    car.ground("GND2");
    car.splice("SP1");
    car.wire("G1.+", "SP1", "2.5", 1.3);
    car.wire("SP1", "E1.+", "1.5", 0.7);
    car.wire("E1.-", "GND2", "1.5", 0.5);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    const double amps = 1e-9; // the rest of the way is less than 1e-11 of it
    for (const WireState& wire : solution.wires) {
        // as a share of it: what small numbers differ by is small in itself
        CHECK(std::abs(wire.drop_v) / (amps * wire.ohm) == doctest::Approx(1.0).epsilon(1e-9));
    }
}
