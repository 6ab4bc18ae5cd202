// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/energy.hpp"
#include "study/study_bench.hpp"

#include <cmath>

using namespace loomwright;
using loomwright::testing::add_grounded_battery;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

using Loops = std::vector<std::vector<DeviceId>>;

/// Relay K1 with its coil on G1 and its contact feeding `load`.
void add_relay_load(Car& car, double coil_ohm = 85.0) {
    car.relay("K1", coil_ohm);
    car.wire("G1.+", "K1.86");
    car.wire("K1.85", "GND1");
    car.wire("G1.+", "K1.30");
}

} // namespace

TEST_CASE("a relay pulls in by its own coil and feeds its load") {
    Car car;
    add_grounded_battery(car);
    add_relay_load(car);
    car.heater("E1", 10.0, 12.0);
    car.wire("K1.87", "E1.+");
    car.wire("E1.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.is_on(solution, "K1"));
    CHECK(study.is_on(solution, "E1"));
    const DeviceState& relay = study.device(solution, "K1");
    // Each watt warms it by 40 K (memory), copper gains 0.393 % a kelvin (IEC 60028).
    const double celsius = 20.0 + 40.0 * relay.coil_volts * relay.coil_amps;
    CHECK(std::abs(relay.coil_c - celsius) < 0.02); // iterated to 0.01 K
    CHECK(relay.coil_volts ==
          doctest::Approx(85.0 * (1.0 + 0.00393 * (celsius - 20.0)) * relay.coil_amps)
              .epsilon(1e-4)); // 0.01 K is 0.00004 of it
    CHECK(relay.amps == doctest::Approx(study.device(solution, "E1").amps));
    CHECK(relay.volts == doctest::Approx(relay.amps * study.value("relay-contact")));
}

TEST_CASE("below its pull-in voltage a relay stays released") {
    Car car;
    add_grounded_battery(car, 7.0); // pull-in 8 V of 12 V by the table
    add_relay_load(car);
    const Study study(car.vehicle);
    CHECK_FALSE(study.is_on(study.solve(), "K1"));
}

TEST_CASE("a relay holds below its pull-in voltage once it is in") {
    // The load pulls the battery down to about 6 V: less than pull-in, more than drop-out.
    Car car;
    add_grounded_battery(car, 12.0, 0.1);
    add_relay_load(car);
    car.load("M1", LoadLaw::constant_current, "motor", 55.0, 12.0);
    car.wire("K1.87", "M1.+", "16", 0.5);
    car.wire("M1.-", "GND1", "16", 0.5);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.is_on(solution, "K1"));
    CHECK(study.device(solution, "K1").coil_volts < study.value("relay-pull-in") * 12.0);
    CHECK(study.device(solution, "K1").coil_volts > study.value("relay-drop-out") * 12.0);
}

TEST_CASE("relays that feed one another pull in one after the other") {
    Car car;
    add_grounded_battery(car);
    const int count = 12;
    for (int i = 1; i <= count; ++i) {
        car.relay("K" + std::to_string(i), 85.0);
        const std::string name = "K" + std::to_string(i);
        car.wire("G1.+", name + ".30");
        car.wire(i == 1 ? "G1.+" : "K" + std::to_string(i - 1) + ".87", name + ".86");
        car.wire(name + ".85", "GND1");
    }
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    for (int i = 1; i <= count; ++i) {
        CHECK(study.is_on(solution, "K" + std::to_string(i)));
    }
}

TEST_CASE("a relay whose coil hangs on its own break contact chatters") {
    Car car;
    add_grounded_battery(car);
    car.relay("K1", 85.0, true);
    car.wire("G1.+", "K1.30");
    car.wire("K1.87a", "K1.86");
    car.wire("K1.85", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering == Loops{{car.vehicle.find_device("K1")}});
    CHECK(solution.failure == "never comes to rest: K1 goes on and off");
    CHECK(solution.node_volts == std::vector<double>(solution.node_volts.size(), 0.0));
}

TEST_CASE("three relays in a ring of break contacts chatter, and the whole loop is named") {
    Car car;
    add_grounded_battery(car);
    for (const char* name : {"K1", "K2", "K3"}) {
        car.relay(name, 85.0, true);
        car.wire("G1.+", std::string(name) + ".30");
        car.wire(std::string(name) + ".85", "GND1");
    }
    car.wire("K1.87a", "K2.86");
    car.wire("K2.87a", "K3.86");
    car.wire("K3.87a", "K1.86");
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    REQUIRE(solution.chattering.size() == 1);
    CHECK(solution.chattering.front().size() == 3);
}

namespace {

/// 40 equal loads behind 0.15 ohm, which give 240 W at most, at 6 V.
void add_crowd(Car& car, double watts_each) {
    add_grounded_battery(car, 12.0, 0.15);
    for (int i = 1; i <= 40; ++i) {
        const std::string name = "A" + std::to_string(i);
        car.load(name, LoadLaw::constant_power, "electronics", watts_each / 12.0, 12.0);
        car.wire("G1.+", name + ".+");
        car.wire(name + ".-", "GND1");
    }
}

} // namespace

TEST_CASE("of a crowd of loads too many for the battery the one that starts in vain is named") {
    // Nine of 25 W run; the next one starts, pulls the voltage under its least, and lets go again.
    Car car;
    add_crowd(car, 25.0);
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering.size() == 1);
}

TEST_CASE("a crowd of which ten ask for just what there is never comes to rest either") {
    // Ten of 24 W: 6 V, which is also the least voltage that electronics start with. Those that are
    // on fall a little short of it by their wires, those that are off have it.
    Car car;
    add_crowd(car, 24.0);
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    REQUIRE(!solution.chattering.empty());
    for (const std::vector<DeviceId>& loop : solution.chattering) {
        CHECK(loop.size() == 1);
    }
}

TEST_CASE("two relays that lock one another out: the first of the file wins the race") {
    Car car;
    add_grounded_battery(car);
    for (const char* name : {"K1", "K2"}) {
        car.relay(name, 85.0, true);
        car.wire("G1.+", std::string(name) + ".30");
        car.wire(std::string(name) + ".85", "GND1");
    }
    car.wire("K1.87a", "K2.86");
    car.wire("K2.87a", "K1.86");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.is_on(solution, "K1"));
    CHECK_FALSE(study.is_on(solution, "K2"));
}

TEST_CASE("a load that pulls its relay's supply under drop-out makes it chatter") {
    Car car;
    add_grounded_battery(car, 12.0, 0.3);
    add_relay_load(car);
    car.heater("E1", 1200.0, 12.0); // some 25 mohm in all behind 0.3 ohm: less than 1 V is left
    car.wire("K1.87", "E1.+", "50", 0.1);
    car.wire("E1.-", "GND1", "50", 0.1);
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering == Loops{{car.vehicle.find_device("K1")}});
}

TEST_CASE("a starter turns when its solenoid is fed, and what it drags down lets go") {
    Car car;
    add_grounded_battery(car, 12.6, 0.03);
    car.device("M1", {"30", "50", "31"},
               Starter{.draws = {.current = Amps(180.0), .at = Volts(9.0)}, .solenoid = Ohms(0.6)});
    car.push("S1");
    car.load("A1", LoadLaw::constant_power, "electronics", 2.0, 13.5);
    std::get<Load>(car.at(car.vehicle.find_device("A1")).spec).least = Volts(9.0);
    car.load("A2", LoadLaw::constant_power, "electronics", 2.0, 13.5); // 6 V by the table
    car.wire("G1.+", "M1.30", "50", 1.0);
    car.wire("M1.31", "GND1", "50", 0.5);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "M1.50");
    for (const char* name : {"A1", "A2"}) {
        car.wire("G1.+", std::string(name) + ".+");
        car.wire(std::string(name) + ".-", "GND1");
    }
    const StateId rest = car.state("rest");
    const StateId start = car.state("start", EngineCondition::cranking);
    car.set_position(start, "S1", 1);
    const Study study(car.vehicle);
    const StateSolution before = study.solve(rest);
    CHECK_FALSE(study.is_on(before, "M1"));
    CHECK(study.device(before, "M1").amps == 0.0);
    CHECK(study.is_on(before, "A1"));
    const StateSolution turning = study.solve(start);
    CHECK(study.is_on(turning, "M1"));
    CHECK(study.device(turning, "M1").amps == doctest::Approx(180.0));
    CHECK(study.volts(turning, "G1.+") < 9.0);
    CHECK_FALSE(study.is_on(turning, "A1")); // needs 9 V
    CHECK(study.device(turning, "A1").amps == 0.0);
    CHECK(study.is_on(turning, "A2"));
    CHECK(study.device(turning, "A2").amps * study.device(turning, "A2").volts ==
          doctest::Approx(27.0));
}

TEST_CASE("cranking with nothing in the starter's circuit is just that") {
    Car car;
    add_grounded_battery(car);
    car.device("M1", {"30", "50", "31"},
               Starter{.draws = {.current = Amps(180.0), .at = Volts(9.0)}, .solenoid = Ohms(0.6)});
    car.wire("G1.+", "M1.30", "50", 1.0);
    car.wire("M1.31", "GND1", "50", 0.5);
    const StateId start = car.state("start", EngineCondition::cranking);
    const Study study(car.vehicle);
    CHECK_FALSE(study.is_on(study.solve(start), "M1"));
    CHECK_FALSE(engine_starts(car.vehicle, study.solve(start)));
}

TEST_CASE(
    "an electronic load that drags its own feed under its least voltage never comes to rest") {
    Car car;
    add_grounded_battery(car, 12.0, 1.0); // at most 36 W to be had
    car.load("A1", LoadLaw::constant_power, "electronics", 4.0, 12.0);
    car.wire("G1.+", "A1.+");
    car.wire("A1.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering == Loops{{car.vehicle.find_device("A1")}});
}

namespace {

/// Cable so short and thick that the resistors in the tests are all that counts: 0.04 mohm.
void cable(Car& car, std::string_view from, std::string_view to) {
    car.wire(from, to, "50", 0.1);
}

/// Electronics of so many watts that are content with a quarter of the 12 V, behind a resistor of
/// their own.
void add_load_behind(Car& car, const std::string& name, double ohm, double watts) {
    car.heater("R" + name, 12.0 / ohm, 12.0);
    car.load(name, LoadLaw::constant_power, "electronics", watts / 12.0, 12.0);
    std::get<Load>(car.at(car.vehicle.find_device(name)).spec).least = Volts(3.0);
    cable(car, "G1.+", "R" + name + ".+");
    cable(car, "R" + name + ".-", name + ".+");
    cable(car, name + ".-", "GND1");
}

void add_stiff_battery(Car& car) {
    car.source("G1", 12.0, 1e-5);
    car.ground("GND1");
    cable(car, "G1.-", "GND1");
}

/// The most that 12 V give through a resistor: E^2 / (4 R), maximum power transfer.
double most_watts(double ohm) {
    return 12.0 * 12.0 / (4.0 * ohm);
}

} // namespace

TEST_CASE("of loads behind resistors of their own each that asks for more than E^2 / 4R is named") {
    struct Asked {
        double ohm;
        double share; // of the most there is
    };
    // 2 % to either side: the cables are 2e-4 of the least resistor.
    const std::vector<Asked> loads = {{1.0, 1.02}, {2.0, 0.98}, {0.5, 1.02}, {4.0, 1.5},
                                      {3.0, 0.5},  {2.5, 20.0}, {0.8, 0.98}};
    Car car;
    add_stiff_battery(car);
    Loops beyond;
    for (std::size_t i = 0; i < loads.size(); ++i) {
        const std::string name = "A" + std::to_string(i + 1);
        add_load_behind(car, name, loads[i].ohm, loads[i].share * most_watts(loads[i].ohm));
        if (loads[i].share > 1.0) {
            beyond.push_back({car.vehicle.find_device(name)});
        }
    }
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering == beyond);
    CHECK(solution.failure == "never comes to rest: A1, A3, A4, A6 go on and off");
}

TEST_CASE("loads behind resistors of their own that ask for less than E^2 / 4R have it") {
    Car car;
    add_stiff_battery(car);
    const std::vector<double> ohms = {1.0, 2.0, 0.5};
    for (std::size_t i = 0; i < ohms.size(); ++i) {
        add_load_behind(car, "A" + std::to_string(i + 1), ohms[i], 0.9 * most_watts(ohms[i]));
    }
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    for (const char* name : {"A1", "A2", "A3"}) {
        // The upper root of (E - v) v / R = P; the cables take less than a thousandth.
        CHECK(study.device(solution, name).volts ==
              doctest::Approx(6.0 * (1.0 + std::sqrt(1.0 - 0.9))).epsilon(1e-3));
    }
}

TEST_CASE("sixty loads that each ask for too much are all named") {
    Car car;
    add_stiff_battery(car);
    for (int i = 1; i <= 60; ++i) {
        add_load_behind(car, "A" + std::to_string(i), 6.0, 1.1 * most_watts(6.0));
    }
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering.size() == 60);
    CHECK(solution.failure ==
          "never comes to rest: A1, A2, A3, A4, A5, A6, A7, A8 and 52 more go on and off");
}

TEST_CASE("a relay on its own break contact and a load that asks for too much are two loops") {
    Car car;
    add_stiff_battery(car);
    add_load_behind(car, "A1", 1.0, 1.1 * most_watts(1.0));
    for (const char* name : {"K1", "K2"}) {
        car.relay(name, 85.0, true);
        cable(car, "G1.+", std::string(name) + ".30");
        cable(car, std::string(name) + ".85", "GND1");
    }
    cable(car, "K1.87a", "K1.86");
    cable(car, "G1.+", "K2.86"); // just pulls in
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(solution.chattering ==
          Loops{{car.vehicle.find_device("A1")}, {car.vehicle.find_device("K1")}});
}

TEST_CASE("two electronic loads in series: no voltage reaches either while both are off") {
    Car car;
    add_stiff_battery(car);
    for (const char* name : {"A1", "A2"}) {
        car.load(name, LoadLaw::constant_power, "electronics", 1.0, 12.0);
    }
    cable(car, "G1.+", "A1.+");
    cable(car, "A1.-", "A2.+");
    cable(car, "A2.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    for (const char* name : {"A1", "A2"}) {
        CHECK_FALSE(study.is_on(solution, name));
        CHECK(study.device(solution, name).amps == 0.0);
    }
}

TEST_CASE("two electronic loads in series with coils beside them start and let go for ever") {
    // The coils halve the 12 V, so that both start, at 6 V with 12 W each: -1/3 S, and the coils of
    // 85 ohm do not hold that. One tips over, lets go, and leaves the other with nothing.
    Car car;
    add_stiff_battery(car);
    for (const char* name : {"1", "2"}) {
        const std::string load = std::string("A") + name;
        const std::string relay = std::string("K") + name;
        car.load(load, LoadLaw::constant_power, "electronics", 1.0, 12.0);
        std::get<Load>(car.at(car.vehicle.find_device(load)).spec).least = Volts(3.0);
        car.relay(relay, 85.0);
        cable(car, load + ".+", relay + ".86");
        cable(car, load + ".-", relay + ".85");
    }
    cable(car, "G1.+", "A1.+");
    cable(car, "A1.-", "A2.+");
    cable(car, "A2.-", "GND1");
    const Study study(car.vehicle);
    const StateSolution solution = solve_state(study.input(), study.design, {});
    CHECK_FALSE(solution.converged);
    CHECK(!solution.chattering.empty());
}

TEST_CASE("a load that collapses has rest once a relay behind it in the file has had its turn") {
    // Through 1 ohm there are 36 W, through two of them 72 W; the second is joined by K1, one of
    // two relays that lock one another out. 50 W: v = 6 (1 + sqrt(1 - 50/72)).
    Car car;
    add_stiff_battery(car);
    add_load_behind(car, "A1", 1.0, 50.0);
    car.heater("R2", 12.0, 12.0);
    for (const char* name : {"K1", "K2"}) {
        car.relay(name, 85.0, true);
        cable(car, "G1.+", std::string(name) + ".30");
        cable(car, std::string(name) + ".85", "GND1");
    }
    cable(car, "K1.87a", "K2.86");
    cable(car, "K2.87a", "K1.86");
    cable(car, "K1.87", "R2.+");
    cable(car, "R2.-", "A1.+");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.is_on(solution, "A1"));
    CHECK(study.is_on(solution, "K1"));
    CHECK_FALSE(study.is_on(solution, "K2"));
    // A relay's contact is a few milliohms of the second ohm.
    CHECK(study.device(solution, "A1").volts ==
          doctest::Approx(6.0 * (1.0 + std::sqrt(1.0 - 50.0 / 72.0))).epsilon(3e-3));
}

namespace {

/// A controller with a memory feed that is always live and a working feed behind a relay.
struct Controlled {
    Car car;
    Controlled() {
        add_grounded_battery(car);
        add_relay_load(car); // pulls in by a ground that the controller itself gives
        car.vehicle.wires.erase(car.vehicle.wires.begin() + 2); // 85 goes to the controller
        car.device("A1", {"memory", "power", "ground", "main"},
                   Controller{.parts = {{.part = TerminalPart::feed},
                                        {.part = TerminalPart::feed},
                                        {.part = TerminalPart::ground},
                                        {.part = TerminalPart::low_side}},
                              .draws = Demand{.current = Amps(5.0), .at = Volts(12.0)},
                              .sleeps = Amps(0.008),
                              .needs = Volts(7.0)});
        car.wire("K1.85", "A1.main");
        car.wire("G1.+", "A1.memory");
        car.wire("K1.87", "A1.power");
        car.wire("A1.ground", "GND1");
    }
};

} // namespace

TEST_CASE("a controller sleeps on its memory feed until its main relay feeds it") {
    Controlled controlled;
    Car& car = controlled.car;
    const StateId parked = car.state("parked");
    const StateId on = car.state("on");
    car.set_output(on, "A1.main", true);
    const Study study(car.vehicle);
    const StateSolution asleep = study.solve(parked);
    CHECK_FALSE(study.is_on(asleep, "A1"));
    CHECK_FALSE(study.is_on(asleep, "K1"));
    CHECK(study.device(asleep, "A1").amps == doctest::Approx(0.008).scale(0.0));
    const StateSolution awake = study.solve(on);
    CHECK(study.is_on(awake, "K1"));
    CHECK(study.is_on(awake, "A1"));
    const DeviceState& controller = study.device(awake, "A1");
    CHECK(controller.volts > 11.5);
    // 60 W at the working feed, the sleeping current still on the memory feed.
    CHECK(controller.amps == doctest::Approx(60.0 / controller.volts + 0.008).epsilon(1e-6));
}

TEST_CASE("a controller with always-live feeds only is awake when the engine turns") {
    Car car;
    add_grounded_battery(car);
    car.device("A1", {"15", "31"},
               Controller{.parts = {{.part = TerminalPart::feed}, {.part = TerminalPart::ground}},
                          .draws = Demand{.current = Amps(2.0), .at = Volts(12.0)},
                          .sleeps = Amps(0.001)});
    car.wire("G1.+", "A1.15");
    car.wire("A1.31", "GND1");
    const StateId parked = car.state("parked");
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    CHECK(study.device(study.solve(parked), "A1").amps == doctest::Approx(0.001).scale(0.0));
    const StateSolution awake = study.solve(running);
    CHECK(study.is_on(awake, "A1"));
    CHECK(study.device(awake, "A1").amps * study.device(awake, "A1").volts ==
          doctest::Approx(24.0));
}

TEST_CASE("a relay that holds itself is in after the state that set it, and not before") {
    // 30 at the battery; 87 feeds the load and, through itself, the coil; a push button sets it.
    Car car;
    add_grounded_battery(car);
    car.ground("GND1");
    car.wire("G1.-", "GND1");
    car.relay("K1", 85.0);
    car.push("S1");
    car.heater("E1", 5.0, 12.0);
    car.splice("SP1");
    car.wire("G1.+", "K1.30");
    car.wire("K1.87", "SP1");
    car.wire("SP1", "E1.+");
    car.wire("E1.-", "GND1");
    car.wire("SP1", "K1.86");
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "SP1");
    car.wire("K1.85", "GND1");
    const StateId before = car.state("before");
    const StateId pressed = car.state("pressed");
    const StateId held = car.state("held");
    car.set_position(pressed, "S1", 1);
    car.vehicle.states[held.index()].after = pressed;
    const Study study(car.vehicle);
    CHECK_FALSE(study.is_on(study.solve(before), "K1"));
    CHECK(study.is_on(study.solve(pressed), "K1"));
    CHECK(study.is_on(study.solve(held), "K1")); // alone, its predecessor solved unseen
    CHECK(study.is_on(study.solve(held), "E1"));
    const auto all = solve_states(study.input(), study.design);
    REQUIRE(all.size() == 3);
    CHECK_FALSE(study.is_on(all[0], "K1"));
    CHECK(study.is_on(all[2], "K1"));
}

TEST_CASE("a hot coil wants more voltage to pull in") {
    // Pull-in 8 V at 20 C; in air of 105 C the winding has 1 + 0.00393 x 85 = 1.334 of its
    // resistance (IEC 60028): 10.67 V. A battery of 10 V pulls it in when cool and not when hot.
    Car car;
    const ZoneId hot = car.zone("hot", 105.0);
    add_grounded_battery(car, 10.0);
    car.ground("GND1");
    car.wire("G1.-", "GND1");
    const DeviceId relay = car.relay("K1", 85.0);
    car.wire("G1.+", "K1.86");
    car.wire("K1.85", "GND1");
    CHECK(Study(car.vehicle).is_on(Study(car.vehicle).solve(), "K1"));
    car.at(relay).at = car.point("there", hot);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK_FALSE(study.is_on(solution, "K1"));
    const DeviceState& is = study.device(solution, "K1");
    CHECK(is.pull_in_v == doctest::Approx(8.004 * (1.0 + 0.00393 * (is.coil_c - 20.0))));
    CHECK(is.coil_c > 105.0); // the current it does get warms it further
}

TEST_CASE(
    "the first moment: a cold filament, a motor at rest, and the relay that the dip lets go") {
    Car car;
    add_grounded_battery(car, 12.0, 0.02);
    car.ground("GND1");
    car.wire("G1.-", "GND1", "25", 0.1);
    const DeviceId motor = car.load("M1", LoadLaw::constant_current, "motor", 20.0, 12.0);
    std::get<Load>(car.at(motor).spec).inrush = Inrush{Amps(100.0), Seconds(0.3)};
    const DeviceId lamp = car.load("E1", LoadLaw::lamp, "lamp", 4.0, 12.0);
    for (const char* name : {"M1", "E1"}) {
        car.wire("G1.+", std::string(name) + ".+", "6", 1.0);
        car.wire(std::string(name) + ".-", "GND1", "6", 1.0);
    }
    const Study study(car.vehicle);
    StateStudy states(study.input());
    const auto running = states.solve(study.design);
    const auto start = states.first_moment({motor});
    REQUIRE(start.front().converged);
    // At rest the motor is 12 V / 100 A = 0.12 ohm, the lamp burns on.
    const DeviceState& stalled = study.device(start.front(), "M1");
    CHECK(stalled.amps == doctest::Approx(stalled.volts / 0.12));
    CHECK(stalled.amps > 4.0 * study.device(running.front(), "M1").amps);
    CHECK(study.device(start.front(), "E1").amps < study.device(running.front(), "E1").amps);
    const auto both = states.first_moment({motor, lamp});
    // A cold filament of 12 times the conductance (read: switch makers' pages).
    const DeviceState& cold = study.device(both.front(), "E1");
    CHECK(cold.amps == doctest::Approx(12.0 * 4.0 * cold.volts / 12.0));
}

TEST_CASE(
    "two batteries and an isolating relay: joined while the engine charges, apart when it stands") {
    // The relay's coil hangs on D+, which stands at the alternator's voltage while it turns.
    Car car;
    const ZoneId cool = car.zone("cool", 25.0);
    const PointId place = car.point("there", cool);
    const DeviceId generator = car.alternator("G2", 90.0, 60.0, 14.2);
    car.at(generator).case_body = 0;
    car.at(generator).case_terminal = 2;
    car.at(generator).at = place;
    add_grounded_battery(car, 12.6, 0.01);
    car.source("G3", 12.2, 0.01);
    car.ground("GND1");
    const DeviceId relay = car.relay("K1", 85.0);
    car.at(relay).at = place;
    car.heater("E1", 10.0, 12.0);
    car.wire("G2.B+", "G1.+", "25", 1.0);
    car.wire("G1.-", "GND1", "25", 0.2);
    car.wire("G3.-", "GND1", "25", 0.2);
    car.wire("G1.+", "K1.30", "16", 1.0);
    car.wire("K1.87", "G3.+", "16", 1.0);
    car.wire("G2.D+", "K1.86");
    car.wire("K1.85", "GND1");
    car.wire("G3.+", "E1.+");
    car.wire("E1.-", "GND1");
    const StateId stands = car.state("stands");
    const StateId turns = car.state("turns", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution apart = study.solve(stands);
    CHECK_FALSE(study.is_on(apart, "K1"));
    CHECK(study.device(apart, "G1").amps == doctest::Approx(0.0).epsilon(1e-9));
    // The second battery feeds its load alone: Ohm's law at E1.
    CHECK(study.device(apart, "G3").amps == doctest::Approx(study.device(apart, "E1").amps));
    const StateSolution joined = study.solve(turns);
    CHECK(study.is_on(joined, "K1"));
    CHECK(study.device(joined, "G3").amps < 0.0);
    // Kirchhoff's current law over the car: what the alternator gives, the rest takes.
    const double taken = study.device(joined, "E1").amps - study.device(joined, "G1").amps -
                         study.device(joined, "G3").amps + study.device(joined, "K1").coil_amps;
    CHECK(study.device(joined, "G2").amps == doctest::Approx(taken).epsilon(1e-6));
}

TEST_CASE("without its strap the engine's starter current comes home through the control cable") {
    // Two straps side by side share a current as their conductances (Ohm's law); with the good one
    // gone, all of it goes through the cable.
    Car car;
    add_grounded_battery(car, 12.6, 0.005);
    car.ground("GND1");
    car.wire("G1.-", "GND1", "50", 0.3);
    const DeviceId motor = car.load("M1", LoadLaw::constant_current, "motor", 150.0, 11.0);
    car.at(motor).case_body = 1;
    car.at(motor).case_terminal = 1;
    car.wire("G1.+", "M1.+", "50", 1.0);
    const DeviceId cable =
        car.device("W9", {"a", "b"},
                   Strap{.body_a = 1, .body_b = 0, .resistance = Ohms(0.02), .is_stray = true});
    Car whole = car;
    whole.device("W1", {"a", "b"}, Strap{.body_a = 1, .body_b = 0, .resistance = Ohms(0.0005)});
    const Study poor(car.vehicle);
    CHECK(poor.solve().devices[cable.index()].amps == doctest::Approx(150.0));
    const Study good(whole.vehicle);
    CHECK(good.solve().devices[cable.index()].amps ==
          doctest::Approx(150.0 * 0.0005 / 0.0205).epsilon(1e-9));
}
