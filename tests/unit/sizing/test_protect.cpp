// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/protect.hpp"

#include "study/as_written.hpp"
#include "study/shelves.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace loomwright;

namespace {

const Conductor& iso(const Catalogue& tables, const char* name) {
    return *tables.find_conductor({SizeStandard::iso, name});
}

} // namespace

TEST_CASE("the adiabatic k of the tables of IEC 60364-5-54") {
    // IEC 60364-5-54 tables A.54.2 to A.54.5, copper: PVC 70 C 115, PVC 90 C 100, XLPE 90 C 143,
    // rubber 60 C 141. The standard prints whole numbers: half of one, and the constants are
    // rounded too.
    CHECK(adiabatic_k(70.0, 160.0) == doctest::Approx(115.0).epsilon(0.005));
    CHECK(adiabatic_k(90.0, 160.0) == doctest::Approx(100.0).epsilon(0.005));
    CHECK(adiabatic_k(90.0, 250.0) == doctest::Approx(143.0).epsilon(0.005));
    CHECK(adiabatic_k(60.0, 200.0) == doctest::Approx(141.0).epsilon(0.005));
    CHECK(adiabatic_k(100.0, 100.0) == 0.0);
    CHECK(adiabatic_k(120.0, 100.0) == 0.0);
}

TEST_CASE("what a blade fuse lets through within 5 s is its 200 % gate") {
    // ISO 8820-3 types C and F as quoted: 200 % within 5 s. (2 x 30)^2 x 5 = 18000 A2s by hand.
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily& blade = *tables.find_fuse_family("blade");
    const auto pass = worst_let_through(blade, 30.0);
    REQUIRE(pass.has_value());
    CHECK(pass->multiple == doctest::Approx(2.0));
    CHECK(pass->seconds == doctest::Approx(5.0));
    CHECK(pass->a2s == doctest::Approx(18000.0));
}

TEST_CASE("a slow family is judged where its band crosses 5 s") {
    // Type E: 350 % within 7 s, 600 % within 1 s. Straight in log-log the band is at 5 s at
    // 3.5 x (5/7)^(1/s), s = ln(1/7)/ln(6/3.5) = -3.6103; so at 3.842, I2t = 3.842^2 x 5 = 73.79
    // In2.
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily& slow = *tables.find_fuse_family("maxi-blade");
    const auto pass = worst_let_through(slow, 10.0);
    REQUIRE(pass.has_value());
    CHECK(pass->seconds == doctest::Approx(5.0));
    CHECK(pass->multiple == doctest::Approx(3.842).epsilon(0.001));
    CHECK(pass->a2s == doctest::Approx(7379.0).epsilon(0.002));
}

TEST_CASE("a band that ends above 5 s keeps its last I2t") {
    // SAE J553 breaker: 200 % within 60 s (recalled), so 4 x 60 = 240 In2.
    const Catalogue tables = loomwright::testing::tables();
    const auto pass = worst_let_through(*tables.find_fuse_family("breaker"), 10.0);
    REQUIRE(pass.has_value());
    CHECK(pass->seconds == doctest::Approx(5.0));
    CHECK(pass->a2s == doctest::Approx(24000.0));
}

TEST_CASE("the shortest opening time: gates, between them, beyond them") {
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily& blade = *tables.find_fuse_family("blade");
    // Gates as quoted: 110 % holds 360000 s, 135 % 0.75 s, 200 % 0.15 s, 600 % 0.03 s.
    CHECK_FALSE(shortest_opening_s(blade, 20.0, 20.0).has_value());
    CHECK_FALSE(shortest_opening_s(blade, 20.0, 22.0).has_value());
    CHECK(shortest_opening_s(blade, 20.0, 27.0).value() == doctest::Approx(0.75));
    CHECK(shortest_opening_s(blade, 20.0, 40.0).value() == doctest::Approx(0.15));
    // 36 A on 25 A, by hand: 0.75 x (1.44/1.35)^(ln(0.15/0.75)/ln(2/1.35)) = 0.5758 s.
    CHECK(shortest_opening_s(blade, 25.0, 36.0).value() == doctest::Approx(0.5758).epsilon(0.001));
    // Beyond 600 %: constant I2t, 0.03 x (6/12)^2.
    CHECK(shortest_opening_s(blade, 10.0, 120.0).value() == doctest::Approx(0.0075).scale(0.0));
}

TEST_CASE("the ampacity a wire needs behind a device") {
    const Catalogue tables = loomwright::testing::tables();
    // IEC 60364-4-43 433.1: I2 = 1.35 In of a blade is under 1.45 Iz when In <= Iz.
    CHECK(ampacity_behind(*tables.find_fuse_family("blade"), 20.0) == doctest::Approx(20.0));
    // A family with I2 = 1.6 In (gG from 16 A, IEC 60269-1) needs Iz = 1.6/1.45 In = 1.103 In.
    FuseFamily gg;
    gg.gates = {{.multiple = 1.25, .shortest = Seconds(3600.0)},
                {.multiple = 1.6, .longest = Seconds(3600.0)}};
    CHECK(ampacity_behind(gg, 20.0) == doctest::Approx(20.0 * 1.6 / 1.45));
    // and one of 1.9 In (gG 4 to 16 A): In <= 0.763 Iz.
    gg.gates[1].multiple = 1.9;
    CHECK(10.0 / ampacity_behind(gg, 10.0) == doctest::Approx(0.763).epsilon(0.001));
}

TEST_CASE("heat over time meets the adiabatic equation when it is short") {
    // engineering rule: transient and adiabatic agree to 2 % below 0.1 s. 1 mm2, from 100 C to 160
    // C.
    const Catalogue tables = loomwright::testing::tables();
    const Insulation& pvc = *tables.find_insulation("thin-wall pvc");
    const Conductor& conductor = iso(tables, "1");
    solve::WireBody body = wire_body(tables, conductor, pvc);
    // The equation has the resistance of the copper it warms: r20 = 0.017241 / S.
    const double copper = 0.9;
    body.r20_ohm_per_m = 0.017241 / copper;
    const double seconds = 0.1;
    const double amps = adiabatic_k(100.0, 160.0) * copper / std::sqrt(seconds);
    const double peak = temperature_after(body, copper, 1.0, amps, seconds, 100.0, 60.0);
    CHECK((peak - 100.0) / 60.0 == doctest::Approx(1.0).epsilon(0.02));
}

TEST_CASE("heat over a long time comes to rest where the balance is") {
    const Catalogue tables = loomwright::testing::tables();
    const Insulation& pvc = *tables.find_insulation("thin-wall pvc");
    for (const char* name : {"0.5", "2.5", "25"}) {
        CAPTURE(std::string(name));
        const Conductor& conductor = iso(tables, name);
        const solve::WireBody body = wire_body(tables, conductor, pvc);
        const double air = 40.0;
        const double amps = solve::free_air_ampacity_a(body, 140.0, air);
        const double rest = solve::conductor_temperature_c(body, amps, air);
        CHECK(rest == doctest::Approx(140.0).epsilon(1e-6));
        const double later = temperature_after(body, conductor.copper_area.value() * 1e6, 1.0, amps,
                                               20000.0, 100.0, air);
        // The heat is tabled at nine temperatures, straight between: 1 %.
        CHECK(later == doctest::Approx(140.0).epsilon(0.01));
    }
}

TEST_CASE("a wire warms more with more current, more time, and less room") {
    const Catalogue tables = loomwright::testing::tables();
    const Conductor& conductor = iso(tables, "2.5");
    const solve::WireBody body =
        wire_body(tables, conductor, *tables.find_insulation("thin-wall xlpe"));
    const auto peak = [&](double amps, double seconds, double share) {
        return temperature_after(body, 2.27, share, amps, seconds, 125.0, 60.0);
    };
    CHECK(peak(60.0, 20.0, 1.0) > peak(50.0, 20.0, 1.0));
    CHECK(peak(60.0, 30.0, 1.0) > peak(60.0, 20.0, 1.0));
    CHECK(peak(60.0, 20.0, 0.5) > peak(60.0, 20.0, 1.0));
}

TEST_CASE("cranking: the short-time current of docs/method/heat.md") {
    // 25 mm2, 60 C to 100 C in 30 s: k = 226 sqrt(ln(334.5/294.5)) = 80.65, S = 17.241/0.743
    // = 23.20 mm2; 80.65 x 23.20 / sqrt(30) = 341.7 A, by hand.
    const Catalogue tables = loomwright::testing::tables();
    CHECK(short_time_ampacity(iso(tables, "25"), 60.0, 100.0, 30.0) ==
          doctest::Approx(341.7).epsilon(0.001));
    CHECK(short_time_ampacity(iso(tables, "25"), 100.0, 100.0, 30.0) == 0.0);
}

TEST_CASE("a wire whose warming is kept for others like it warms as one worked out anew") {
    const Catalogue tables = loomwright::testing::tables();
    const Conductor& conductor = iso(tables, "1.5");
    const Insulation& insulation = *tables.find_insulation("thin-wall pvc");
    const solve::WireBody body = wire_body(tables, conductor, insulation);
    // A blade of 20 A may carry 27 A for half an hour (ISO 8820-3: 135 %), here on a wire that
    // carries 20 A for good at its class: it comes to more than that.
    const DeviceBand band = band_of(*tables.find_fuse_family("blade"), 20.0);
    REQUIRE_FALSE(band.slow_gates.empty());
    Ampacity ampacity;
    ampacity.amps = 20.0;
    ampacity.free_air_a = 25.0;
    ampacity.air_c = 50.0;
    ampacity.limit_c = 100.0;
    const Vehicle vehicle;
    const Routing routing;
    const Network network;
    Shelves shelves;
    for (Shelves* kept : {static_cast<Shelves*>(nullptr), &shelves}) {
        CAPTURE(kept != nullptr);
        const StudyInput input{vehicle, tables, routing, network, kept};
        const ProtectionProof proof =
            prove_protection(input, band, conductor, insulation, ampacity);
        REQUIRE(proof.slow_gates.size() == band.slow_gates.size());
        for (const GateHeat& gate : proof.slow_gates) {
            CAPTURE(gate.seconds);
            CHECK(gate.peak_c == doctest::Approx(temperature_after(
                                     body, conductor.copper_area.value() * 1e6, 0.8,
                                     gate.multiple * 20.0, gate.seconds, 100.0, 50.0)));
            CHECK(gate.peak_c > 101.0);
        }
    }
}
