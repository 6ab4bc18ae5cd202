// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Vehicle files with loops of ideal things: batteries without resistance are refused where they are
// written; straps and fuses without resistance count as a micro-ohm (values.hpp), and share their
// current evenly.

#include "drawn_car.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace loomwright;
using namespace loomwright::testing;

namespace {

/// Two batteries side by side, two straps and two fuses side by side, a heater.
std::string car_of(const std::string& battery, const std::string& strap, const std::string& fuse) {
    return R"(loomwright: 1
nominal: 12 V
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: )" +
           battery + R"(}
  G2: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: )" +
           battery + R"(}
  F1: {is: fuse, rating: 40 A, resistance: )" +
           fuse + R"(}
  F2: {is: fuse, rating: 40 A, resistance: )" +
           fuse + R"(}
  B1: {is: stud}
  B2: {is: stud}
  E1: {is: heater, draws: 20 A at 12.6 V, case: engine}
  W1: {is: strap, between: [engine, chassis], resistance: )" +
           strap + R"(}
  W2: {is: strap, between: [engine, chassis], resistance: )" +
           strap + R"(}
  GND1: {is: ground, body: chassis, bond: 0 ohm}
circuits:
  main:
    number: 1
    size: 16 mm2
    wires:
      1.1: {from: G1.+, to: B1, length: 0.5 m}
      1.2: {from: G2.+, to: B1, length: 0.5 m}
      1.3: {from: G1.-, to: GND1, length: 0.5 m}
      1.4: {from: G2.-, to: GND1, length: 0.5 m}
      1.5: {from: B1, to: F1.in, length: 0.5 m}
      1.6: {from: B1, to: F2.in, length: 0.5 m}
      1.7: {from: F1.out, to: B2, length: 0.5 m}
      1.8: {from: F2.out, to: B2, length: 0.5 m}
      1.9: {from: B2, to: E1.+, length: 1 m}
)";
}

} // namespace

TEST_CASE(
    "a loop of batteries without resistance is refused, with the place and what is possible") {
    const auto project = checked(car_of("0 ohm", "1 mohm", "2 mohm"));
    REQUIRE(project->findings.has_input_fault());
    CHECK_FALSE(project->is_sized);
    int refused = 0;
    for (const Finding& finding : project->findings.all()) {
        const std::string text = describe(finding, project->files);
        if (text.find("resistance here must be more than 0 ohm") != std::string::npos) {
            ++refused;
            CHECK_MESSAGE(text.find("car.yaml:") != std::string::npos, text);
        }
    }
    CHECK(refused == 2);
}

TEST_CASE("loops of straps and fuses without resistance share their current evenly") {
    const auto project = checked(car_of("5 mohm", "0 ohm", "0 ohm"));
    for (const Finding& finding : project->findings.all()) {
        REQUIRE_MESSAGE(!project->findings.has_input_fault(), describe(finding, project->files));
    }
    const StateSolution& state = project->sizing.states.front();
    REQUIRE(state.converged);
    const auto device = [&](const char* name) {
        return state.devices[project->vehicle.find_device(name).index()];
    };
    const auto wire = [&](const char* number) {
        return state.wires[project->vehicle.find_wire(number).index()];
    };
    const double amps = device("E1").amps;
    CHECK(amps > 15.0);
    for (const char* name : {"G1", "G2", "F1", "F2", "W1", "W2"}) {
        CAPTURE(name);
        CHECK(std::abs(device(name).amps) == doctest::Approx(0.5 * amps).epsilon(1e-9));
    }
    // Ohm's law round the loop: 12.6 V over two batteries in parallel, the wires at their
    // resistance, the heater of 12.6 V / 20 A, its case's bond of 1 mohm (tables defaults,
    // ground-bond), and a micro-ohm each for fuses, straps and the bond of 0 ohm.
    const double ohm = 0.5 * (0.005 + wire("1.1").ohm + wire("1.3").ohm) +
                       0.5 * (wire("1.5").ohm + 1e-6 + wire("1.7").ohm) + wire("1.9").ohm +
                       12.6 / 20.0 + 1e-3 + 0.5e-6 + 1e-6;
    CHECK(amps == doctest::Approx(12.6 / ohm).epsilon(1e-6));
    CHECK(std::abs(device("W1").volts) == doctest::Approx(0.5e-6 * amps).epsilon(1e-6).scale(0.0));
}
