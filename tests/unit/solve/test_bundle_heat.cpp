// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/bundle_heat.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>
#include <vector>

using namespace loomwright::solve;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double emissivity = 0.9;
// Invented wires of common proportions.
constexpr WireBody thin = {32e-3, 1.0e-3, 1.7e-3, 0.17, emissivity};
constexpr WireBody middle = {7.6e-3, 1.8e-3, 2.7e-3, 0.17, emissivity};
constexpr WireBody thick = {0.74e-3, 6.5e-3, 8.5e-3, 0.17, emissivity};
const Cover conduit = {.gap_m = 1e-3,
                       .wall_m = 0.5e-3,
                       .wall_w_per_m_k = 0.2,
                       .duct_u = 5.2,
                       .duct_v = 0.83,
                       .duct_y = 0.006};
const Cover snug = {.gap_m = 0.0, .wall_m = 0.3e-3, .wall_w_per_m_k = 0.17};
const Cover foil = {.gap_m = 1e-3, .wall_m = 1e-3, .wall_w_per_m_k = 0.05, .emissivity = 0.1};

double resistance(const BundledWire& wire, double conductor_c) {
    return wire.r20_ohm_per_m * (1.0 + 0.00393 * (conductor_c - 20.0));
}

} // namespace

TEST_CASE("a bundle of one wire is that wire alone") {
    for (const WireBody& body : {thin, middle, thick}) {
        const Skin skin(body.outside_diameter_m, emissivity);
        const std::array wires{wire_in_bundle(body, body.outside_diameter_m, 0.2)};
        CHECK(wires[0].neighbours_k_m_per_w == 0.0);
        for (double amps = 0.5; amps < 400.0; amps *= 1.3) {
            const std::array current{amps};
            const BundleHeat bundle = bundle_heat(skin, wires, current, 55.0);
            const double alone = conductor_temperature_c(body, amps, 55.0);
            const double here = bundled_wire_c(bundle, wires[0], amps);
            CHECK((std::isinf(alone) ? std::isinf(here)
                                     : here == doctest::Approx(alone).epsilon(1e-8)));
        }
    }
}

TEST_CASE("all heat that the wires make at their temperatures leaves through the skin") {
    const double diameter = 12e-3;
    std::vector<BundledWire> wires;
    std::vector<double> amps;
    for (int i = 0; i < 8; ++i) {
        wires.push_back(wire_in_bundle(i % 2 == 0 ? thin : middle, diameter, 0.17));
        amps.push_back(i == 5 ? 0.0 : 1.5 * i);
    }
    for (const auto& cover : {std::optional<Cover>(), std::optional<Cover>(conduit),
                              std::optional<Cover>(snug), std::optional<Cover>(foil)}) {
        const Skin skin(diameter, emissivity, cover);
        const BundleHeat bundle = bundle_heat(skin, wires, amps, 40.0);
        REQUIRE(std::isfinite(bundle.surface_c));
        double made = 0.0;
        for (std::size_t i = 0; i < wires.size(); ++i) {
            const double here = bundled_wire_c(bundle, wires[i], amps[i]);
            made += amps[i] * amps[i] * resistance(wires[i], here);
            CHECK(here > bundle.surface_c);
        }
        CHECK(made == doctest::Approx(bundle.w_per_m).epsilon(1e-6));
        CHECK(skin.heat_w_per_m(bundle.surface_c, 40.0) ==
              doctest::Approx(bundle.w_per_m).epsilon(1e-6));
    }
}

TEST_CASE("the neighbours' heat: a tube that makes heat evenly round an insulated bore") {
    // Held against the conduction equation summed up shell by shell from the bore outwards.
    for (const double bundle_m : {2.6e-3, 4e-3, 10e-3, 40e-3}) {
        const double k = 0.2;
        const BundledWire wire = wire_in_bundle(thin, bundle_m, k);
        const double inner = 0.5 * thin.outside_diameter_m;
        const double outer = 0.5 * bundle_m;
        constexpr int shells = 200'000;
        const double width = (outer - inner) / shells;
        double rise = 0.0;
        for (int i = 0; i < shells; ++i) {
            const double r = inner + (i + 0.5) * width;
            const double inside = (r * r - inner * inner) / (outer * outer - inner * inner);
            rise += inside / (2.0 * pi * r * k) * width;
        }
        CHECK(wire.neighbours_k_m_per_w == doctest::Approx(rise).epsilon(1e-5));
        CHECK(wire.own_k_m_per_w ==
              doctest::Approx(std::log(bundle_m / thin.outside_diameter_m) / (2.0 * pi * k) +
                              std::log(1.7) / (2.0 * pi * 0.17)));
    }
}

TEST_CASE("at full load the bundle's heat meets the handbook's factors, 2 to 19 wires") {
    // MIL-W-5088L bundle curves at 100 %, as digitised by a third party (read), which have no size
    // of their own: factor of the current that each of N equal wires carries. Sizes 22 to 10, the
    // small sizes of FAA AC 43.13-1B table 11-9 with its resistances (read) and diameters typical
    // of thin-wall aircraft wire (from memory); its three classes, in its air of 70 C, and in the
    // 60 C of its free-air points. 0.2 W/(m K) inside.
    constexpr std::array factor{0.825, 0.725, 0.66,  0.61,   0.5725, 0.54, 0.5125, 0.485, 0.465,
                                0.445, 0.43,  0.415, 0.3975, 0.385,  0.37, 0.36,   0.35,  0.3425};
    constexpr double per_thousand_feet = 3.280840e-3;
    const std::array<WireBody, 6> sizes{{{16.20 * per_thousand_feet, 0.76e-3, 1.27e-3},
                                         {9.88 * per_thousand_feet, 0.97e-3, 1.47e-3},
                                         {4.81 * per_thousand_feet, 1.5e-3, 1.95e-3},
                                         {3.06 * per_thousand_feet, 1.83e-3, 2.3e-3},
                                         {2.02 * per_thousand_feet, 2.4e-3, 2.95e-3},
                                         {1.26 * per_thousand_feet, 3.0e-3, 3.7e-3}}};
    for (const WireBody& body : sizes) {
        for (const auto& row : {std::pair(200.0, 60.0), std::pair(200.0, 70.0),
                                std::pair(150.0, 70.0), std::pair(105.0, 70.0)}) {
            const double limit = row.first; // a name that clang lets a lambda capture
            const double air = row.second;
            const double alone = free_air_ampacity_a(body, limit, air);
            for (std::size_t n = 2; n < factor.size() + 2; ++n) {
                const double diameter = body.outside_diameter_m * std::sqrt(double(n));
                const std::vector<BundledWire> wires(n, wire_in_bundle(body, diameter, 0.2));
                const std::vector<double> amps(n, alone * factor[n - 2]);
                // The current at which the wires are at their class, by bisection.
                double low = 0.0;
                double high = alone;
                for (int step = 0; step < 50; ++step) {
                    const double here = 0.5 * (low + high);
                    const std::vector<double> current(n, here);
                    const BundleHeat bundle =
                        bundle_heat(Skin(diameter, emissivity), wires, current, air);
                    (bundled_wire_c(bundle, wires[0], here) < limit ? low : high) = here;
                }
                CAPTURE(n);
                CAPTURE(limit);
                CAPTURE(body.outside_diameter_m);
                CHECK(low / alone == doctest::Approx(factor[n - 2]).epsilon(0.10));
            }
        }
    }
}

TEST_CASE("a cover keeps heat back; one that would cool is given no credit") {
    for (const double diameter : {1.5e-3, 4e-3, 15e-3, 40e-3}) {
        const Skin bare(diameter, emissivity);
        for (const Cover& cover : {conduit, snug, foil}) {
            const Skin covered(diameter, emissivity, cover);
            double last = 0.0;
            for (double under = 41.0; under < 400.0; under += 7.0) {
                const double heat = covered.heat_w_per_m(under, 40.0);
                CHECK(heat <= bare.heat_w_per_m(under, 40.0) * (1.0 + 1e-12));
                CHECK(heat > last);
                last = heat;
            }
            CHECK(covered.heat_w_per_m(40.0, 40.0) == 0.0);
        }
        // Polished metal outside and a still gap: less than half is left.
        CHECK(Skin(diameter, emissivity, foil).heat_w_per_m(100.0, 40.0) <
              0.6 * bare.heat_w_per_m(100.0, 40.0));
    }
    // Tape that lies close: the skin grows, and by equation a thin wire is cooler for it.
    CHECK(Skin(1.5e-3, emissivity, snug).heat_w_per_m(100.0, 40.0) ==
          Skin(1.5e-3, emissivity).heat_w_per_m(100.0, 40.0));
}

TEST_CASE("the resistances of a cover, by hand") {
    // A duct over 30 mm at 50 C: 5.2 / (1 + 0.1 (0.83 + 0.006 x 50) 30) = 1.18451 K m/W, and its
    // wall from 32 mm to 33 mm: ln(33/32) / (2 pi 0.2) = 0.02449 K m/W.
    const Skin duct(30e-3, emissivity, conduit);
    CHECK(duct.outside_diameter_m() == doctest::Approx(33e-3).scale(0.0));
    CHECK(duct.through_cover_k_m_per_w(50.0) == doctest::Approx(1.18451 + 0.02449).epsilon(1e-4));
    // A gap from 10 mm to 12 mm of air and a wall to 14 mm: ln(1.2) / (2 pi 0.026) + ln(14/12) /
    // (2 pi 0.05) = 1.11605 + 0.49067 K m/W.
    const Skin layers(10e-3, emissivity, foil);
    CHECK(layers.through_cover_k_m_per_w(50.0) == doctest::Approx(1.11605 + 0.49067).epsilon(1e-4));
    const Skin::Point point = layers.at_outside(60.0, 40.0);
    CHECK(point.w_per_m == surface_heat_w_per_m(14e-3, 60.0, 40.0, 0.1));
    CHECK(point.under_c == doctest::Approx(60.0 + point.w_per_m * 1.60672).epsilon(1e-5));
}

TEST_CASE("heat up to a limit inside is where the limit is reached") {
    for (const auto& cover : {std::optional<Cover>(), std::optional<Cover>(conduit)}) {
        const Skin skin(8e-3, emissivity, cover);
        const double heat = skin.heat_to_limit_w_per_m(0.4, 100.0, 50.0);
        CHECK(skin.heat_w_per_m(100.0 - 0.4 * heat, 50.0) == doctest::Approx(heat).epsilon(1e-8));
        CHECK(skin.heat_to_limit_w_per_m(0.4, 50.0, 50.0) == 0.0);
    }
}

TEST_CASE("a bundle whose heat cannot leave has no temperature, and says so") {
    const Skin skin(5e-3, emissivity, conduit);
    const std::array wires{wire_in_bundle(thin, 5e-3, 0.2), wire_in_bundle(thin, 5e-3, 0.2)};
    for (const double amps : {100.0, 1e6, std::nan("")}) {
        const std::array current{amps, 0.0};
        const BundleHeat bundle = bundle_heat(skin, wires, current, 40.0);
        CHECK(std::isinf(bundle.surface_c));
        CHECK(std::isinf(bundled_wire_c(bundle, wires[1], 0.0)));
    }
    const std::array none{0.0, 0.0};
    const BundleHeat cold = bundle_heat(skin, wires, none, 40.0);
    CHECK(cold.surface_c == 40.0);
    CHECK(cold.w_per_m == 0.0);                         // nothing is made, nothing leaves,
    CHECK(bundled_wire_c(cold, wires[0], 0.0) == 40.0); // and all are as warm as the air
}

TEST_CASE("no temperature of a bundle rises faster than what bounds it says") {
    for (const auto& cover :
         {std::optional<Cover>(), std::optional<Cover>(conduit), std::optional<Cover>(foil)}) {
        const Skin skin(3e-3, emissivity, cover);
        for (double outside = -39.0; outside < 300.0; outside += 3.0) {
            const Skin::Point point = skin.at_outside(outside, -40.0);
            CHECK(point.under_c + 40.0 <= point.w_per_m * skin.most_k_m_per_w());
        }
    }
}
