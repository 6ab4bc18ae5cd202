// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What kind of load each contact of a switch carries (docs/rules/switch-contact.md), and how a
// finding of the worst contact or cavity tells of the others.
#include "checks/checked.hpp"
#include "checks/contact_loads.hpp"

#include <doctest/doctest.h>

#include <numeric>

namespace loomwright {
namespace {

constexpr const char* car_of_kinds = R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, voltage: 12.6 V, resistance: 10 mohm}
  F1: {is: fuse, rating: 20 A}
  S1: {is: switch, contact: 10 A, positions: {on: [1-2, 3-4, 5-6, 53-31b]}}
  E1: {is: lamp, draws: 21 W at 13.5 V}
  R1: {is: resistor, resistance: 10 ohm}
  K1: {is: relay, contact: 30 A, coil: 85 ohm}
  R2: {is: resistor, resistance: 1.5 ohm}
  Y1: {is: coil, resistance: 1.5 ohm}
  R3: {is: resistor, resistance: 4 ohm}
  R4: {is: resistor, resistance: 8 ohm}
  R5: {is: resistor, resistance: 8 ohm}
  M1: {is: motor, draws: 3.5 A at 13 V, inrush: 14 A for 0.2 s}
  GND1: {is: ground, body: chassis}
circuits:
  all:
    number: 1
    size: 6 mm2
    paths:
      - G1 > F1 > S1.1
      - S1.2 > E1 > GND1
      - S1.2 > R1 > GND1
      - S1.2 > K1.86
      - K1.85 > GND1
      - F1.out > S1.3
      - S1.4 > R2.1
      - R2.2 > Y1 > GND1
      - F1.out > S1.5
      - S1.6 > R3.1
      - R3.2 > R4 > GND1
      - R3.2 > R5 > GND1
      - M1.+ > S1.53
      - S1.31b > M1.-
      - G1.- > GND1
states:
  on: {turning: {M1: 60 %}}
)";

/// In the only state, of the contact with these terminals.
ContactLoad load_of(const Checked& car, const ContactLoads& loads, std::string_view terminals) {
    const CheckInput input{car.study(), car.sizing, nullptr};
    const DeviceId hand = car.vehicle.find_device("S1");
    for (const int index : car.network.device_branches[hand.index()]) {
        const Branch& branch = car.network.branches[static_cast<std::size_t>(index)];
        if (terminals_of(input, branch) == terminals) {
            return loads.of(0, index);
        }
    }
    REQUIRE_MESSAGE(false, std::string(terminals));
    return {};
}

double amps_of(const ContactLoad& load, SwitchedKind kind) {
    return load.by_kind[static_cast<std::size_t>(kind)];
}

constexpr const char* car_with_several_over = R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, family: maxi-blade, rating: 40 A}
  S1: {is: switch, contact: 5 A, positions: {on: [1-2, 3-4, 5-6]}}
  X1: {is: connector, cavities: 4, contact: 8 A}
  E1: {is: lamp, draws: 35 W at 13.5 V}
  E2: {is: lamp, draws: 21 W at 13.5 V}
  E3: {is: lamp, draws: 5 W at 13.5 V}
  E4: {is: heater, draws: 11 A at 12 V}
  E5: {is: heater, draws: 14 A at 12 V}
  E6: {is: heater, draws: 10 A at 12 V}
  E7: {is: heater, draws: 2 A at 12 V}
  GND1: {is: ground, body: chassis}
circuits:
  all:
    number: 1
    size: 10 mm2
    paths:
      - G1 > F1 > S1.1
      - F1.out > S1.3
      - F1.out > S1.5
      - S1.2 > E1 > GND1
      - S1.4 > E2 > GND1
      - S1.6 > E3 > GND1
      - F1.out > X1.1 > E4 > GND1
      - F1.out > X1.2 > E5 > GND1
      - F1.out > X1.3 > E6 > GND1
      - F1.out > X1.4 > E7 > GND1
      - G1.- > GND1
)";

} // namespace

TEST_CASE("switch-contact: what goes through a resistor is resistive, a turned motor is a motor") {
    const auto car = check_text(car_of_kinds);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const CheckInput input{car->study(), car->sizing, nullptr};
    const ContactLoads loads(input);

    // 12.6 V, of which the battery, F1 and the wires take some 0.4 V at 8 A: 1.26 A less 3 % in
    // 10 ohm; 21 W / 13.5 V = 1.56 A less what a lamp at 12.2 V draws less, the square root of
    // 12.2 / 13.5; 12.2 V / 85 ohm = 0.14 A in a coil at 20 C, whose copper is warmer.
    const ContactLoad mixed = load_of(*car, loads, "1-2");
    CHECK(amps_of(mixed, SwitchedKind::resistive) == doctest::Approx(1.22).epsilon(0.01));
    CHECK(amps_of(mixed, SwitchedKind::lamp) == doctest::Approx(1.48).epsilon(0.02));
    CHECK(amps_of(mixed, SwitchedKind::inductive) > 0.10);
    CHECK(amps_of(mixed, SwitchedKind::inductive) < 0.14);
    CHECK(std::accumulate(mixed.by_kind.begin(), mixed.by_kind.end(), 0.0) ==
          doctest::Approx(mixed.amps).epsilon(1e-9));

    // A ballast does not make a coil anything else, working (as an ignition coil) or not.
    const ContactLoad ballast = load_of(*car, loads, "3-4");
    CHECK(ballast.amps == doctest::Approx(12.2 / 3.0).epsilon(0.02));
    CHECK(amps_of(ballast, SwitchedKind::inductive) == doctest::Approx(ballast.amps));
    CHECK(amps_of(ballast, SwitchedKind::resistive) < 1e-6);

    // 4 ohm before two of 8 ohm beside each other: 8 ohm together, each current once.
    const ContactLoad resistors = load_of(*car, loads, "5-6");
    CHECK(resistors.amps == doctest::Approx(12.25 / 8.0).epsilon(0.01));
    CHECK(amps_of(resistors, SwitchedKind::resistive) == doctest::Approx(resistors.amps));
    CHECK(amps_of(resistors, SwitchedKind::inductive) < 1e-6);

    // The winding has 13 V / 14 A = 0.929 ohm, the running motor 13 V - 3.5 A x 0.929 ohm = 9.75 V
    // of its own: at 60 % of its speed 5.85 V drive 6.3 A through it, less with contact and wires.
    const ContactLoad braked = load_of(*car, loads, "53-31b");
    CHECK(braked.amps < 6.3);
    CHECK(braked.amps > 5.9);
    CHECK(amps_of(braked, SwitchedKind::motor) == doctest::Approx(braked.amps));
    CHECK(amps_of(braked, SwitchedKind::inductive) < 1e-6);

    // 5 x 1.48 + 1.22 + 2 x 0.12 = 8.9 A of the 10 A that 1-2 has; 2 x 6.1 A of 53-31b are more.
    const Finding* found = car->find(Rule::switch_contact, "S1");
    REQUIRE_MESSAGE(found != nullptr, car->text());
    CHECK(found->message.find("53-31b switches") == 0);
    CHECK(found->message.find("motors ") != std::string::npos);
    CHECK(found->message.find("coils") == std::string::npos);
    CHECK(found->message.find("also over it") == std::string::npos);
}

TEST_CASE("switch-contact and terminal-rating name what else is over the rating") {
    const auto car = check_text(car_with_several_over);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    // Lamps at some 11.5 V: 5 x 2.4 A of 35 W and 5 x 1.4 A of 21 W are over 5 A, 5 x 0.34 A not.
    const Finding* contact = car->find(Rule::switch_contact, "S1");
    REQUIRE_MESSAGE(contact != nullptr, car->text());
    CHECK(contact->message.find("1-2 switches") == 0);
    CHECK(contact->message.ends_with("it has 5 A; also over it: 3-4"));
    // Heaters at 11.5 V or a little less: 14, 11 and 10 A x 11.5 / 12 are over 8 A, 2 A are not.
    const Finding* cavity = car->find(Rule::terminal_rating, "X1");
    REQUIRE_MESSAGE(cavity != nullptr, car->text());
    CHECK(cavity->message.find("cavity 2 carries") == 0);
    CHECK(cavity->message.ends_with("are rated 8 A; also over it: 1 and 3"));
}

} // namespace loomwright
