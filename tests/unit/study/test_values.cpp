// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What single devices are to the circuit, against sums done by hand.
#include "study/study_bench.hpp"
#include "study/values.hpp"

#include <optional>
#include <utility>

using namespace loomwright;

namespace {

struct Bench {
    Vehicle vehicle;
    Catalogue catalogue = testing::tables();
    StudyDefaults defaults{catalogue, vehicle};
    Policy policy;

    [[nodiscard]] Battery battery(double capacity_ah, double cranking_a) const {
        Battery made;
        made.capacity = Coulombs(capacity_ah * 3600.0);
        made.cranking_amps = Amps(cranking_a);
        return made;
    }
    [[nodiscard]] double ohm_at(double temperature_c) const {
        Battery made = battery(60.0, 600.0);
        made.temperature = Celsius(temperature_c);
        return values(made).ohm;
    }
    [[nodiscard]] BatteryValues values(const Battery& made, const State* state = nullptr) const {
        return battery_values(made, defaults, battery_charge(made, state),
                              battery_temperature_c(made, defaults, policy, state));
    }
};

} // namespace

TEST_CASE("a battery's resistance from its cold cranking current") {
    // SAE J537: 7.2 V at the cold cranking current at -18 C. From 12.6 V at rest:
    // less 1.3 mV for each of 38 K (memory), (12.5506 V - 7.2 V) / 600 A = 8.918 mohm; half of it
    // at 25 C (common practice, no source).
    const Bench bench;
    const double cold = (12.6 - 0.0013 * 38.0 - 7.2) / 600.0;
    CHECK(bench.ohm_at(-18.0) == doctest::Approx(cold));
    // Below it the line goes on: 43 K double it, 12 K add 12/43 of its half.
    CHECK(bench.ohm_at(-30.0) == doctest::Approx(cold * (1.0 + 0.5 * 12.0 / 43.0)));
    CHECK(bench.ohm_at(25.0) == doctest::Approx(0.5 * cold));
    CHECK(bench.ohm_at(60.0) == doctest::Approx(0.5 * cold));
    CHECK(bench.ohm_at(3.5) == doctest::Approx(0.75 * cold));
}

TEST_CASE("whose temperature a battery has: the state's, its own, the policy's, the table's") {
    Bench bench;
    Battery made = bench.battery(60.0, 600.0);
    bench.policy.battery_temperature = Given<Celsius>{Celsius(25.0), {}};
    const double cold = (12.6 - 0.0013 * 38.0 - 7.2) / 600.0; // as above
    State frost;
    frost.battery_temperature = Celsius(-18.0);
    CHECK(bench.values(made).ohm == doctest::Approx(0.5 * cold));
    made.temperature = Celsius(3.5);
    CHECK(bench.values(made).ohm == doctest::Approx(0.75 * cold));
    CHECK(bench.values(made, &frost).ohm == doctest::Approx(cold));
}

TEST_CASE("a battery's open-circuit voltage from its charge, scaled to 24 V") {
    Bench bench;
    Battery made = bench.battery(60.0, 600.0);
    const auto open_v = [&](double charge) {
        made.charge = charge;
        return bench.values(made).open_v;
    };
    CHECK(open_v(1.0) == doctest::Approx(12.6));
    CHECK(open_v(0.75) == doctest::Approx(12.4));
    CHECK(open_v(0.625) == doctest::Approx(12.3)); // half way between two rows
    CHECK(open_v(0.0) == doctest::Approx(11.6));
    bench.vehicle.nominal = Volts(24.0);
    bench.defaults = StudyDefaults(bench.catalogue, bench.vehicle);
    CHECK(open_v(0.5) == doctest::Approx(24.4));
}

TEST_CASE("what the file gives replaces the estimate") {
    const Bench bench;
    Battery made = bench.battery(60.0, 600.0);
    made.open_voltage = Volts(12.9);
    made.resistance = Ohms(0.02);
    const BatteryValues values = bench.values(made);
    CHECK(values.open_v == 12.9);
    CHECK(values.ohm == 0.02);
}

TEST_CASE("a battery on charge takes current by its charge and capacity") {
    // Table of defaults: full 0.02 A/Ah at 14.4 V: 60 Ah take 1.2 A, (14.4 - 12.6) V / 1.2 A = 1.5
    // ohm.
    const Bench bench;
    Battery made = bench.battery(60.0, 600.0);
    CHECK(bench.values(made).charging_ohm == doctest::Approx(1.5));
    made.charge = 0.5; // 0.16 A/Ah: 9.6 A, (14.4 - 12.2) / 9.6
    CHECK(bench.values(made).charging_ohm == doctest::Approx(2.2 / 9.6));
}

TEST_CASE("a fuse: cold resistance of the data sheet, hot, in its holder") {
    const Bench bench;
    Protection fuse;
    fuse.family = "blade";
    const auto ohm = [&](double rating) {
        return protection_ohm(fuse, Amps(rating), bench.catalogue, bench.defaults);
    };
    // Data sheet figures of 32 V regular blades as in the table fuse-ratings: 7.70 mohm at 10
    // A, 4.80 mohm at 15 A, 1.44 mohm at 40 A. Hot over cold 1.5, holder 1 mohm.
    CHECK(ohm(10.0) == doctest::Approx(7.70e-3 * 1.5 + 1e-3).scale(0.0));
    const double drop_12 = 0.6 * 7.70e-3 * 10.0 + 0.4 * 4.80e-3 * 15.0; // no such blade: between
    CHECK(ohm(12.0) == doctest::Approx(drop_12 / 12.0 * 1.5 + 1e-3));
    CHECK(ohm(60.0) == doctest::Approx(1.44e-3 * 40.0 / 60.0 * 1.5 + 1e-3).scale(0.0));
    fuse.resistance = Ohms(0.004);
    CHECK(ohm(10.0) == 0.004);
}

TEST_CASE("a fusible link is a short conductor") {
    const Bench bench;
    Protection link;
    link.kind = ProtectionKind::fusible_link;
    link.family = "fusible-link";
    link.link = ConductorSize{SizeStandard::awg, "14"};
    const Conductor* conductor = bench.catalogue.find_conductor(*link.link);
    REQUIRE(conductor != nullptr);
    CHECK(protection_ohm(link, std::nullopt, bench.catalogue, bench.defaults) ==
          doctest::Approx(0.15 * conductor->r20_ohm_per_m));
}

TEST_CASE("a contact that is made for more current loses no more at its rating") {
    // 0.2 V at the rating (table of defaults, contact-drop): a hand switch has 10 mohm up to 20 A,
    // a relay 5 mohm up to 40 A, a flasher 10 mohm up to 20 A; one made for less has no more.
    const Bench bench;
    const auto ohm = [&](DeviceSpec spec, int part = 0) {
        Device device;
        device.spec = std::move(spec);
        return contact_ohms(device, part, bench.defaults).ohm;
    };
    const auto near = [](double expected) { return doctest::Approx(expected).scale(0.0); };
    const auto hand = [&](std::optional<Amps> rating) { return ohm(Switch{{}, rating}); };
    CHECK(hand(Amps(250.0)) == near(0.0008)); // 0.2 / 250
    CHECK(hand(Amps(25.0)) == near(0.008));
    for (const std::optional<Amps>& rating :
         {std::optional<Amps>(), std::optional(Amps(20.0)), std::optional(Amps(1.0))}) {
        CHECK(hand(rating) == 0.01); // to the last bit
    }
    Relay relay;
    CHECK(ohm(relay) == 0.005);
    relay.contact = Amps(40.0);
    CHECK(ohm(relay) == 0.005);
    relay.contact = Amps(100.0);
    CHECK(ohm(relay) == near(0.002));    // 0.2 / 100
    CHECK(ohm(relay, 1) == near(0.002)); // 30-87a is made for as much
    relay.contact_break = Amps(50.0);
    CHECK(ohm(relay) == near(0.002));
    CHECK(ohm(relay, 1) == near(0.004)); // 0.2 / 50
    relay.contact_break = Amps(30.0);    // 6.7 mohm would be more than the usual
    CHECK(ohm(relay, 1) == 0.005);
    CHECK(ohm(Flasher{Amps(20.0)}) == 0.01);
    CHECK(ohm(Flasher{Amps(50.0)}) == near(0.004));
    CHECK(ohm(Starter{}) == 0.0005); // it has no rating to go by
}

TEST_CASE("an output of a controller loses no more than 0.2 V at its limit") {
    // Table of defaults: 0.2 ohm (controller-output), and 0.2 V at the limit (output-drop): of an
    // output of up to 1 A the one, of more the other.
    const Bench bench;
    const auto ohm = [&](std::optional<Amps> limit) {
        Device device;
        device.spec = Controller{.parts = {{.part = TerminalPart::feed},
                                           {.part = TerminalPart::high_side, .limit = limit}}};
        return contact_ohms(device, 1, bench.defaults).ohm;
    };
    CHECK(ohm(std::nullopt) == 0.2);
    CHECK(ohm(Amps(0.5)) == 0.2);
    CHECK(ohm(Amps(1.0)) == 0.2);
    CHECK(ohm(Amps(10.0)) == doctest::Approx(0.02).scale(0.0));
}

TEST_CASE("a diode has its drop at its stated current") {
    const Bench bench;
    const Element diode = diode_element(0.7, 3.0, bench.defaults);
    CHECK(solve::branch_current(diode.law, diode.a, diode.b, diode.c, 0.7).amps ==
          doctest::Approx(3.0));
    CHECK(std::abs(solve::branch_current(diode.law, diode.a, diode.b, diode.c, -50.0).amps) < 1e-5);
}

TEST_CASE(
    "a lamp takes its rated current at its rated voltage, and its own start pulse when cold") {
    const Bench bench;
    Load lamp;
    lamp.law = LoadLaw::lamp;
    lamp.word = "lamp";
    lamp.draws = {.current = Amps(4.0), .at = Volts(13.5)};
    const Element plain = load_element(lamp, bench.defaults);
    CHECK(solve::branch_current(plain.law, plain.a, plain.b, plain.c, 13.5).amps ==
          doctest::Approx(4.0));
    CHECK(plain.c == bench.defaults.lamp_cold_ratio);
    lamp.inrush = Inrush{.current = Amps(44.0), .duration = Seconds(0.05)};
    CHECK(load_element(lamp, bench.defaults).c == doctest::Approx(11.0));
}

TEST_CASE("a lamp of half an ampere is cold at its own ratio like any other") {
    const Bench bench;
    Load lamp;
    lamp.law = LoadLaw::lamp;
    lamp.word = "lamp";
    lamp.draws = {.current = Amps(0.5), .at = Volts(12.0)};
    CHECK(load_element(lamp, bench.defaults).c == bench.defaults.lamp_cold_ratio);
    lamp.inrush = Inrush{.current = Amps(3.5), .duration = Seconds(0.05)};
    CHECK(load_element(lamp, bench.defaults).c == doctest::Approx(7.0)); // 3.5 A / 0.5 A
}

TEST_CASE("what an alternator gives hot: its own figure at 95 C, a fifth of it at the least") {
    // Table of defaults: all of it up to 25 C, 85 % at 95 C, on the line beyond.
    const Bench bench;
    Alternator made;
    made.rated = Amps(90.0);
    const auto limit_a = [&](double air_c) {
        return alternator_limit_a(made, bench.defaults, EngineCondition::running, air_c);
    };
    CHECK(limit_a(20.0) == doctest::Approx(90.0));
    CHECK(limit_a(95.0) == doctest::Approx(76.5));  // 0.85 x 90 A
    CHECK(limit_a(600.0) == doctest::Approx(18.0)); // 1 - 0.15 x 575 / 70 = -0.23: a fifth
    made.when_hot = Amps(30.0);
    CHECK(limit_a(95.0) == doctest::Approx(30.0));
    CHECK(limit_a(130.0) == doctest::Approx(18.0)); // 90 - 60 x 105 / 70 = 0 A: a fifth
    made.when_hot = Amps(10.0);
    CHECK(limit_a(60.0) == doctest::Approx(50.0)); // half way from 90 A to 10 A
    CHECK(limit_a(95.0) == doctest::Approx(10.0));
    CHECK(limit_a(130.0) == doctest::Approx(10.0));
}
