// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/warming.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <utility>

using namespace loomwright::solve;

namespace {

struct Sized {
    double area_m2;
    WireBody body;
};

/// Round numbers of common sizes; r20 = 17.241e-9 ohm m over the area (IEC 60028).
Sized sized(double mm2, double conductor_mm, double outside_mm) {
    return {mm2 * 1e-6, {17.241e-3 / mm2, conductor_mm * 1e-3, outside_mm * 1e-3, 0.17, 0.9}};
}
const std::array sizes{sized(0.35, 0.8, 1.4), sized(1.5, 1.7, 2.4), sized(6.0, 3.3, 4.3),
                       sized(25.0, 7.2, 9.0), sized(95.0, 14.5, 17.0)};

Warming warming(const Sized& wire, double air_c, const std::optional<Cover>& cover = std::nullopt) {
    return {wire.body, Skin(wire.body.outside_diameter_m, 0.9, cover),
            copper_j_per_m_k(wire.area_m2), air_c};
}

} // namespace

TEST_CASE("for a long time the wire comes to its steady balance") {
    for (const Sized& wire : sizes) {
        const Warming warm = warming(wire, 40.0);
        const double limit_a = free_air_ampacity_a(wire.body, 105.0, 40.0);
        for (const double share : {0.2, 0.5, 0.9, 1.0, 1.4}) {
            const double amps = share * limit_a;
            const double rest = conductor_temperature_c(wire.body, amps, 40.0);
            const double after = warm.temperature_after_c(amps, 40.0, 1e6);
            // 0.3 %: between the points of its table the heat given off is a straight line.
            CHECK(after - 40.0 == doctest::Approx(rest - 40.0).epsilon(0.003));
            // From above it comes down to the same.
            CHECK(warm.temperature_after_c(amps, 300.0, 1e6) ==
                  doctest::Approx(after).epsilon(1e-9));
        }
        CHECK(std::isinf(warm.seconds_until(0.9 * limit_a, 40.0, 105.0)));
        CHECK(std::isfinite(warm.seconds_until(1.1 * limit_a, 40.0, 105.0)));
        CHECK(std::isinf(warm.temperature_after_c(20.0 * limit_a, 40.0, 1e6)));
    }
}

TEST_CASE("at rest it is the steady balance, and the current for a temperature the ampacity") {
    for (const Sized& wire : sizes) {
        for (const auto& cover :
             {std::optional<Cover>(), std::optional<Cover>(Cover{.gap_m = 1e-3, .wall_m = 1e-3})}) {
            const Warming warm = warming(wire, 40.0, cover);
            CHECK(warm.steady_c(0.0) == 40.0);
            CHECK(warm.steady_amps(40.0) == 0.0);
            CHECK(warm.steady_amps(39.0) == 0.0);
            for (const double limit_c : {40.5, 60.0, 105.0, 300.0}) {
                const double amps = warm.steady_amps(limit_c);
                CHECK(warm.steady_c(amps) == doctest::Approx(limit_c).epsilon(1e-9)); // inverses
                CHECK(warm.temperature_after_c(amps, 40.0, 1e7) ==
                      doctest::Approx(limit_c).epsilon(1e-6));
                if (!cover && limit_c > 50.0) { // 0.3 %: as above
                    CHECK(amps == doctest::Approx(free_air_ampacity_a(wire.body, limit_c, 40.0))
                                      .epsilon(0.003));
                    CHECK(warm.steady_c(amps) - 40.0 ==
                          doctest::Approx(conductor_temperature_c(wire.body, amps, 40.0) - 40.0)
                              .epsilon(0.003));
                }
            }
            CHECK(std::isinf(warm.steady_c(20.0 * free_air_ampacity_a(wire.body, 105.0, 40.0))));
            CHECK(std::isinf(warm.steady_c(std::nan(""))));
        }
    }
}

TEST_CASE("below a tenth of a second it is the adiabatic equation, within 2 %") {
    // k of IEC 60364-5-54 (read; tests/reference/iec60364-adiabatic-k.csv): I = k S / sqrt(t).
    struct Row {
        double from, to, k;
    };
    for (const Row row : {Row{70, 160, 115}, Row{70, 140, 103}, Row{90, 160, 100}, Row{90, 140, 86},
                          Row{90, 250, 143}, Row{60, 200, 141}}) {
        for (const Sized& wire : sizes) {
            for (const double seconds : {0.1, 0.03, 0.01, 0.001}) {
                const double amps = row.k * wire.area_m2 * 1e6 / std::sqrt(seconds);
                const Warming warm = warming(wire, row.from);
                CHECK(warm.seconds_until(amps, row.from, row.to) ==
                      doctest::Approx(seconds).epsilon(0.02));
                const double closed =
                    adiabatic_temperature_c(wire.body.r20_ohm_per_m, copper_j_per_m_k(wire.area_m2),
                                            amps, row.from, seconds);
                CHECK(closed == doctest::Approx(row.to).epsilon(0.02));
                CHECK(warm.temperature_after_c(amps, row.from, seconds) ==
                      doctest::Approx(closed).epsilon(0.02));
            }
        }
    }
}

TEST_CASE("a little warmth dies away like a straight cooling law") {
    // Within a few tenths of a kelvin heat given off is a straight line: T - T_end falls by
    // e^(-t / tau), tau = C / (dQ/dT - I^2 r20 a). The slope is taken by differences round the
    // rest.
    const Sized wire = sized(6.0, 3.3, 4.3);
    const Warming warm = warming(wire, 20.0);
    const double amps = 45.0;
    const double rest = warm.temperature_after_c(amps, 20.0, 1e6);
    const double capacity = 3.45e6 * 6e-6;
    const double through = insulation_k_m_per_w(wire.body);
    const auto given_off = [&](double conductor_c) {
        double surface = conductor_c;
        for (int k = 0; k < 60; ++k) {
            surface = conductor_c - through * surface_heat_w_per_m(4.3e-3, surface, 20.0, 0.9);
        }
        return surface_heat_w_per_m(4.3e-3, surface, 20.0, 0.9);
    };
    const double slope = (given_off(rest + 1.0) - given_off(rest - 1.0)) / 2.0;
    const double tau = capacity / (slope - amps * amps * wire.body.r20_ohm_per_m * 0.00393);
    for (const double times : {0.2, 1.0, 2.5}) {
        const double left = warm.temperature_after_c(amps, rest + 0.2, times * tau) - rest;
        CHECK(left == doctest::Approx(0.2 * std::exp(-times)).epsilon(0.02));
    }
}

TEST_CASE("time and temperature are each other's inverse, and steps add up") {
    for (const Sized& wire : sizes) {
        for (const auto& cover :
             {std::optional<Cover>(), std::optional<Cover>(Cover{.gap_m = 1e-3, .wall_m = 1e-3})}) {
            const Warming warm = warming(wire, 30.0, cover);
            const double amps = 1.5 * free_air_ampacity_a(wire.body, 105.0, 30.0);
            double last = 30.0;
            for (const double limit : {31.0, 45.0, 77.0, 105.0}) {
                const double seconds = warm.seconds_until(amps, 30.0, limit);
                REQUIRE(std::isfinite(seconds));
                CHECK(warm.temperature_after_c(amps, 30.0, seconds) ==
                      doctest::Approx(limit).epsilon(1e-9));
                CHECK(limit > last);
                last = limit;
                const double half = warm.temperature_after_c(amps, 30.0, 0.5 * seconds);
                CHECK(warm.temperature_after_c(amps, half, 0.5 * seconds) ==
                      doctest::Approx(limit).epsilon(1e-9));
            }
        }
    }
}

TEST_CASE("a cover warms it, time warms it, and nonsense is safe") {
    const Sized wire = sized(1.5, 1.7, 2.4);
    const Warming bare = warming(wire, 40.0);
    const Warming covered = warming(wire, 40.0, Cover{.gap_m = 1e-3, .wall_m = 1e-3});
    double last = 40.0;
    for (double seconds = 0.1; seconds < 3000.0; seconds *= 2.0) {
        const double here = bare.temperature_after_c(20.0, 40.0, seconds);
        CHECK(here > last);
        // In the first kelvins the two tables of heat given off are too coarse to tell them apart.
        CHECK(covered.temperature_after_c(20.0, 40.0, seconds) >
              (here < 43.0 ? here - 1e-3 : here));
        last = here;
    }
    CHECK(bare.temperature_after_c(20.0, 40.0, 0.0) == 40.0);
    CHECK(bare.temperature_after_c(0.0, 40.0, 100.0) == 40.0);
    CHECK(bare.temperature_after_c(0.0, 10.0, 100.0) == 40.0);
    CHECK(bare.temperature_after_c(0.0, 90.0, 100.0) < 60.0);
    CHECK(std::isinf(bare.temperature_after_c(std::nan(""), 40.0, 1.0)));
    CHECK(bare.seconds_until(10.0, 40.0, 40.0) == 0.0);
}
