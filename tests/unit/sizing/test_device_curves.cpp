// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// What stands beside a device's band on its sheet, against closed forms and hand calculation.
#include "sizing/device_curves.hpp"

#include "sized_car.hpp"

#include "sizing/ampacity.hpp"
#include "solve/heat.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <utility>

using namespace loomwright;

namespace {

/// One load on a fuse of a panel that another fuse feeds; all lengths, sizes and temperatures
/// stated, the loads next to nothing, so that conductors stay at 20 C.
std::string panel(std::string_view main, std::string_view branch, std::string_view more = {}) {
    return fmt::format(R"(loomwright: 1
zones: {{cabin: {{air: 20 C}}}}
points: {{here: {{zone: cabin}}}}
devices:
  G1: {{is: battery, at: here, capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F1: {{at: here, {}}}
  F2: {{at: here, {}}}
  E1: {{is: heater, at: here, draws: 1 mA at 12 V}}
  GND1: {{is: ground, at: here, body: chassis, bond: 1 mohm}}
circuits:
  one:
    number: 1
    paths: [G1 > F1 > F2 > E1 > GND1, G1.- > GND1]
    wires:
      1.1: {{size: 2.5 mm2, length: 0.1 m}}
      1.2: {{size: 2.5 mm2, length: 1 m}}
      1.3: {{size: 1.5 mm2, length: 4 m, insulation: thin-wall pvc}}
      1.4: {{size: 1.5 mm2, length: 0.3 m}}
      1.5: {{size: 16 mm2, length: 0.3 m}}
{})",
                       main, branch, more);
}

const char* const main_fuse = "is: fuse, family: maxi-blade, rating: 20 A, resistance: 3 mohm";
const char* const branch_fuse = "is: fuse, family: blade, rating: 10 A, resistance: 8 mohm";

} // namespace

TEST_CASE("the withstand curve: adiabatic at its foot, at rest at its asymptote") {
    const auto car = sized(panel(main_fuse, branch_fuse));
    const WireId wire = car->vehicle.find_wire("1.3");
    const auto curve = withstand_curve(car->study(), car->sizing, wire, 2000.0);
    REQUIRE(curve.has_value());
    REQUIRE(curve->amps.size() > 100);
    // IEC 60949: t = k^2 S^2 / I^2, class 100 C to 160 C, k = 226 sqrt(ln(394.5 / 334.5)) = 91.8.
    const double k = 226.0 * std::sqrt(std::log(394.5 / 334.5));
    const Conductor& conductor = *car->sizing.design.wires[wire.index()].conductor;
    const double copper = conductor.copper_area.value() * 1e6;
    CHECK(curve->withstand_a2s == doctest::Approx(k * k * copper * copper).epsilon(0.001));
    // The same with the conductor's own resistance (13.3 mohm/m, the higher of two standards') and
    // the heat balance's temperature coefficient: t = C ln((beta + 160) / (beta + 100)) / (I^2 r20
    // a), beta = 1 / a - 20. It is a little quicker.
    const double beta = 1.0 / 0.00393 - 20.0;
    const double a2s = 3.45 * copper * std::log((beta + 160.0) / (beta + 100.0)) /
                       (conductor.r20_ohm_per_m * 0.00393);
    CHECK(a2s < curve->withstand_a2s);
    CHECK(a2s > 0.95 * curve->withstand_a2s);
    for (std::size_t i = 0; i < curve->amps.size(); ++i) {
        const double adiabatic = a2s / std::pow(curve->amps[i], 2);
        // Never quicker than with no heat leaving; below 0.1 s the two agree to 2 % (the design's
        // own rule).
        CHECK(curve->seconds[i] > 0.9999 * adiabatic);
        if (curve->seconds[i] < 0.1) {
            CHECK(curve->seconds[i] == doctest::Approx(adiabatic).epsilon(0.02));
        }
        if (i > 0) {
            CHECK(curve->amps[i] > curve->amps[i - 1]);
            CHECK(curve->seconds[i] < curve->seconds[i - 1]);
        }
    }
    // Its least current is the one whose rest is the short-time limit; the ampacity's rest the
    // class. The wire lies alone in still air.
    const solve::WireBody body =
        wire_body(car->catalogue, conductor, *car->sizing.design.wires[wire.index()].insulation);
    CHECK(solve::conductor_temperature_c(body, curve->least_a, 20.0) ==
          doctest::Approx(160.0).epsilon(0.001));
    CHECK(solve::conductor_temperature_c(body, curve->ampacity_a, 20.0) ==
          doctest::Approx(100.0).epsilon(0.001));
    // Heat is tabled in straight pieces, above the curve by 0.1 % (lib/solve/warming.cpp).
    CHECK(curve->amps.front() == doctest::Approx(curve->least_a).epsilon(0.001));
    // Near it the time is many times that of no heat leaving.
    CHECK(curve->seconds.front() > 10.0 * a2s / std::pow(curve->amps.front(), 2));
}

TEST_CASE("the least dead short by hand") {
    // IEC 60228 class 5 (the higher of two standards'): 2.5 mm2 7.98, 1.5 mm2 13.3, 16 mm2 1.21
    // mohm/m at 20 C. Way home: 16 mm2 0.3 m 0.363, bond 1 mohm; battery 10, the short itself 0.1.
    //   at F2's outlet  10 + 0.798 + 3 + 7.98 + 8 + 0.1 + 1 + 0.363        = 31.241 mohm
    //   at E1.+         the same and 4 m of 1.5 mm2, 53.2                  = 84.441 mohm, 149.2 A
    const auto car = sized(panel(main_fuse, branch_fuse));
    const auto least =
        least_shorts(car->study(), car->sizing, std::span(&car->fuse("F2"), 1)).front();
    REQUIRE(least.has_value());
    CHECK(least->amps == doctest::Approx(12.6 / 84.441e-3).epsilon(0.001));
    CHECK(car->vehicle.wire(least->wire).number == "1.3");
}

TEST_CASE("the short itself has 0.1 mohm, which counts where all the rest has little more") {
    // IEC 60228 class 5: 120 mm2 0.161 mohm/m, three cables of 0.1 m on the way there and home.
    //   0.2 + 0.3 + 3 x 0.0161 + 0.1 + bond 0.1 = 0.7483 mohm, 16.84 kA
    const auto car = sized(R"(loomwright: 1
zones: {cabin: {air: 20 C}}
points: {here: {zone: cabin}}
devices:
  G1: {is: battery, at: here, capacity: 100 Ah, voltage: 12.6 V, resistance: 0.2 mohm}
  F1: {is: fuse, at: here, family: strip, rating: 100 A, resistance: 0.3 mohm}
  E1: {is: heater, at: here, draws: 1 mA at 12 V}
  GND1: {is: ground, at: here, body: chassis, bond: 0.1 mohm}
circuits:
  one:
    number: 1
    size: 120 mm2
    paths: [G1 > F1 > E1 > GND1, G1.- > GND1]
    wires: {1.1: {length: 0.1 m}, 1.2: {length: 0.1 m}, 1.4: {length: 0.1 m}}
)");
    const auto least =
        least_shorts(car->study(), car->sizing, std::span(&car->fuse("F1"), 1)).front();
    REQUIRE(least.has_value());
    CHECK(least->amps == doctest::Approx(12.6 / 0.7483e-3).epsilon(0.001));
}

TEST_CASE("no least short: behind an open switch, and between two batteries") {
    // Nothing is fed behind S1, so no short there has a current; what F1 joins has a battery at
    // either end, and its opening ends no short.
    const auto rest = [](const char* paths) {
        return sized(fmt::format(R"(loomwright: 1
devices:
  G1: {{is: battery, capacity: 45 Ah}}
  G2: {{is: battery, capacity: 45 Ah}}
  S1: {{is: switch, positions: {{off: [], on: [1-2]}}}}
  F1: {{is: fuse, rating: 10 A}}
  E1: {{is: heater, draws: 1 A at 12 V}}
  GND1: {{is: ground, body: chassis}}
circuits: {{one: {{number: 1, size: 2.5 mm2, paths: [{}, E1.- > GND1, G1.- > GND1, G2.- > GND1]}}}}
states: {{rest: {{}}}}
)",
                                 paths));
    };
    for (const char* paths : {"G1 > S1 > F1 > E1.+", "G1 > F1 > G2.+, G1 > S1 > E1.+"}) {
        CAPTURE(std::string(paths));
        const auto car = rest(paths);
        const FuseSizing& fuse = car->fuse("F1");
        REQUIRE_FALSE(fuse.protects.empty());
        CHECK_FALSE(least_shorts(car->study(), car->sizing, std::span(&fuse, 1)).front());
    }
}

TEST_CASE("the least dead short is to the metal that voltages count from, not to any") {
    // IEC 60228 class 5, as above: 10 + 0.1 m of 2.5 mm2 0.798 + fuse 8 + 4 m of 1.5 mm2 53.2 + the
    // short 0.1 = 72.098 mohm to the battery's minus, 174.8 A. By way of the chassis 1 mohm of bond
    // and 0.3 m of 16 mm2, 0.363, more: 73.461 mohm, 171.5 A.
    const auto car = [](const char* bodies, const char* ground, const char* paths,
                        const char* home) {
        return sized(fmt::format(R"(loomwright: 1
{}zones: {{cabin: {{air: 20 C}}}}
points: {{here: {{zone: cabin}}}}
devices:
  G1: {{is: battery, at: here, capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F1: {{is: fuse, at: here, rating: 10 A, resistance: 8 mohm}}
  E1: {{is: heater, at: here, draws: 1 mA at 12 V}}
  G2: {{is: battery, at: here, capacity: 45 Ah, voltage: 12.6 V, resistance: 10 mohm}}
  F2: {{is: fuse, at: here, rating: 10 A, resistance: 8 mohm}}
  E2: {{is: heater, at: here, draws: 1 mA at 12 V}}
{}circuits:
  one:
    number: 1
    paths: [{}]
    wires:
      1.1: {{size: 2.5 mm2, length: 0.1 m}}
      1.2: {{size: 1.5 mm2, length: 4 m}}
      1.3: {{size: 1.5 mm2, length: 0.3 m}}
      {}
  two: {{number: 2, size: 1.5 mm2, paths: [G2 > F2 > E2.+, E2.- > G2.-]}}
)",
                                 bodies, ground, paths, home));
    };
    // All returns by wire; and a body before the chassis that nothing is bonded to.
    const auto by_wire = car("", "", "G1 > F1 > E1.+, E1.- > G1.-", "");
    const auto by_chassis = car(
        "bodies: [cab, chassis]\n", "  GND1: {is: ground, at: here, body: chassis, bond: 1 mohm}\n",
        "G1 > F1 > E1 > GND1, G1.- > GND1", "1.4: {size: 16 mm2, length: 0.3 m}");
    for (const auto& row :
         {std::pair(by_wire.get(), 72.098e-3), std::pair(by_chassis.get(), 73.461e-3)}) {
        const Checked* here = row.first;
        CAPTURE(row.second);
        const auto least = least_shorts(here->study(), here->sizing, here->sizing.fuses);
        REQUIRE(least.size() == 2);
        REQUIRE(least[0].has_value());
        CHECK(least[0]->amps == doctest::Approx(12.6 / row.second).epsilon(0.001));
        CHECK(here->vehicle.wire(least[0]->wire).number == "1.2");
        // The second supply shares nothing with that metal: a short to it carries nothing.
        REQUIRE_FALSE(here->fuse("F2").protects.empty());
        CHECK_FALSE(least[1].has_value());
    }
}

TEST_CASE("the device above") {
    const auto car = sized(panel(main_fuse, branch_fuse));
    const auto above = upstream_bands(car->study(), car->sizing, car->vehicle.find_device("F2"));
    REQUIRE(above.size() == 1);
    CHECK(car->vehicle.device(above.front().device).name == "F1");
    CHECK(above.front().band.rating_a == 20.0);
    CHECK(upstream_bands(car->study(), car->sizing, car->vehicle.find_device("F1")).empty());
}

TEST_CASE("a device's band in its place: tables, air, own curve, link") {
    const auto hot = sized(
        panel(main_fuse, branch_fuse, "states: {summer: {air: 63 C}, winter: {air: -17 C}}\n"));
    const DeviceId blade = hot->vehicle.find_device("F2");
    const AirRange air = air_range(hot->study(), blade);
    CHECK(air.coldest_c == 20.0); // of its place: in the winter the wires are colder too
    CHECK(air.hottest_c == 63.0);
    // 0.14 % for each kelvin from 23 C: 11 A x (1 - 0.0014 x 40) and 13.5 A x (1 + 0.0014 x 3).
    const TimeCurrentBand band = band_in_place(hot->study(), blade, 10.0);
    CHECK(band.shortest.front().amps == doctest::Approx(11.0 * 0.944));
    CHECK(band.longest.front().amps == doctest::Approx(13.5 * 1.0042));
    const TimeCurrentBand winter = band_in_place(hot->study(), blade, 10.0, {-17.0, -17.0});
    CHECK(winter.shortest.front().amps == doctest::Approx(11.0));
    CHECK(winter.longest.front().amps == doctest::Approx(13.5 * 1.056));

    const auto own = sized(panel(main_fuse, branch_fuse,
                                 "curves:\n"
                                 "  sheet:\n"
                                 "    {devices: F2, source: a sheet, air: 20 C,\n"
                                 "     gates: [{at: 120 %, shortest: 1 h}, {at: 200 %, shortest: "
                                 "1 s, longest: 60 s}]}\n"));
    const TimeCurrentBand sheet = band_in_place(own->study(), own->vehicle.find_device("F2"), 10.0);
    CHECK(sheet.longest.size() == 1);
    CHECK(sheet.longest.front().amps == doctest::Approx(20.0));
    CHECK(sheet.longest.front().origin.provenance == Provenance::read);
    CHECK(sheet.longest.front().origin.source == "a sheet (the vehicle file)");
    // The other blades of the car keep the tables'.
    CHECK(own->catalogue.find_fuse_family("blade")->gates_of(Amps(10.0)).size() == 5);

    const auto link = sized(panel("is: fusible-link, size: 18 AWG", branch_fuse));
    const TimeCurrentBand melts =
        band_in_place(link->study(), link->vehicle.find_device("F1"), 0.0);
    CHECK(melts.is_known());
    CHECK(melts.rating_a == 0.0);
}
