// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// How far each part of a car may be off what its file says: the rows of the table `spreads` as they
// are written there, by the moments of their distributions (any text on statistics):
//
//   uniform, half width w         deviation w / sqrt(3)                    0.15 -> 0.086603
//   uniform about 0.965, 0.035    sqrt(0.035^2 / 3 + 0.035^2) about 1           -> 0.040415
//   log-normal, factor 1.6        q = ln 1.6 = 0.470004; E (f - 1)^2 =
//                                 exp(2 q^2) - 2 exp(q^2 / 2) + 1 = 0.321950    -> 0.567406
//   log-normal, factor 1.25       q = 0.223144: 0.054296                        -> 0.233015
#include "study/measure_tolerance.hpp"

#include "study/spread_tables.hpp"
#include "study/study_bench.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {
namespace {

using doctest::Approx;
using testing::Car;
using testing::spreads;
using testing::Study;

constexpr double contact = 0.567406;
constexpr double stage = 0.233015; ///< an output stage; the inside of a battery

struct Found {
    std::string what; ///< device or wire
    BranchKind kind;
    double deviation;
    bool is_emf;
};

std::vector<Tolerance> all_of(const Study& study) {
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    return tolerances(plan, spreads());
}

/// Those of one branch, in their order.
std::vector<Found> single(const Study& study, const std::vector<Tolerance>& all) {
    std::vector<Found> out;
    for (const Tolerance& tolerance : all) {
        if (tolerance.parts.size() == 1) {
            const Tolerance::Part& part = tolerance.parts.front();
            const Branch& branch = study.network.branches[static_cast<std::size_t>(part.branch)];
            out.push_back({branch.device.is_valid()
                               ? study.vehicle.device(branch.device).name
                               : study.vehicle.wires[branch.wire.index()].number,
                           branch.kind, part.deviation, part.is_emf});
        }
    }
    return out;
}

void check(const std::vector<Found>& found, const std::vector<Found>& expected) {
    REQUIRE(found.size() == expected.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        CAPTURE(expected[i].what);
        CHECK(found[i].what == expected[i].what);
        CHECK(found[i].kind == expected[i].kind);
        CHECK(found[i].deviation == Approx(expected[i].deviation).epsilon(2e-5));
        CHECK(found[i].is_emf == expected[i].is_emf);
    }
}

} // namespace

TEST_CASE("every part of a car has the tolerance of its row, wires of a size share their copper") {
    Car car;
    const PointId here = car.point("here");
    const PointId there = car.point("there");
    const PointId far = car.point("far");
    car.run("measured", here, there, 2.0);
    car.run("by-eye", there, far, 3.0);
    car.vehicle.runs.back().is_estimated = true;
    car.vehicle.bodies = {"chassis", "engine"};
    car.battery("G1", 60.0, 500.0);
    std::get<Battery>(car.at(DeviceId(0)).spec).charge = 0.6;
    car.alternator("G2", 60.0, 30.0, 14.2);
    car.device("G3", {"+", "-"}, Charger{.limit = Amps(10.0), .regulates = Volts(14.0)});
    car.fuse("F1", 20.0);
    car.relay("K1", 85.0);
    std::get<Relay>(car.vehicle.devices.back().spec).suppression = Suppression::resistor;
    car.push("S1");
    car.device(
        "M1", {"30", "50", "31"},
        Starter{.draws = {.current = Amps(150.0), .at = Volts(10.0)}, .solenoid = Ohms(0.5)});
    car.load("E1", LoadLaw::lamp, "lamp", 4.6, 12.0);
    car.load("M2", LoadLaw::constant_current, "motor", 8.0, 13.0);
    car.load("A2", LoadLaw::constant_power, "electronics", 2.0, 12.0);
    car.heater("E2", 5.0, 12.0);
    car.device("B1", {"+", "-"}, Sensor{.draws = Demand{.current = Amps(0.1), .at = Volts(12.0)}});
    car.device("A1", {"15", "31", "out"},
               Controller{.parts = {{.part = TerminalPart::feed},
                                    {.part = TerminalPart::ground},
                                    {.part = TerminalPart::low_side}},
                          .draws = Demand{.current = Amps(2.0), .at = Volts(12.0)}});
    car.ground("GND1");
    car.device("W1", {}, Strap{.body_a = 0, .body_b = 1});
    car.device("V1", {"a", "k"}, Diode{});
    car.device("R1", {"1", "2"}, Resistor{.resistance = Ohms(10.0)});
    car.device("T1", {"49", "49a"}, Flasher{});
    const DeviceId shell = car.device("XA", {"1"}, Connector{});
    const DeviceId mate = car.device("XB", {"1"}, Connector{.mate = shell});
    std::get<Connector>(car.at(shell).spec).mate = mate;
    car.at(car.vehicle.find_device("F1")).at = here;
    car.at(car.vehicle.find_device("E2")).at = there;
    car.at(car.vehicle.find_device("E1")).at = far;
    car.wire("G1.+", "F1.in", "6", 1.0); // 1.1: its length is written
    car.routed("F1.out", "E2.+");        // 1.2: along a run that was measured
    car.routed("F1.out", "E1.+");        // 1.3: and one that was not
    car.routed("G1.-", "GND1");          // 1.4: neither end has a place
    car.wire("G1.+", "XA.1", "6", 1.0);  // 1.5
    car.wire("E2.-", "GND1", "4", 1.0);  // 1.6: the only one of its size
    const Study study(car.vehicle);
    const std::vector<Tolerance> all = all_of(study);
    const double even = 1.0 / std::sqrt(3.0);
    std::vector<Found> found = single(study, all);
    // the copper of the one wire of 4 mm2 stands with the other sizes, after all else
    REQUIRE_FALSE(found.empty());
    CHECK(found.back().what == "1.6");
    CHECK(found.back().deviation == Approx(0.040415).epsilon(2e-5).scale(0.0));
    found.pop_back();
    // a fuse in its holder: 1 mohm of the whole is the holder's
    const double whole =
        protection_ohm(*car.vehicle.device(car.vehicle.find_device("F1")).as<Protection>(),
                       Amps(20.0), study.catalogue, StudyDefaults(study.catalogue, car.vehicle));
    const double holder = 0.001 / whole;
    const double fuse = std::hypot((1.0 - holder) * 0.15 * even, holder * contact);
    check(found, {
                     {"1.1", BranchKind::wire, 0.02 * even, false},
                     {"1.2", BranchKind::wire, 0.02 * even, false},
                     {"1.3", BranchKind::wire, 0.1 * even, false},
                     {"1.4", BranchKind::wire, 0.1 * even, false},
                     {"1.5", BranchKind::wire, 0.02 * even, false},
                     {"1.6", BranchKind::wire, 0.02 * even, false},
                     {"XA", BranchKind::joint, contact, false},
                     {"G1", BranchKind::battery, stage, false},
                     // 0.1 V either way, and 0.1 of charge at 0.2 V for each quarter (50 to 100 %)
                     {"G1", BranchKind::battery, std::hypot(0.1 * even, 0.8 * 0.1 * even), true},
                     {"G2", BranchKind::alternator, 0.3 * even, true},
                     {"G3", BranchKind::charger, 0.3 * even, true},
                     {"F1", BranchKind::protection, fuse, false},
                     {"K1", BranchKind::contact, contact, false},
                     {"K1", BranchKind::coil, 0.1 * even, false},
                     {"S1", BranchKind::contact, contact, false},
                     {"M1", BranchKind::coil, 0.1 * even, false},
                     {"M1", BranchKind::contact, contact, false},
                     {"M1", BranchKind::load, 0.1, false},
                     {"E1", BranchKind::load, 0.03, false},
                     {"M2", BranchKind::load, 0.1, false},
                     {"A2", BranchKind::load, 0.2 * even, false},
                     {"E2", BranchKind::load, 0.1 * even, false},
                     {"B1", BranchKind::load, 0.1 * even, false},
                     {"GND1", BranchKind::bond, contact, false},
                     {"W1", BranchKind::strap, contact, false},
                     {"T1", BranchKind::contact, contact, false},
                     {"A1", BranchKind::load, 0.2 * even, false},
                     {"A1", BranchKind::output, stage, false},
                 });
    // 6 mm2 and 2.5 mm2 are on two wires and three
    std::vector<std::vector<std::string>> spools;
    for (const Tolerance& tolerance : all) {
        if (tolerance.parts.size() == 1) {
            continue;
        }
        spools.emplace_back();
        for (const Tolerance::Part& part : tolerance.parts) {
            CHECK(part.deviation == Approx(0.040415).epsilon(2e-5).scale(0.0));
            CHECK_FALSE(part.is_emf);
            const WireId wire = study.network.branches[static_cast<std::size_t>(part.branch)].wire;
            spools.back().push_back(car.vehicle.wires[wire.index()].number);
        }
    }
    CHECK(spools == std::vector<std::vector<std::string>>{{"1.1", "1.5"}, {"1.2", "1.3", "1.4"}});
}

TEST_CASE("a lead of a supplied harness has a length and a copper of its own") {
    Car car;
    car.source("G1", 12.0, 0.1);
    const DeviceId heater = car.heater("E1", 5.0, 12.0);
    car.vehicle.supplied.push_back({.name = "tail",
                                    .device = heater,
                                    .leads = {{.name = "red",
                                               .terminal = 0,
                                               .size = ConductorSize{SizeStandard::iso, "2.5"},
                                               .length = Metres(0.9)}}});
    car.wire("G1.+", "E1.+", "2.5", 1.0);
    car.wire("E1.-", "G1.-", "2.5", 1.0);
    const Study study(car.vehicle);
    const double even = 1.0 / std::sqrt(3.0);
    check(single(study, all_of(study)),
          {{"1.1", BranchKind::wire, 0.02 * even, false},
           {"1.2", BranchKind::wire, 0.02 * even, false},
           {"E1", BranchKind::lead, std::hypot(0.02 * even, 0.040415), false},
           {"G1", BranchKind::battery, stage, false},
           {"G1", BranchKind::battery, 0.1 * even,
            true}, // its volts are written, whatever its charge
           {"E1", BranchKind::load, 0.1 * even, false}});
}

TEST_CASE("a fuse with a written resistance and a link have no holder") {
    Car car;
    car.source("G1", 12.0, 0.1);
    Protection made;
    made.family = "blade";
    made.rating = Amps(20.0);
    made.resistance = Ohms(0.02);
    car.device("F1", {"in", "out"}, made);
    made.resistance.reset();
    made.link = ConductorSize{SizeStandard::iso, "1"};
    car.device("F2", {"in", "out"}, made);
    const Study study(car.vehicle);
    const double even = 1.0 / std::sqrt(3.0);
    check(single(study, all_of(study)), {{"G1", BranchKind::battery, stage, false},
                                         {"G1", BranchKind::battery, 0.1 * even, true},
                                         {"F1", BranchKind::protection, 0.15 * even, false},
                                         {"F2", BranchKind::protection, 0.15 * even, false}});
}

TEST_CASE("tolerances in volts grow with the car's voltage, and are shared by batteries in a row") {
    const double even = 1.0 / std::sqrt(3.0);
    Car car;
    car.vehicle.nominal = Volts(24.0);
    car.battery("G1", 60.0, 500.0);
    car.battery("G2", 60.0, 500.0);
    // At 2 % of its charge, 0.0577 less is below nothing: 0.02 of 1.6 V a unit (11.6 to 12.0 V)
    std::get<Battery>(car.at(DeviceId(0)).spec).charge = 0.02;
    car.alternator("G3", 60.0, 30.0, 28.0);
    car.wire("G1.+", "G2.-");
    const Study row(car.vehicle);
    check(single(row, all_of(row)),
          {{"1.1", BranchKind::wire, 0.02 * even, false},
           {"G1", BranchKind::battery, stage, false},
           {"G1", BranchKind::battery, std::hypot(0.1 * even, 0.02 * 1.6), true},
           {"G2", BranchKind::battery, stage, false},
           {"G2", BranchKind::battery, std::hypot(0.1 * even, 0.8 * 0.1 * even), true},
           {"G3", BranchKind::alternator, 2.0 * 0.3 * even, true},
           {"1.1", BranchKind::wire, 0.040415, false}}); // the copper
    Car alone;
    alone.vehicle.nominal = Volts(24.0);
    alone.battery("G1", 60.0, 500.0);
    const Study single_battery(alone.vehicle);
    check(single(single_battery, all_of(single_battery)),
          {{"G1", BranchKind::battery, stage, false},
           {"G1", BranchKind::battery, 2.0 * std::hypot(0.1 * even, 0.8 * 0.1 * even), true}});
}

} // namespace loomwright
