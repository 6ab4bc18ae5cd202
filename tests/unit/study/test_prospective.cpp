// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Prospective currents of protective devices, by hand from the resistances of the tables.

#include "study/prospective.hpp"

#include "study_bench.hpp"

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

std::vector<ProspectPair> prospects_of(const Study& study, const std::vector<StateId>& states) {
    std::vector<StateSolution> solved;
    for (const StateId state : states) {
        solved.push_back(study.solve(state));
    }
    return prospective_currents(study.input(), study.design, solved);
}

double r20_ohm(const Study& study, WireId wire) {
    return study.design.wires[wire.index()].r20_ohm();
}

} // namespace

TEST_CASE("a fuse behind one battery: everything before it and the way home, not itself") {
    Car car;
    car.source("G1", 12.6, 0.005);
    const DeviceId first = car.fuse("F1", 30.0);
    const DeviceId second = car.fuse("F2", 10.0);
    car.heater("E1", 5.0, 13.5);
    car.ground("GND1");
    const WireId bare = car.wire("G1.+", "F1.in", "10", 0.3);
    const WireId trunk = car.wire("F1.out", "F2.in", "4", 1.0);
    car.wire("F2.out", "E1.+", "1.5", 2.0);
    car.wire("E1.-", "GND1", "1.5", 0.5);
    const WireId home = car.wire("G1.-", "GND1", "16", 0.4);
    const Study study(car.vehicle);
    const auto prospects = prospects_of(study, {StateId()});
    const double source = 0.005 + r20_ohm(study, home) + study.value("ground-bond");
    const double at_first = source + r20_ohm(study, bare);
    CHECK(prospects[first.index()].onward.amps == doctest::Approx(12.6 / at_first));
    CHECK(prospects[first.index()].onward.ohm() == doctest::Approx(at_first));
    CHECK(prospects[first.index()].back.amps == 0.0);
    // Before the second lies the first, cold: 1.97 mohm of 30 A (table fuse-ratings) and its
    // holder.
    const double fuse = 0.00197 + study.value("fuse-holder");
    CHECK(prospects[second.index()].onward.amps ==
          doctest::Approx(12.6 / (at_first + fuse + r20_ohm(study, trunk))));
}

TEST_CASE("the greatest of the states, and a device that no state feeds") {
    Car car;
    const DeviceId battery = car.battery("G1", 60.0, 600.0);
    const DeviceId fuse = car.fuse("F1", 30.0);
    const DeviceId idle = car.fuse("F2", 30.0);
    car.push("S1");
    car.heater("E1", 5.0, 13.5);
    car.ground("GND1");
    car.wire("G1.+", "F1.in", "10", 0.3);
    car.wire("F1.out", "S1.1", "4", 1.0);
    car.wire("S1.2", "F2.in", "4", 1.0);
    car.wire("F2.out", "E1.+", "4", 1.0);
    car.wire("E1.-", "GND1", "1.5", 0.5);
    car.wire("G1.-", "GND1", "16", 0.4);
    const StateId cold = car.state("cold");
    car.vehicle.states[cold.index()].battery_temperature = Celsius(-18.0);
    const StateId warm = car.state("warm");
    const Study study(car.vehicle);
    CHECK(battery.is_valid());
    const auto prospects = prospects_of(study, {cold, warm});
    CHECK(prospects[fuse.index()].onward.state == warm);
    // A warm battery of 600 A cold: (12.6 - 38 x 0.0013 - 7.2) / 600 = 8.918 mohm at -18 C, at 20 C
    // 1 - 0.5 x 38 / 43 of it: 4.977 mohm.
    const double rest = prospects[fuse.index()].onward.ohm() - 0.004977;
    CHECK(rest == doctest::Approx(0.3 * study.design.wires[0].conductor->r20_ohm_per_m +
                                  0.4 * study.design.wires[5].conductor->r20_ohm_per_m +
                                  study.value("ground-bond"))
                      .epsilon(1e-3));
    CHECK(prospects[idle.index()].greater().amps == 0.0);
}

TEST_CASE("between battery and alternator a fuse sees each from its own side") {
    Car car;
    car.source("G1", 12.6, 0.005);
    car.alternator("G2", 90.0, 50.0, 14.2);
    const DeviceId fuse = car.fuse("F1", 100.0);
    car.ground("GND1");
    const WireId near = car.wire("G1.+", "F1.in", "25", 0.3);
    car.wire("F1.out", "G2.B+", "25", 1.0);
    const WireId home = car.wire("G1.-", "GND1", "25", 0.3);
    car.wire("G2.-", "GND1", "25", 0.3);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const auto prospects = prospects_of(study, {running});
    // In default air of 50 C it gives less than its 90 A (tables defaults, alternator-hot-share).
    const double share = 1.0 - (1.0 - study.value("alternator-hot-share")) *
                                   (study.value("air") - study.value("alternator-cool")) /
                                   (study.value("alternator-hot") - study.value("alternator-cool"));
    CHECK(prospects[fuse.index()].back.amps == doctest::Approx(90.0 * share).epsilon(1e-6));
    // Both come home through one ground stud.
    const double bond = study.value("ground-bond");
    const double before = 0.005 + r20_ohm(study, near) + r20_ohm(study, home) + bond;
    CHECK(prospects[fuse.index()].onward.amps ==
          doctest::Approx((12.6 - bond * 90.0 * share) / before).epsilon(1e-6));
    CHECK(&prospects[fuse.index()].greater() == &prospects[fuse.index()].onward);
}

TEST_CASE("a diode on the way holds nothing back, whichever way round: the safe side") {
    for (const bool is_forward : {true, false}) {
        CAPTURE(is_forward);
        Car car;
        car.source("G1", 12.6, 0.005);
        const DeviceId fuse = car.fuse("F1", 30.0);
        car.device("V1", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(1.0)});
        car.heater("E1", 5.0, 13.5);
        car.ground("GND1");
        const WireId bare = car.wire("G1.+", is_forward ? "V1.a" : "V1.k", "10", 0.3);
        const WireId next = car.wire(is_forward ? "V1.k" : "V1.a", "F1.in", "10", 0.3);
        car.wire("F1.out", "E1.+", "4", 1.0);
        car.wire("E1.-", "GND1", "4", 1.0);
        const WireId home = car.wire("G1.-", "GND1", "16", 0.4);
        const Study study(car.vehicle);
        const double ohm = 0.005 + r20_ohm(study, bare) + r20_ohm(study, next) +
                           r20_ohm(study, home) + study.value("ground-bond");
        CHECK(prospects_of(study, {StateId()})[fuse.index()].onward.amps ==
              doctest::Approx(12.6 / ohm).epsilon(1e-3)); // a millionth of an ohm stands for none
    }
}

TEST_CASE("with the plus on the metal the same currents flow the other way") {
    std::vector<double> amps;
    for (const bool is_plus_grounded : {false, true}) {
        Car car;
        car.source("G1", 12.6, 0.005);
        const DeviceId fuse = car.fuse("F1", 30.0);
        car.heater("E1", 5.0, 13.5);
        car.ground("GND1");
        car.wire(is_plus_grounded ? "G1.-" : "G1.+", "F1.in", "10", 0.3);
        car.wire("F1.out", "E1.+", "4", 1.0);
        car.wire("E1.-", "GND1", "4", 1.0);
        car.wire(is_plus_grounded ? "G1.+" : "G1.-", "GND1", "16", 0.4);
        const Study study(car.vehicle);
        amps.push_back(prospects_of(study, {StateId()})[fuse.index()].greater().amps);
    }
    CHECK(amps[0] > 1000.0);
    CHECK(amps[1] == doctest::Approx(amps[0]).epsilon(1e-9));
}
