// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What batteries live on, against closed forms.
#include "study/energy.hpp"
#include "study/study_bench.hpp"

#include <array>
#include <cmath>

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

constexpr double capacity_as = 60.0 * 3600.0;

/// A battery of 60 Ah, 5 mohm, that follows its charge; plus and minus are free.
DeviceId add_charged_battery(Car& car, double charge, std::string name = "G1") {
    Battery made;
    made.capacity = Coulombs(capacity_as);
    made.resistance = Ohms(0.005);
    made.charge = charge;
    made.temperature = Celsius(20.0);
    return car.device(std::move(name), {"+", "-"}, made);
}

Drive drive_of(StateId state, double seconds) {
    Drive drive;
    drive.name = "test";
    drive.legs.push_back({state, Seconds(seconds), {}});
    return drive;
}

/// Battery, load E1, thick wires; the whole resistance outside the battery is the load's.
struct OneLoad {
    explicit OneLoad(double charge, LoadLaw law, double amps) {
        add_charged_battery(car, charge);
        car.ground("GND1");
        car.load("E1", law, law == LoadLaw::resistance ? "heater" : "motor", amps, 12.0);
        car.wire("G1.+", "E1.+", "95", 0.01);
        car.wire("E1.-", "G1.-", "95", 0.01);
        car.wire("G1.-", "GND1", "95", 0.01);
        state = car.state("on");
    }
    Car car;
    StateId state;
};

} // namespace

TEST_CASE("a steady current takes I t out of a battery") {
    OneLoad bench(1.0, LoadLaw::constant_current, 6.0);
    bench.car.vehicle.states.front().engine = EngineCondition::cranking; // no self-discharge
    const Study study(bench.car.vehicle);
    const DriveCourse course =
        drive_course(study.input(), study.design, drive_of(bench.state, 3600.0));
    CHECK(course.failure.empty());
    CHECK(course.points.back().time_s == doctest::Approx(3600.0));
    CHECK(course.points.back().charge.front() == doctest::Approx(1.0 - 6.0 / 60.0).epsilon(1e-9));
}

TEST_CASE("a drive is looked at each hundredth of the charge, and four times in a leg") {
    struct Case {
        double amps;
        double seconds;
        std::size_t steps;
    };
    for (const Case& one : {Case{0.06, 3600.0, 4},     // 0.1 %
                            Case{2.3, 3600.0, 4},      // 3.8 %
                            Case{2.5, 3600.0, 5},      // 4.2 %
                            Case{5.7, 3600.0, 10},     // 9.5 %
                            Case{5.6, 7200.0, 19},     // 18.7 %
                            Case{34.5, 3600.0, 58}}) { // 57.5 %
        CAPTURE(one.amps);
        OneLoad bench(1.0, LoadLaw::constant_current, one.amps);
        bench.car.vehicle.states.front().engine = EngineCondition::cranking; // no self-discharge
        const Study study(bench.car.vehicle);
        const DriveCourse course =
            drive_course(study.input(), study.design, drive_of(bench.state, one.seconds));
        CHECK(course.failure.empty());
        CHECK(course.points.size() == one.steps + 1); // and where it began
        for (std::size_t i = 1; i < course.points.size(); ++i) {
            const double passed_s = course.points[i].time_s - course.points[i - 1].time_s;
            CHECK(passed_s <= one.seconds / 4.0 * (1.0 + 1e-9));
            CHECK(one.amps * passed_s / capacity_as <= 0.01 * (1.0 + 1e-6));
        }
        CHECK(course.points.back().time_s == doctest::Approx(one.seconds));
    }
}

TEST_CASE("through a resistance a battery falls like a capacitor while its voltage is straight") {
    // Between 75 % (12.4 V) and 50 % (12.2 V) of the table, E is a straight line in the charge: the
    // battery is a capacitor of C dq/dE behind R0, whose discharge is an exponential (any textbook
    // of circuits). 12 ohm at 12 V for 1 A; 8 h.
    OneLoad bench(0.74, LoadLaw::resistance, 1.0);
    bench.car.vehicle.states.front().engine = EngineCondition::cranking;
    const Study study(bench.car.vehicle);
    const double seconds = 8.0 * 3600.0;
    const DriveCourse course =
        drive_course(study.input(), study.design, drive_of(bench.state, seconds));
    const double farads = capacity_as * 0.25 / 0.2;
    const double start_v = 12.2 + 0.24 / 0.25 * 0.2;
    // Wires and both bits of metal are in the settled answer; their resistance is under 0.1 mohm.
    const double ohm = 12.0 + 0.005;
    const double end_v = start_v * std::exp(-seconds / (ohm * farads));
    const double end_charge = 0.5 + 0.25 * (end_v - 12.2) / 0.2;
    CHECK(course.points.back().charge.front() == doctest::Approx(end_charge).epsilon(1e-5));
}

TEST_CASE("a drive ends when the battery is flat, and says so") {
    OneLoad bench(0.1, LoadLaw::constant_current, 6.0);
    const Study study(bench.car.vehicle);
    const DriveCourse course =
        drive_course(study.input(), study.design, drive_of(bench.state, 7200.0));
    CHECK(course.failure == "G1 is flat");
    CHECK(course.points.back().charge.front() < 1e-9);
    // 10 % of 60 Ah at 6 A: an hour, a little less by self-discharge (0.1 % a day).
    CHECK(course.points.back().time_s < 3600.0);
    CHECK(course.points.back().time_s > 3590.0);
}

TEST_CASE("how long a parked car still starts: the charge it may lose over its drain") {
    OneLoad bench(1.0, LoadLaw::constant_current, 0.05);
    bench.car.vehicle.states.front().lasts = Seconds(30.0 * 86400.0);
    const Study study(bench.car.vehicle);
    const auto states = solve_states(study.input(), study.design);
    const auto parked = parked_drains(study.input(), study.design, states, ParkedTrial::to_the_end);
    REQUIRE(parked.size() == 1);
    CHECK(parked.front().drain_a == doctest::Approx(0.05).scale(0.0));
    CHECK_FALSE(parked.front().cranked_by.is_valid());
    // No cranking state: until half is left (practice). Self-discharge 0.1 % a day (memory).
    const double a_second = 0.05 / capacity_as + 0.001 / 86400.0;
    REQUIRE(parked.front().starts_until_s.has_value());
    CHECK(*parked.front().starts_until_s == doctest::Approx(0.5 / a_second).epsilon(2e-3));
    CHECK(parked.front().least_charge == doctest::Approx(0.5).epsilon(2e-3));
}

TEST_CASE("cranking at -18 C: the battery behind its J537 resistance") {
    // 600 A of cold cranking current give 7.2 V at -18 C (SAE J537), where the open-circuit voltage
    // is 1.3 mV/K lower (memory). 200 A through thick cables.
    Car car;
    car.battery("G1", 60.0, 600.0);
    Starter made;
    made.draws = {.current = Amps(200.0), .at = Volts(10.0)};
    made.inrush = Inrush{Amps(500.0), Seconds(0.1)};
    made.solenoid = Ohms(0.5);
    car.device("M1", {"30", "50", "31"}, made);
    car.ground("GND1");
    car.push("S1");
    car.wire("G1.+", "M1.30", "95", 0.001);
    car.wire("M1.31", "G1.-", "95", 0.001);
    car.wire("G1.-", "GND1", "95", 0.001);
    car.wire("G1.+", "S1.1", "6", 0.001);
    car.wire("S1.2", "M1.50", "6", 0.001);
    const StateId crank = car.state("cranking", EngineCondition::cranking);
    car.set_position(crank, "S1", 1);
    const Study study(car.vehicle);
    const auto points = crank_points(study.input(), study.design);
    REQUIRE(points.size() == 3);
    const CrankPoint& cold = points[2];
    CHECK(cold.condition == "cold");
    CHECK(cold.battery_c == -18.0);
    CHECK(cold.starts);
    const double open_v = 12.6 - 0.0013 * 38.0;
    const double ohm = (open_v - 7.2) / 600.0;
    // The solenoid draws over 20 A as well: both through the battery, the motor's through 0.5 mohm
    // more.
    // Its copper is at -18 C too: 1 - 0.00393 x 38 of the resistance at 20 C (IEC 60028).
    const double coil_ohm = 0.5 * (1.0 - 0.00393 * 38.0);
    const double solenoid_a = (open_v - 200.0 * ohm) / (coil_ohm + 0.01 + ohm);
    const double motor_v = open_v - (200.0 + solenoid_a) * ohm - 200.0 * 0.0005;
    CHECK(cold.starters.front().volts == doctest::Approx(motor_v).epsilon(1e-3));
    // First moment: the motor at rest is 10 V / 500 A = 20 mohm.
    REQUIRE(cold.starters.front().first_volts.has_value());
    CHECK(*cold.starters.front().first_volts < cold.starters.front().volts);
    CHECK(points[1].starters.front().volts > cold.starters.front().volts);
}

TEST_CASE("each state that cranks is tried as written, warm and cold, one state after the other") {
    Car car;
    car.battery("G1", 60.0, 600.0);
    car.device(
        "M1", {"30", "50", "31"},
        Starter{.draws = {.current = Amps(200.0), .at = Volts(10.0)}, .solenoid = Ohms(0.5)});
    car.push("S1");
    car.push("S2");
    car.load("E1", LoadLaw::constant_current, "heater", 40.0, 12.0);
    car.ground("GND1");
    car.wire("G1.+", "M1.30", "95", 0.001);
    car.wire("M1.31", "G1.-", "95", 0.001);
    car.wire("G1.-", "GND1", "95", 0.001);
    car.wire("G1.+", "S1.1", "6", 0.001);
    car.wire("S1.2", "M1.50", "6", 0.001);
    car.wire("G1.+", "S2.1", "6", 0.001);
    car.wire("S2.2", "E1.+", "6", 0.001);
    car.wire("E1.-", "G1.-", "6", 0.001);
    const StateId plain = car.state("plain", EngineCondition::cranking);
    car.set_position(plain, "S1", 1);
    car.state("parked");
    const StateId loaded = car.state("loaded", EngineCondition::cranking);
    car.set_position(loaded, "S1", 1);
    car.set_position(loaded, "S2", 1);
    car.vehicle.states[loaded.index()].battery_temperature = Celsius(5.0);
    const Study study(car.vehicle);
    const auto points = crank_points(study.input(), study.design);
    REQUIRE(points.size() == 6);
    for (std::size_t i = 0; i < points.size(); ++i) {
        CAPTURE(i);
        const std::array conditions{"as written", "warm", "cold"};
        CHECK(points[i].condition == conditions.at(i % 3));
        CHECK(points[i].state == (i < 3 ? plain : loaded));
        CHECK(points[i].starts);
    }
    CHECK(points[3].battery_c == 5.0);
    CHECK(points[4].battery_c == points[1].battery_c);
    CHECK(points[2].battery_c == -18.0);
    CHECK(points[5].battery_c == -18.0);
    // 40 A more through (12.6 - 38 x 0.0013 - 7.2) / 600 A at -18 C; the solenoid takes less then
    const double ohm = (12.6 - 0.0013 * 38.0 - 7.2) / 600.0;
    const double coil_ohm = 0.5 * (1.0 - 0.00393 * 38.0) + 0.01;
    const double beside = 1.0 / (1.0 / ohm + 1.0 / coil_ohm);
    CHECK(points[2].starters.front().volts - points[5].starters.front().volts ==
          doctest::Approx(40.0 * beside).epsilon(0.01));
}

TEST_CASE("the balance names what an alternator gives and could give") {
    Car car;
    const DeviceId generator = car.alternator("G2", 90.0, 40.0, 14.2);
    car.at(generator).case_body = 0;
    car.at(generator).case_terminal = 2;
    add_charged_battery(car, 1.0);
    car.ground("GND1");
    car.load("M1", LoadLaw::constant_current, "motor", 60.0, 13.0);
    car.wire("G2.B+", "M1.+", "25", 0.5);
    car.wire("M1.-", "GND1", "25", 0.5);
    car.wire("G1.+", "M1.+", "25", 0.5);
    car.wire("G1.-", "GND1", "25", 0.5);
    car.state("idle", EngineCondition::idle);
    const Study study(car.vehicle);
    const auto balances = state_balances(study.input(), solve_states(study.input(), study.design));
    REQUIRE(balances.size() == 1);
    const StateBalance& idle = balances.front();
    CHECK(idle.has_generator);
    CHECK(idle.sources[0].amps == doctest::Approx(idle.sources[0].most_a));
    CHECK(idle.battery_a == doctest::Approx(60.0 - idle.sources[0].most_a));
    REQUIRE(idle.lasts_s.has_value());
    CHECK(*idle.lasts_s == doctest::Approx(capacity_as / idle.battery_a));
}

TEST_CASE(
    "while an alternator charges more than a lone battery gives, nothing runs flat on balance") {
    Car car;
    const DeviceId generator = car.alternator("G2", 90.0, 40.0, 14.2);
    car.at(generator).case_body = 0;
    car.at(generator).case_terminal = 2;
    add_charged_battery(car, 0.5);
    add_charged_battery(car, 1.0, "G3"); // of a trailer: on its own, with a lamp of 0.1 A
    car.ground("GND1");
    car.load("E1", LoadLaw::constant_current, "motor", 0.1, 12.0);
    car.wire("G2.B+", "G1.+", "25", 0.5);
    car.wire("G1.-", "GND1", "25", 0.5);
    car.wire("G3.+", "E1.+");
    car.wire("E1.-", "G3.-");
    car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const auto balances = state_balances(study.input(), solve_states(study.input(), study.design));
    REQUIRE(balances.size() == 1);
    const StateBalance& running = balances.front();
    REQUIRE(running.sources.size() == 3);
    // 60 Ah at half charge take amperes; the batteries together are charged
    CHECK(running.sources[1].amps < -1.0);
    CHECK(running.sources[2].amps == doctest::Approx(0.1));
    CHECK(running.battery_a < 0.0);
    REQUIRE(running.sources[2].lasts_s.has_value());
    CHECK(*running.sources[2].lasts_s == doctest::Approx(capacity_as / 0.1));
    CHECK_FALSE(running.lasts_s.has_value());
}

TEST_CASE(
    "what two batteries in a row give is counted once; one that gives nothing is not emptied") {
    Car car;
    car.vehicle.nominal = Volts(24.0);
    for (const char* name : {"G1", "G2", "G3"}) {
        add_charged_battery(car, 1.0, name);
    }
    car.ground("GND1");
    car.load("E1", LoadLaw::resistance, "heater", 10.0, 24.0);
    car.wire("G1.+", "G2.-", "25", 0.5);
    car.wire("G2.+", "E1.+", "2.5", 1.0);
    car.wire("E1.-", "GND1", "2.5", 1.0);
    car.wire("G1.-", "GND1", "25", 0.5);
    car.wire("G3.-", "GND1", "25", 0.5);
    car.state("parked");
    const Study study(car.vehicle);
    const auto balances = state_balances(study.input(), solve_states(study.input(), study.design));
    REQUIRE(balances.size() == 1);
    const StateBalance& parked = balances.front();
    CHECK(parked.battery_a == doctest::Approx(parked.sources[0].amps));
    CHECK(parked.sources[1].amps == doctest::Approx(parked.sources[0].amps));
    REQUIRE(parked.lasts_s.has_value());
    CHECK(*parked.lasts_s == doctest::Approx(capacity_as / parked.sources[0].amps));
    CHECK_FALSE(parked.sources[2].lasts_s.has_value());
}
