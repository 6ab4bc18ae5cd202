// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What single parts are to the circuit of a state, how they are read back and what they are called.
#include "study/branch_names.hpp"
#include "study/controller_supply.hpp"
#include "study/deck_labels.hpp"
#include "study/state_circuit.hpp"
#include "study/study_bench.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::Car;
using testing::Study;

/// A part of every law, joined by nothing.
struct EveryLaw : Car {
    EveryLaw() {
        source("G1", 12.0, 0.1);
        alternator("G2", 60.0, 30.0, 14.2);
        heater("E1", 6.0, 12.0);
        load("E2", LoadLaw::lamp, "lamp", 4.0, 12.0);
        load("M1", LoadLaw::constant_current, "motor", 8.0, 13.0);
        load("A1", LoadLaw::constant_power, "electronics", 2.0, 12.0);
        device("V1", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(1.0)});
        heater("E3", 0.0, 12.0); // takes nothing
        running = state("running", EngineCondition::running);
    }
    StateId running;
};

int only_branch(const Study& study, std::string_view device) {
    return study.network.device_branches[study.vehicle.find_device(device).index()].front();
}

/// What a deck does not list among its places: what nothing joins to a source.
std::vector<std::string> places_left_out(const Study& study, const std::string& deck) {
    std::vector<std::string> out;
    for (int k = 0; k < study.network.node_count(); ++k) {
        const std::string& place = study.network.node_names[static_cast<std::size_t>(k)];
        const std::string node = k == study.network.reference ? "0" : "n" + std::to_string(k);
        if (deck.find("\n* " + node + " = " + place + "\n") == std::string::npos) {
            out.push_back(place);
        }
    }
    return out;
}

std::string name_of(const Study& study, const Branch& branch) {
    return branch_name(study.input(), static_cast<int>(&branch - study.network.branches.data()));
}

} // namespace

TEST_CASE("a sample's factors go where each law has what they speak of") {
    const EveryLaw car;
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    StateCircuit circuit(plan, &car.vehicle.states.front());
    circuit.put_to_rest();
    circuit.is_on.assign(circuit.is_on.size(), 1);
    circuit.build();
    const auto standing = [&](std::string_view name) {
        return circuit.standing(static_cast<std::size_t>(only_branch(study, name)));
    };
    struct Case {
        const char* name;
        double a, b, c; ///< factors
        double more_a;  ///< and what is added to the first
    };
    // resistance twice, demand three times, half a volt more
    const BranchVariation by{.resistance = 2.0, .per_metre = 7.0, .demand = 3.0, .emf_v = 0.5};
    const std::vector<Case> cases{
        {"G1", 1.0, 0.5, 1.0, 0.0},  // a battery's own volts are in its values
        {"G2", 1.0, 0.5, 3.0, 0.5},  // volts, siemens, most amperes
        {"E1", 1.5, 1.0, 1.0, 0.0},  // siemens
        {"E2", 3.0, 1.0, 1.0, 0.0},  // amperes at volts, cold ratio
        {"M1", 3.0, 1.0, 1.0, 0.0},  // amperes above the knee
        {"A1", 3.0, 1.0, 1.0, 0.0},  // watts above the least volts
        {"V1", 1.0, 1.0, 1.0, 0.0}}; // a diode is as it is
    for (const Case& one : cases) {
        CAPTURE(one.name);
        circuit.variation.clear();
        const std::optional<Element> planned = standing(one.name);
        circuit.variation.assign(plan.elements.size(), by);
        const std::optional<Element> varied = standing(one.name);
        REQUIRE(planned);
        REQUIRE(varied);
        CHECK(varied->law == planned->law);
        CHECK(varied->a == Approx(planned->a * one.a + one.more_a));
        CHECK(varied->b == Approx(planned->b * one.b));
        CHECK(varied->c == Approx(planned->c * one.c));
    }
    circuit.variation.clear();
    CHECK_FALSE(standing("E3"));             // a load of no current joins nothing
    CHECK(standing("E1")->a == Approx(0.5)); // 6 A at 12 V
    CHECK(standing("G1")->a == 12.0);
    CHECK(standing("G1")->b > 0.0);
    CHECK(standing("G2")->a == 14.2);
    for (const char* const name : {"E1", "E2", "M1", "A1", "G2"}) { // nothing is demanded of it
        circuit.variation.assign(plan.elements.size(), {.demand = 0.0});
        CHECK_FALSE(standing(name));
    }
}

TEST_CASE("a coil that a state leaves warm has gained what its air gained in the next") {
    Car car;
    car.source("G1", 12.0, 0.01);
    const ZoneId zone = car.zone("bay", 30.0);
    const PointId bay = car.point("bay", zone);
    car.at(car.relay("K1", 85.0)).at = bay;
    car.relay("K2", 85.0); // nowhere: at the table's 20 C, but where a state gives its air
    const StateId cool = car.state("cool");
    const StateId hot = car.state("hot");
    car.vehicle.states[hot.index()].air = Celsius(75.0);
    const Study study(car.vehicle);
    const StudyPlan plan(study.input());
    StateCircuit before(plan, &car.vehicle.state(cool));
    before.put_to_rest();
    StateCircuit after(plan, &car.vehicle.state(hot));
    after.follow(before);
    std::vector<double> first;
    std::vector<double> second;
    for (std::size_t i = 0; i < plan.triggers.size(); ++i) {
        if (plan.triggers[i].kind == Trigger::Kind::coil) {
            first.push_back(before.coil_c(i));
            second.push_back(after.coil_c(i));
            CHECK(after.coil_air_c(i) == 75.0);
            // copper's 0.393 % for each kelvin over 20 C (IEC 60028); 8 V of 12 V, 0.667 by the
            // table
            CHECK(after.pull_in_v(i) ==
                  Approx(0.667 * 12.0 * (1.0 + 0.00393 * 55.0)).epsilon(1e-3));
            CHECK(after.rest_warmth(i) == Approx(1.0 + 0.00393 * 55.0).epsilon(1e-3));
        } else {
            CHECK(after.rest_warmth(i) == 1.0);
        }
    }
    CHECK(first == std::vector<double>{30.0, 20.0});
    CHECK(second == std::vector<double>{75.0, 75.0});
}

TEST_CASE("each battery is set to its own charge, by the table of open-circuit voltages") {
    Car car;
    car.battery("G1", 60.0, 500.0);
    car.battery("G2", 60.0, 500.0);
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    StateCircuit circuit(plan, nullptr);
    REQUIRE(circuit.batteries.size() == 2);
    // rows battery-charge-0 ... 100 of the table: 11.6, 12.0, 12.2, 12.4, 12.6 V
    CHECK(circuit.batteries[0].open_v == Approx(12.6));
    circuit.set_charge(DeviceId(0), 0.5);
    CHECK(circuit.batteries[0].open_v == Approx(12.2));
    CHECK(circuit.batteries[1].open_v == Approx(12.6));
    circuit.set_charge(DeviceId(1), 0.125);
    CHECK(circuit.batteries[0].open_v == Approx(12.2));
    CHECK(circuit.batteries[1].open_v == Approx(11.8));
}

TEST_CASE("a flasher stands open in a state that does not set it, and switches by position") {
    Car car;
    car.source("G1", 12.0, 0.01);
    car.device("T1", {"49", "49a"}, Flasher{});
    Switch made;
    made.positions = {{.name = "off"},
                      {.name = "low", .closed = {{.from = 0, .to = 1}}},
                      {.name = "high", .closed = {{.from = 0, .to = 2}, {.from = 1, .to = 2}}}};
    car.device("S1", {"1", "2", "3"}, made);
    const StateId off = car.state("off");
    car.set_level(off, "T1", 0.0);
    const StateId on = car.state("on");
    car.set_level(on, "T1", 1.0);
    car.set_position(on, "S1", 2);
    const StateId low = car.state("low");
    car.set_position(low, "S1", 1);
    const Study study(car.vehicle);
    const StudyPlan plan(study.input());
    struct Case {
        StateId state;
        bool flasher;
        std::vector<bool> contacts; ///< 1-2, 1-3, 2-3
    };
    for (const Case& one :
         {Case{off, false, {false, false, false}}, Case{on, true, {false, true, true}},
          Case{low, true, {true, false, false}}}) {
        CAPTURE(one.state.index());
        const StateCircuit circuit(plan, &car.vehicle.state(one.state));
        CHECK(circuit.is_set(static_cast<std::size_t>(only_branch(study, "T1"))) == one.flasher);
        const auto& contacts = study.network.device_branches[car.vehicle.find_device("S1").index()];
        REQUIRE(contacts.size() == 3);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(circuit.is_set(static_cast<std::size_t>(contacts[i])) == one.contacts[i]);
        }
    }
}

TEST_CASE("a switch that comes before all else of a car stands as its state sets it") {
    Car car;
    car.push("S1");
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    const Study study(car.vehicle);
    const StudyPlan plan(study.input());
    REQUIRE(only_branch(study, "S1") == 0); // no wire, no device before it
    CHECK(StateCircuit(plan, &car.vehicle.state(on)).is_set(0));
    CHECK_FALSE(StateCircuit(plan, nullptr).is_set(0));
}

TEST_CASE("a lamp unit is on when any of the lamps in it is, whichever of them comes first") {
    Car car;
    car.source("G1", 12.0, 0.001);
    for (const char* const unit : {"E8", "E9"}) {
        car.device(unit, {"tail", "stop", "31"}, Unit{});
        const DeviceId housing = car.vehicle.find_device(unit);
        for (const char* const lamp : {"tail", "stop"}) {
            const DeviceId inner =
                car.load(std::string(unit) + "/" + lamp, LoadLaw::lamp, "lamp", 1.75, 12.0);
            car.at(inner).housing = housing;
            car.at(inner).housing_terminal = {lamp == std::string("tail") ? 0 : 1, 2};
        }
    }
    car.wire("G1.+", "E9.stop"); // of the second unit the second lamp is fed
    car.wire("E9.31", "G1.-");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK_FALSE(study.is_on(solution, "E9/tail"));
    CHECK(study.is_on(solution, "E9/stop"));
    CHECK(study.is_on(solution, "E9"));
    CHECK_FALSE(study.is_on(solution, "E8"));
}

TEST_CASE("a controller is read wherever its ground stands among its terminals, by its best feed") {
    Car car;
    car.source("G1", 12.0, 0.001);
    Controller made;
    made.parts = {
        {.part = TerminalPart::ground}, {.part = TerminalPart::feed}, {.part = TerminalPart::feed}};
    car.device("A1", {"31", "15", "30"}, made); // its draw is not given
    car.device("R1", {"1", "2"}, Resistor{.resistance = Ohms(1.0)});
    car.heater("E1", 6.0, 12.0); // 2 ohm behind 1 ohm: 8 V
    car.wire("G1.+", "R1.1", "10", 0.01);
    car.wire("R1.2", "E1.+", "10", 0.01);
    car.wire("E1.+", "A1.15", "10", 0.01);
    car.wire("G1.+", "A1.30", "10", 0.01);
    car.wire("E1.-", "G1.-", "10", 0.01);
    car.wire("A1.31", "G1.-", "10", 0.01);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.device(solution, "A1").volts == Approx(12.0).epsilon(1e-3));
    CHECK(study.device(solution, "A1").amps == 0.0);
    CHECK(study.is_on(solution, "A1"));
    CHECK(study.device(solution, "R1").volts == Approx(4.0).epsilon(1e-3));
    CHECK(study.device(solution, "R1").amps == Approx(4.0).epsilon(1e-3));
    CHECK(study.device(solution, "E1").volts == Approx(8.0).epsilon(1e-3));
    CHECK(study.device(solution, "G1").amps == Approx(4.0).epsilon(1e-3)); // it delivers
    CHECK(study.is_on(solution, "G1"));
}

TEST_CASE("what is less than a millionth of a millionth of a microampere is told as nothing") {
    // 1e-18 A is six electrons in a second.
    for (const double amps : {8e-19, 2e-18}) {
        CAPTURE(amps);
        Car car;
        car.source("G1", 12.0, 0.001);
        car.heater("E1", amps, 12.0);
        const WireId feed = car.wire("G1.+", "E1.+");
        car.wire("E1.-", "G1.-");
        const Study study(car.vehicle);
        const StateSolution solution = study.solve();
        const double expected = amps < 1e-18 ? 0.0 : amps;
        CHECK(std::abs(study.device(solution, "E1").amps - expected) <= 1e-6 * expected);
        CHECK(std::abs(solution.wires[feed.index()].amps - expected) <= 1e-6 * expected);
    }
}

TEST_CASE("the volts across a closed contact and a closed output are those of their ratings") {
    // 10 A that nothing changes (led lamps above their knee): a switch for 100 A has 0.2 V / 100 A,
    // its default is 10 mohm; a relay's break contact for 50 A 4 mohm, its make contact none here;
    // an output for 10 A 20 mohm, one for 1 A 0.2 ohm.
    Car car;
    car.source("G1", 13.0, 0.001);
    std::get<Switch>(car.at(car.push("S1")).spec).contact = Amps(100.0);
    Relay& relay = std::get<Relay>(car.at(car.relay("K1", 85.0, true)).spec);
    relay.contact = Amps(200.0);
    relay.contact_break = Amps(50.0);
    car.device("A1", {"30", "31", "big", "small"},
               Controller{.parts = {{.part = TerminalPart::feed},
                                    {.part = TerminalPart::ground},
                                    {.part = TerminalPart::high_side, .limit = Amps(10.0)},
                                    {.part = TerminalPart::high_side, .limit = Amps(1.0)}}});
    car.load("E1", LoadLaw::constant_current, "led-lamp", 10.0, 12.0);
    car.load("E2", LoadLaw::constant_current, "led-lamp", 10.0, 12.0);
    car.load("E3", LoadLaw::constant_current, "led-lamp", 1.0, 12.0);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "K1.30");
    car.wire("K1.87a", "E1.+");
    car.wire("E1.-", "G1.-");
    car.wire("G1.+", "A1.30");
    car.wire("A1.31", "G1.-");
    car.wire("A1.big", "E2.+");
    car.wire("E2.-", "G1.-");
    car.wire("A1.small", "E3.+");
    car.wire("E3.-", "G1.-");
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    car.set_output(on, "A1.big", true);
    car.set_output(on, "A1.small", true);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(on);
    const auto between = [&](const char* a, const char* b) {
        return study.volts(solution, a) - study.volts(solution, b);
    };
    CHECK(between("S1.1", "S1.2") == Approx(0.020).scale(0.0));
    CHECK(between("K1.30", "K1.87a") == Approx(0.040).scale(0.0));
    CHECK(between("A1.30", "A1.big") == Approx(0.20).scale(0.0));
    CHECK(between("A1.30", "A1.small") == Approx(0.20).scale(0.0));
}

TEST_CASE("a controller without any ground does not work, whatever its feed has") {
    Car car;
    car.source("G1", 12.0, 0.001);
    car.ground("GND1");
    car.ground("GND2", 1);         // chassis and engine
    car.device("A1", {"30", "15"}, // its draw is not given
               Controller{.parts = {{.part = TerminalPart::feed}, {.part = TerminalPart::feed}}});
    car.wire("G1.+", "A1.15");
    car.wire("G1.-", "GND1");
    car.wire("G1.-", "GND2");
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    CHECK(study.volts(solution, "A1.15") == Approx(12.0).epsilon(1e-3));
    CHECK(study.device(solution, "A1").volts == 0.0);
    CHECK_FALSE(study.is_on(solution, "A1"));
}

TEST_CASE("a controller whose case alone is its ground works by it") {
    // 12 V, 10 mohm inside; it draws nothing that is given: its feed has all 12 V over its case.
    // With 1 A at 12 V, a constant power of 12 W, behind 10 mohm and a wire of 10 cm.
    for (const bool draws : {false, true}) {
        CAPTURE(draws);
        Car car;
        car.source("G1", 12.0, 0.001);
        car.ground("GND1");
        Controller made{.parts = {{.part = TerminalPart::feed}}};
        if (draws) {
            made.draws = Demand{.current = Amps(1.0), .at = Volts(12.0)};
            made.needs = Volts(6.0);
        }
        const DeviceId controller = car.device("A1", {"15"}, made);
        car.at(controller).case_body = 0;
        car.wire("G1.+", "A1.15", "10", 0.1);
        car.wire("G1.-", "GND1", "10", 0.1);
        const Study study(car.vehicle);
        const StateSolution solution = study.solve();
        CHECK(study.device(solution, "A1").volts == Approx(12.0).epsilon(2e-3));
        // One that tells what it draws, on a feed that is always live, sleeps while the engine
        // stands.
        CHECK(study.is_on(solution, "A1") == !draws);
        const ControllerSupply supply = controller_supply(
            study.network, controller, *car.at(controller).as<Controller>(), solution);
        CHECK(supply.volts == Approx(12.0).epsilon(2e-3));
        CHECK(supply.feed == 0);
    }
}

TEST_CASE("a controller on two feeds takes half of its power by each, and all by one alone") {
    // 12 W; one feed is the battery's plus, the other stands behind 1 ohm and a contact of 10 mohm:
    // v (12 - v) / 1.01 ohm = 6 W, or 12 W when it is alone.
    const double beside_v = 6.0 + std::sqrt(36.0 - 6.0 * 1.01);
    const double alone_v = 6.0 + std::sqrt(36.0 - 12.0 * 1.01);
    for (const bool is_far_first : {false, true}) {
        CAPTURE(is_far_first);
        Car car;
        car.source("G1", 12.0, 0.0001);
        car.push("S1");
        car.push("S2");
        car.device("R1", {"1", "2"}, Resistor{.resistance = Ohms(1.0)});
        car.device("A1", {"15a", "15b", "31"},
                   Controller{.parts = {{.part = TerminalPart::feed},
                                        {.part = TerminalPart::feed},
                                        {.part = TerminalPart::ground}},
                              .draws = Demand{.current = Amps(1.0), .at = Volts(12.0)},
                              .needs = Volts(6.0)});
        car.wire("G1.+", "S1.1", "10", 0.01);
        car.wire("S1.2", is_far_first ? "A1.15b" : "A1.15a", "10", 0.01);
        car.wire("G1.+", "S2.1", "10", 0.01);
        car.wire("S2.2", "R1.1", "10", 0.01);
        car.wire("R1.2", is_far_first ? "A1.15a" : "A1.15b", "10", 0.01);
        car.wire("A1.31", "G1.-", "10", 0.01);
        const StateId both = car.state("both");
        const StateId near = car.state("near");
        const StateId far = car.state("far");
        car.set_position(both, "S1", 1);
        car.set_position(both, "S2", 1);
        car.set_position(near, "S1", 1);
        car.set_position(far, "S2", 1);
        const Study study(car.vehicle);
        const auto check = [&](StateId state, double volts, double near_a, double far_a) {
            CAPTURE(state.index());
            const StateSolution solution = study.solve(state);
            const DeviceState& read = study.device(solution, "A1");
            CHECK(read.on);
            CHECK(read.volts == Approx(volts).epsilon(2e-3)); // the better of the two
            CHECK(read.amps == Approx(near_a + far_a).epsilon(2e-3));
            CHECK(study.device(solution, "R1").amps == Approx(far_a).epsilon(2e-3));
        };
        check(both, 12.0, 0.5, 6.0 / beside_v);
        check(near, 12.0, 1.0, 0.0);
        check(far, alone_v, 0.0, 12.0 / alone_v);
    }
}

TEST_CASE("a controller that sleeps takes its sleeping current, though its draw is not given") {
    Car car;
    car.source("G1", 12.0, 0.001);
    car.push("S1");
    car.device("A1", {"30", "15", "31"},
               Controller{.parts = {{.part = TerminalPart::feed},
                                    {.part = TerminalPart::feed},
                                    {.part = TerminalPart::ground}},
                          .sleeps = Amps(0.02),
                          .needs = Volts(0.5)});
    car.wire("G1.+", "A1.30");
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "A1.15");
    car.wire("A1.31", "G1.-");
    const StateId off = car.state("off");
    const StateId on = car.state("on");
    car.set_position(on, "S1", 1);
    const Study study(car.vehicle);
    const StateSolution asleep = study.solve(off);
    CHECK(study.device(asleep, "A1").amps == Approx(0.02).scale(0.0));
    CHECK_FALSE(study.is_on(asleep, "A1"));
    const StateSolution awake = study.solve(on); // it works, on nothing that is known
    CHECK(study.device(awake, "A1").amps == Approx(0.02).scale(0.0));
    CHECK(study.is_on(awake, "A1"));
}

TEST_CASE("a controller has its worst live feed over its worst ground") {
    // terminals: memory (always live), main (switched), two grounds, a signal
    Network network;
    network.terminal_nodes = {{0, 1, 2, 3, 4}};
    network.always_live = {{1, 0, 0, 0, 0}};
    Controller made;
    made.parts = {{.part = TerminalPart::feed},
                  {.part = TerminalPart::feed},
                  {.part = TerminalPart::ground},
                  {.part = TerminalPart::ground},
                  {.part = TerminalPart::signal}};
    struct Case {
        std::vector<double> volts;
        std::vector<std::uint8_t> floats;
        double expected;
        int feed;
    };
    const std::vector<Case> cases{
        // over 0.5 V: 11.5 V and 7.5 V, the switched one more than half of the best
        {{12.0, 8.0, 0.2, 0.5, 14.0}, {0, 0, 0, 0, 0}, 7.5, 1},
        {{12.0, 6.25, 0.2, 0.5, 0.0}, {0, 0, 0, 0, 0}, 5.75, 1}, // half is live
        {{12.0, 6.2, 0.2, 0.5, 0.0}, {0, 0, 0, 0, 0}, 0.0, -1},  // under it, switched off: asleep
        {{8.0, 12.0, 0.2, 0.5, 0.0}, {0, 0, 0, 0, 0}, 7.5, 0},   // awake, its memory the worse
        {{12.0, 8.0, 0.2, 0.5, 0.0}, {0, 0, 0, 1, 0}, 7.8, 1},   // that ground is joined to nothing
        {{12.0, 8.0, 0.2, 0.5, 0.0}, {0, 0, 1, 1, 0}, 0.0, -1},
        {{12.0, 8.0, 0.2, 0.5, 0.0}, {0, 1, 0, 0, 0}, 0.0, -1}, // its switched feed floats
        {{12.0, 8.0, 0.2, 0.5, 0.0}, {1, 1, 0, 0, 0}, 0.0, -1}, // nothing is joined to a source
        {{0.2, 0.1, 0.2, 0.5, 0.0}, {0, 0, 0, 0, 0}, 0.0, -1},
    };
    for (std::size_t i = 0; i < cases.size(); ++i) {
        CAPTURE(i);
        StateSolution solution;
        solution.node_volts = cases[i].volts;
        solution.floating = cases[i].floats;
        const ControllerSupply supply = controller_supply(network, DeviceId(0), made, solution);
        CHECK(supply.volts == Approx(cases[i].expected));
        CHECK(supply.feed == cases[i].feed);
    }
    // with feeds that are both always live, one that is off does not count
    network.always_live = {{1, 1, 0, 0, 0}};
    StateSolution solution;
    solution.node_volts = {12.0, 6.2, 0.2, 0.5, 0.0};
    solution.floating = {0, 0, 0, 0, 0};
    const ControllerSupply supply = controller_supply(network, DeviceId(0), made, solution);
    CHECK(supply.volts == Approx(11.5));
    CHECK(supply.feed == 0);
}

TEST_CASE("branches have the names that a wireman gives them, in lists and in decks") {
    Car car;
    car.vehicle.bodies = {"chassis", "engine"};
    car.source("G1", 12.0, 0.1);
    car.alternator("G2", 60.0, 30.0, 14.2);
    const DeviceId fuse = car.fuse("F1", 20.0);
    car.at(fuse).word = "fuse";
    car.at(fuse).title = "lighting";
    car.relay("K1", 85.0);
    std::get<Relay>(car.vehicle.devices.back().spec).suppression = Suppression::resistor;
    car.push("S1");
    car.device(
        "M1", {"30", "50", "31"},
        Starter{.draws = {.current = Amps(150.0), .at = Volts(10.0)}, .solenoid = Ohms(0.5)});
    const DeviceId lamp = car.load("E1", LoadLaw::lamp, "lamp", 4.6, 12.0);
    car.at(lamp).case_body = 1;
    car.at(lamp).case_terminal = 1;
    car.device("A1", {"15", "31", "out"},
               Controller{.parts = {{.part = TerminalPart::feed},
                                    {.part = TerminalPart::ground},
                                    {.part = TerminalPart::low_side}},
                          .draws = Demand{.current = Amps(2.0), .at = Volts(12.0)}});
    car.ground("GND1");
    car.device("W1", {}, Strap{.body_a = 0, .body_b = 1});
    const DeviceId shell = car.device("XA", {"1"}, Connector{});
    const DeviceId mate = car.device("XB", {"1"}, Connector{.mate = shell});
    std::get<Connector>(car.at(shell).spec).mate = mate;
    car.vehicle.supplied.push_back({.name = "tail",
                                    .device = lamp,
                                    .leads = {{.name = "red",
                                               .terminal = 0,
                                               .size = ConductorSize{SizeStandard::iso, "1"},
                                               .length = Metres(0.9)}}});
    car.wire("G1.+", "XA.1", "2.5", 1.0);
    car.wire("XB.1", "E1.+", "2.5", 1.0);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    struct Case {
        BranchKind kind;
        const char* device;
        int part;
        const char* name;
        const char* label;
    };
    const std::vector<Case> cases{
        {BranchKind::lead, "E1", 0, "tail.red", "E1, lead +"},
        {BranchKind::joint, "XA", 0, "XA.1", nullptr},
        {BranchKind::battery, "G1", 0, "G1", "G1"},
        {BranchKind::alternator, "G2", 0, "G2", "G2, B+ to -"}, // of three terminals
        {BranchKind::resistor, "G2", 1, "G2", "G2, exciter diodes B+ to D+"},
        {BranchKind::resistor, "G2", 2, "G2", "G2, field D+ to -"},
        {BranchKind::protection, "F1", 0, "F1", "fuse F1 (lighting), 20 A"},
        {BranchKind::contact, "K1", 0, "K1.30-87", "K1, contact 30-87"},
        {BranchKind::coil, "K1", 0, "K1 coil", "K1, coil 86-85"},
        {BranchKind::suppressor, "K1", 0, "K1", "K1, suppressor across the coil 86-85"},
        {BranchKind::contact, "S1", 0, "S1.1-2", "S1, contact 1-2"},
        {BranchKind::contact, "M1", 0, "M1 contact", "M1, contact 30"}, // to the motor inside
        {BranchKind::load, "E1", 0, "E1", "E1"},
        {BranchKind::bond, "E1", 0, "E1 case", nullptr},
        {BranchKind::output, "A1", 2, "A1.out", "A1, output out-31"},
        {BranchKind::bond, "GND1", 0, "GND1", "GND1, bond to metal"},
        {BranchKind::strap, "W1", 0, "W1", "W1"}};
    for (const Case& one : cases) {
        CAPTURE(one.name);
        const DeviceId device = car.vehicle.find_device(one.device);
        const auto found = std::ranges::find_if(study.network.branches, [&](const Branch& branch) {
            return branch.kind == one.kind && branch.device == device && branch.part == one.part;
        });
        REQUIRE(found != study.network.branches.end());
        CHECK(name_of(study, *found) == one.name);
        if (one.label != nullptr) {
            CHECK(deck_label(study.input(), study.design, solution, *found) == one.label);
        }
    }
    Design unrated = study.design; // a fuse whose rating is not chosen yet
    unrated.ratings[fuse.index()].reset();
    CHECK(deck_label(study.input(), unrated, solution,
                     study.network.branches[static_cast<std::size_t>(only_branch(study, "F1"))]) ==
          "fuse F1 (lighting)");
    CHECK(branch_name(study.input(), 0) == "1.1");
    const std::vector<int> way{0, only_branch(study, "G2"), only_branch(study, "G2") + 1};
    CHECK(way_names(study.input(), way) == std::vector<std::string>{"1.1", "G2"});
    // without a zone it is as warm as the table's default air, 50 C; it carries nothing
    CHECK(deck_label(study.input(), study.design, solution, study.network.branches[0]) ==
          "wire 1.1, 2.5 mm2, 1.00 m, 50 C, from G1.+ to XA.1");
}

TEST_CASE("a deck ties every part of the car that no metal joins to the rest, once") {
    Car car;
    car.source("G1", 12.0, 0.01);
    car.heater("E1", 5.0, 12.0);
    car.source("G2", 6.0, 0.01);
    car.heater("E2", 5.0, 6.0);
    for (const char* const side : {"1", "2"}) {
        const std::string number(side);
        car.wire("G" + number + ".+", "E" + number + ".+");
        car.wire("E" + number + ".-", "G" + number + ".-");
    }
    car.splice("X1"); // joined to nothing, and in no deck
    const Study study(car.vehicle);
    const std::string deck = spice_deck(study.input(), study.design, study.solve());
    std::vector<std::string> ties;
    for (std::size_t place = deck.find("\nRG"); place != std::string::npos;
         place = deck.find("\nRG", place + 1)) {
        ties.push_back(deck.substr(place + 1, deck.find('\n', place + 1) - place - 1));
    }
    REQUIRE(ties.size() == 1);
    const int minus = study.network.node(car.ref("G2.-"));
    const std::string name = std::to_string(minus);
    CHECK(ties[0] == "RG" + name + " n" + name + " 0 1");
    CHECK(places_left_out(study, deck) == std::vector<std::string>{"chassis", "engine", "X1"});
    CHECK(deck.find("node 0 is G1.-") != std::string::npos);
}

TEST_CASE("a deck's search does not begin at a battery that stands in a row, whatever is open") {
    // S1's open contact comes before the batteries and is left out of the circuit.
    Car car;
    car.vehicle.nominal = Volts(24.0);
    car.push("S1");
    car.source("G1", 12.0, 0.01);
    car.source("G2", 12.5, 0.01);
    car.source("G3", 24.0, 0.01);
    car.heater("E1", 5.0, 24.0);
    car.wire("G1.+", "G2.-");
    car.wire("G2.+", "E1.+");
    car.wire("E1.-", "G1.-");
    car.wire("G3.-", "G1.-");
    car.wire("G3.+", "S1.1");
    car.ground("GND1");
    car.wire("G1.-", "GND1");
    const Study study(car.vehicle);
    const std::string deck = spice_deck(study.input(), study.design, study.solve());
    CHECK(places_left_out(study, deck) == std::vector<std::string>{"engine", "S1.2"});
    const auto starts = [&](const char* volts) {
        const std::string line = ")=" + std::string(volts) + "\n";
        for (std::size_t place = deck.find(line); place != std::string::npos;
             place = deck.find(line, place + 1)) {
            if (deck.rfind(".nodeset", place) > deck.rfind('\n', place)) {
                return true;
            }
        }
        return false;
    };
    CHECK_FALSE(starts("12"));
    CHECK_FALSE(starts("12.5"));
    CHECK(starts("24"));
}

TEST_CASE("a deck's search does not begin at a battery in a row that comes before all else") {
    // Two batteries and a heater in one case, without a wire: the posts are the case's.
    Car car;
    car.vehicle.nominal = Volts(24.0);
    car.source("G1", 12.0, 0.01);
    car.source("G2", 12.5, 0.01);
    car.heater("E1", 5.0, 24.0);
    const DeviceId pack = car.device("A1", {"+", "middle", "-"}, Unit{});
    const auto put = [&](const char* name, std::vector<int> terminals) {
        Device& inner = car.at(car.vehicle.find_device(name));
        inner.housing = pack;
        inner.housing_terminal = std::move(terminals);
    };
    put("G1", {1, 2});
    put("G2", {0, 1});
    put("E1", {0, 2});
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    REQUIRE(solution.circuit_branch.front() == only_branch(study, "G1"));
    CHECK(study.device(solution, "E1").amps == Approx(24.5 / (24.0 / 5.0 + 0.02)));
    const std::string deck = spice_deck(study.input(), study.design, solution);
    CHECK(deck.find(".nodeset") == std::string::npos);
}

} // namespace loomwright
