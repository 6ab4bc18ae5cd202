// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/heat.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace loomwright::solve;

namespace {

// Resistances of FAA AC 43.13-1B table 11-9 (read). Diameters of the stranded conductor and over
// the insulation are typical of thin-wall aircraft wire of those sizes (from memory; the table
// gives none): the ampacity moves by 3 % for 10 % of outside diameter.
constexpr double per_thousand_feet = 3.280840e-3; // ohm/1000 ft to ohm/m
constexpr WireBody size_22 = {16.20 * per_thousand_feet, 0.76e-3, 1.27e-3, 0.2, 0.9};
constexpr WireBody size_20 = {9.88 * per_thousand_feet, 0.97e-3, 1.47e-3, 0.2, 0.9};
constexpr WireBody size_14 = {3.06 * per_thousand_feet, 1.83e-3, 2.30e-3, 0.2, 0.9};

} // namespace

TEST_CASE("free-air ampacity meets the handbook's points within 5 %") {
    // FAA AC 43.13-1B page 11-27, figure 11-4a: size 14, rise 150 C above 50 C air: 47 A (read).
    CHECK(free_air_ampacity_a(size_14, 200.0, 50.0) == doctest::Approx(47.0).epsilon(0.05));
    // The same circular, 11-69: 200 C conductor in 60 C air: size 20 -> 21.5 A, size 22 -> 16.2 A
    // (both from memory).
    CHECK(free_air_ampacity_a(size_20, 200.0, 60.0) == doctest::Approx(21.5).epsilon(0.05));
    CHECK(free_air_ampacity_a(size_22, 200.0, 60.0) == doctest::Approx(16.2).epsilon(0.05));
}

TEST_CASE("a steam pipe loses what the textbook says") {
    // 0.1 m pipe at 165 C in air of 23 C, emissivity 0.85: 763 W/m (Incropera and DeWitt,
    // Fundamentals of Heat and Mass Transfer, chapter 9, worked example; from memory). 2 %: their
    // air table.
    CHECK(surface_heat_w_per_m(0.1, 165.0, 23.0, 0.85) == doctest::Approx(763.0).epsilon(0.02));
}

TEST_CASE("heat at the skin: none without a difference, more with more, signs") {
    CHECK(surface_heat_w_per_m(2e-3, 40.0, 40.0, 0.9) == 0.0);
    double last = 0.0;
    for (double surface = 41.0; surface < 600.0; surface += 1.0) {
        const double heat = surface_heat_w_per_m(2e-3, surface, 40.0, 0.9);
        CHECK(heat > last);
        last = heat;
    }
    CHECK(surface_heat_w_per_m(2e-3, 20.0, 40.0, 0.9) < 0.0); // a cold wire takes heat up
    // Radiation alone: the difference of two emissivities is the Stefan-Boltzmann law.
    const double radiated =
        surface_heat_w_per_m(2e-3, 100.0, 25.0, 0.9) - surface_heat_w_per_m(2e-3, 100.0, 25.0, 0.0);
    const double law = 0.9 * 5.670374419e-8 * (std::pow(373.15, 4) - std::pow(298.15, 4)) *
                       3.14159265358979 * 2e-3;
    CHECK(radiated == doctest::Approx(law).epsilon(1e-9));
}

TEST_CASE("natural convection is the published equation to a millionth") {
    // Churchill and Chu (1975), written out, with the air properties of lib/solve/heat.cpp.
    for (double surface = -30.0; surface < 900.0; surface += 13.0) {
        const double air = surface < 400.0 ? surface - 37.0 : 120.0;
        const double film = 0.5 * (surface + air) + 273.15;
        const double power = std::pow(film / 273.15, 1.5);
        const double mu = 1.716e-5 * power * (273.15 + 110.6) / (film + 110.6);
        const double k = 0.0241 * power * (273.15 + 194.0) / (film + 194.0);
        const double nu = mu / (101325.0 / (287.05 * film));
        const double pr = mu * (1002.5 + 275e-6 * (film - 200.0) * (film - 200.0)) / k;
        const double d = 3e-3;
        const double ra = 9.80665 / film * (surface - air) * d * d * d * pr / (nu * nu);
        const double nusselt =
            std::pow(0.60 + 0.387 * std::pow(ra, 1.0 / 6.0) /
                                std::pow(1.0 + std::pow(0.559 / pr, 9.0 / 16.0), 8.0 / 27.0),
                     2);
        CHECK(surface_heat_w_per_m(d, surface, air, 0.0) ==
              doctest::Approx(3.14159265358979 * nusselt * k * (surface - air)).epsilon(1e-6));
    }
}

TEST_CASE("the conductor's temperature balances its heat, over the whole range of currents") {
    for (const WireBody& wire : {size_22, size_20, size_14}) {
        for (const double air : {-40.0, 20.0, 60.0, 125.0}) {
            double last = air;
            CHECK(conductor_temperature_c(wire, 0.0, air) == air);
            for (double amps = 0.001; amps < 200.0; amps *= 1.15) {
                const double hot = conductor_temperature_c(wire, amps, air);
                CHECK(hot >= last);
                last = hot;
                CHECK(conductor_temperature_c(wire, -amps, air) == hot);
                if (!std::isfinite(hot)) {
                    continue;
                }
                const double ohm = wire.r20_ohm_per_m * (1.0 + 0.00393 * (hot - 20.0));
                const double made = amps * amps * ohm;
                const double inside =
                    made * std::log(wire.outside_diameter_m / wire.conductor_diameter_m) /
                    (2.0 * 3.14159265358979 * 0.2);
                const double leaves =
                    surface_heat_w_per_m(wire.outside_diameter_m, hot - inside, air, 0.9);
                // 1e-8 W/m: what a nanokelvin, the solver's last step, carries off.
                CHECK(std::abs(leaves - made) <= 1e-6 * made + 1e-8);
            }
        }
    }
}

TEST_CASE("ampacity and temperature are each other's inverse") {
    for (const WireBody& wire : {size_22, size_20, size_14}) {
        for (const double air : {20.0, 50.0, 95.0}) {
            for (const double limit : {105.0, 125.0, 150.0}) {
                const double amps = free_air_ampacity_a(wire, limit, air);
                CHECK(conductor_temperature_c(wire, amps, air) ==
                      doctest::Approx(limit).epsilon(1e-8));
            }
        }
    }
}

TEST_CASE("no ampacity in air as hot as the limit; runaway is infinite; nonsense is safe") {
    CHECK(free_air_ampacity_a(size_20, 105.0, 105.0) == 0.0);
    CHECK(free_air_ampacity_a(size_20, 105.0, 140.0) == 0.0);
    CHECK(std::isinf(conductor_temperature_c(size_22, 100.0, 60.0)));
    CHECK(std::isinf(conductor_temperature_c(size_22, 1e6, 60.0)));
    CHECK(std::isinf(conductor_temperature_c(size_22, std::nan(""), 60.0)));
    WireBody nothing;
    CHECK(conductor_temperature_c(nothing, 5.0, 60.0) == 60.0); // no resistance, no heat
    CHECK(free_air_ampacity_a(nothing, 105.0, 60.0) == 0.0);
    nothing.r20_ohm_per_m = 1.0;
    CHECK(std::isinf(conductor_temperature_c(nothing, 5.0, 60.0)));
}

TEST_CASE("a bare conductor that cannot get rid of its heat has no temperature either") {
    // Without insulation its skin is the conductor. At 1000 C radiation carries off e s T^4 less
    // the air's, and air of that heat a few watts more; 1000 A make more than fifty times that.
    WireBody bare = size_20;
    bare.outside_diameter_m = bare.conductor_diameter_m;
    const double made = 1e6 * bare.r20_ohm_per_m; // cold, and more when hot
    REQUIRE(made > 50.0 * surface_heat_w_per_m(bare.outside_diameter_m, 1000.0, 60.0, 0.9));
    CHECK(std::isinf(conductor_temperature_c(bare, 1000.0, 60.0)));
    CHECK(std::isinf(conductor_temperature_c(bare, -1000.0, 60.0)));
    CHECK(std::isfinite(conductor_temperature_c(bare, 10.0, 60.0)));
}

TEST_CASE("a bare conductor, and an insulation that keeps heat in") {
    WireBody bare = size_20;
    bare.outside_diameter_m = bare.conductor_diameter_m;
    CHECK(free_air_ampacity_a(bare, 150.0, 50.0) > 0.0);
    WireBody thick = size_20;
    thick.insulation_w_per_m_k = 0.02;
    CHECK(free_air_ampacity_a(thick, 150.0, 50.0) < free_air_ampacity_a(size_20, 150.0, 50.0));
}
