// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/time_current.hpp"

#include "study/as_written.hpp"
#include "tables/reference.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace loomwright;

namespace {

/// A band with round numbers: 100 s at 10 A, 1 s at 100 A at the latest; a tenth of both at the
/// soonest. Its slope is -2: I^2 t = 10 000 and 1000 A2s everywhere.
TimeCurrentBand round_band() {
    TimeCurrentBand out;
    out.rating_a = 8.0;
    out.shortest = {{10.0, 10.0, 23.0, {}}, {100.0, 0.1, 23.0, {}}};
    out.longest = {{10.0, 100.0, 23.0, {}}, {100.0, 1.0, 23.0, {}}};
    return out;
}

} // namespace

TEST_CASE("at each tabulated gate the band has the gate's times") {
    // tests/reference/fuse-gates.csv, at both ends of each range of ratings.
    const Catalogue tables = loomwright::testing::tables();
    for (const ReferenceRow& row : reference_rows("fuse-gates")) {
        const FuseFamily* family = tables.find_fuse_family(row.at("family"));
        REQUIRE(family != nullptr);
        for (const char* end : {"least_a", "most_a"}) {
            const double rating_a = *number(row, end);
            const double amps = rating_a * *number(row, "percent") / 100.0;
            INFO(row.at("family"), " ", rating_a, " A at ", row.at("percent"), " %");
            const TimeCurrentBand band = time_current_band(*family, rating_a);
            if (const auto longest = number(row, "longest_s")) {
                CHECK(longest_opening_s(band, amps).value() == doctest::Approx(*longest));
                CHECK(longest_opening_s(*family, rating_a, amps).value() ==
                      doctest::Approx(*longest));
            }
            const auto shortest = number(row, "shortest_s");
            if (shortest && amps > band.shortest.front().amps * 1.000001) {
                CHECK(shortest_opening_s(band, amps).value() == doctest::Approx(*shortest));
            } else if (shortest) {
                // The gate of holding: it stays closed for that time, and for good below.
                CHECK_FALSE(shortest_opening_s(band, amps).has_value());
                CHECK(band.shortest.front().seconds == doctest::Approx(*shortest));
            }
        }
    }
}

TEST_CASE("between gates the band is straight in log-log") {
    // By hand, blade of 20 A at 32 A (160 %), at the latest:
    //   600 x (1.6 / 1.35)^(ln(5/600) / ln(2/1.35)) = 600 x 1.185185^(-12.1803) = 75.75 s.
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily& blade = *tables.find_fuse_family("blade");
    CHECK(longest_opening_s(blade, 20.0, 32.0).value() == doctest::Approx(75.75).epsilon(0.0005));
    // Type E, 40 A at 100 A (250 %): 50 x (2.5/2)^(ln(7/50)/ln(3.5/2)) = 50 x 1.25^(-3.51331)
    // = 22.83 s.
    CHECK(longest_opening_s(*tables.find_fuse_family("maxi-blade"), 40.0, 100.0).value() ==
          doctest::Approx(22.83).epsilon(0.0005));
    // Half a decade along a slope of -2 is a decade of time.
    CHECK(longest_opening_s(round_band(), 10.0 * std::sqrt(10.0)).value() == doctest::Approx(10.0));
}

TEST_CASE("beyond the last gate I2t stays, below the first nothing is known") {
    const TimeCurrentBand band = round_band();
    CHECK(longest_opening_s(band, 1000.0).value() == doctest::Approx(0.01).scale(0.0));
    CHECK(shortest_opening_s(band, 1000.0).value() == doctest::Approx(0.001).scale(0.0));
    CHECK_FALSE(longest_opening_s(band, 9.99).has_value());
    CHECK_FALSE(shortest_opening_s(band, 9.99).has_value());
    CHECK(longest_opening_s(band, 10.0).value() == doctest::Approx(100.0));
    CHECK_FALSE(shortest_opening_s(band, 10.0).has_value()); // up to it, it holds
    // protection-and-sources.md 1.2 (derived practice): type F at 750 %: 0.1 x (6/7.5)^2 = 0.064 s.
    const Catalogue tables = loomwright::testing::tables();
    CHECK(longest_opening_s(*tables.find_fuse_family("mini-blade"), 10.0, 75.0).value() ==
          doctest::Approx(0.064).scale(0.0));
}

TEST_CASE("air moves each side only where that is safe") {
    // By hand, 0.43 % for each kelvin: 1 - 0.0043 x (85 - 23) = 0.7334 in air of 85 C.
    const TimeCurrentBand band = round_band();
    const TimeCurrentBand hot = in_air(band, 0.0043, {85.0, 85.0});
    CHECK(hot.shortest.front().amps == doctest::Approx(7.334));
    CHECK(hot.longest.front().amps == 10.0);
    // Sooner at the same current: 100 A is as 136.35 A at 23 C, 1000 / 136.35^2 = 0.05379 s.
    CHECK(shortest_opening_s(hot, 100.0).value() ==
          doctest::Approx(0.05379).epsilon(0.001).scale(0.0));
    CHECK(longest_opening_s(hot, 100.0) == longest_opening_s(band, 100.0));
    // -17 C: 1 + 0.0043 x 40 = 1.172; 100 A is as 85.32 A: 10000 / 85.32^2 = 1.3736 s.
    const TimeCurrentBand cold = in_air(band, 0.0043, {-17.0, -17.0});
    CHECK(cold.shortest.front().amps == 10.0);
    CHECK(cold.longest.front().amps == doctest::Approx(11.72));
    CHECK(longest_opening_s(cold, 100.0).value() == doctest::Approx(1.3736).epsilon(0.001));
    CHECK_FALSE(longest_opening_s(cold, 11.0).has_value());
    // A place that is both: each side takes its own.
    const TimeCurrentBand both = in_air(band, 0.0043, {-17.0, 85.0});
    CHECK(both.shortest.front().amps == hot.shortest.front().amps);
    CHECK(both.longest.front().amps == cold.longest.front().amps);
    // However hot, something of the rating is left.
    CHECK(in_air(band, 0.0043, {900.0, 900.0}).shortest.front().amps == doctest::Approx(1.0));
}

TEST_CASE("a colder device lets more through") {
    // (2 In)^2 x 5 s of a blade, its slow side at 1 + 0.0014 x (23 + 27) = 1.07 of the currents:
    // 20 x 30^2 x 1.07^2 = 20 608 A2s, and I2 = 1.35 x 1.07 = 1.4445 In.
    const Catalogue tables = loomwright::testing::tables();
    const FuseFamily& blade = *tables.find_fuse_family("blade");
    const DeviceBand cold =
        band_of(in_air(time_current_band(blade, 30.0), blade.opening_per_k, {-27.0, -27.0}));
    CHECK(cold.let_through.value().a2s == doctest::Approx(20608.0).epsilon(0.0005));
    CHECK(cold.sure_multiple == doctest::Approx(1.4445));
    CHECK(band_of(blade, 30.0).let_through.value().a2s == doctest::Approx(18000.0));
}

TEST_CASE("a zinc element moves no farther with the air than the tables say") {
    // An element melts by a heat that goes with Tm - Ta: I(Ta) / I(23 C) = sqrt((Tm - Ta) / (Tm -
    // 23)), zinc 419.5 C. The straight line of the tables is the larger move, in heat and in cold.
    const Catalogue tables = loomwright::testing::tables();
    for (const char* name : {"blade", "mini-blade", "maxi-blade", "strip", "glass"}) {
        const double per_k = tables.find_fuse_family(name)->opening_per_k;
        for (const double air : {60.0, 85.0, 105.0, 125.0}) {
            CHECK(1.0 - per_k * (air - 23.0) <= std::sqrt((419.5 - air) / (419.5 - 23.0)));
        }
        for (const double air : {-40.0, -18.0, 0.0}) {
            CHECK(1.0 - per_k * (air - 23.0) >= std::sqrt((419.5 - air) / (419.5 - 23.0)));
        }
        // and no more than 2 % beside it within the range.
        CHECK(1.0 - per_k * 102.0 == doctest::Approx(std::sqrt(294.5 / 396.5)).epsilon(0.02));
    }
}

TEST_CASE("between two slow gates nine places are looked at, evenly in the logarithm") {
    // docs/method/protection.md. From 10 A, 1000 s to 100 A, 10 s the band is t = 100 000 / I^2:
    // the places are 10^(k/10) times 10 A, all of them slower than 5 s.
    TimeCurrentBand band;
    band.rating_a = 8.0;
    band.longest = {{10.0, 1000.0, 23.0, {}}, {100.0, 10.0, 23.0, {}}};
    const DeviceBand device = band_of(band);
    REQUIRE(device.slow_gates.size() == 11);
    for (std::size_t k = 0; k < device.slow_gates.size(); ++k) {
        const SlowGate& gate = device.slow_gates[k];
        const double amps = 10.0 * std::pow(10.0, static_cast<double>(k) / 10.0);
        CHECK(gate.multiple == doctest::Approx(amps / 8.0));
        CHECK(gate.seconds == doctest::Approx(1e5 / (amps * amps)));
        CHECK(gate.is_between == (k > 0 && k < 10));
    }
    // Of a band that ends at 1 s what is 5 s or less is the let-through's: 10 000 / I^2 > 5 up to
    // 44.7 A, so 10^(6/10) times 10 A, 39.8 A, is the last place.
    CHECK(band_of(round_band()).slow_gates.size() == 7);
}

TEST_CASE("a band of which nothing is known") {
    const TimeCurrentBand nothing;
    CHECK_FALSE(nothing.is_known());
    CHECK_FALSE(shortest_opening_s(nothing, 100.0).has_value());
    CHECK_FALSE(longest_opening_s(nothing, 100.0).has_value());
    CHECK_FALSE(worst_let_through(nothing).has_value());
    CHECK_FALSE(band_of(nothing).is_known());
}

TEST_CASE("a rating that nothing names opens by the curve that stands for all of the table") {
    // 35 A is beyond the mini-blades of the table (2 to 30 A), all of which the curve covers: sure
    // to open at 1.2 x 35 = 42 A in 1800 s, at 2 x 35 = 70 A in 2 s, where the table has 5 s.
    Vehicle vehicle;
    FuseCurve curve;
    curve.name = "sheet";
    curve.family = "mini-blade";
    curve.least = Amps(2.0);
    curve.most = Amps(30.0);
    curve.source = "a sheet";
    curve.gates = {{.multiple = 1.2, .shortest = {}, .longest = Seconds(1800.0)},
                   {.multiple = 2.0, .shortest = {}, .longest = Seconds(2.0)}};
    vehicle.curves.push_back(curve);
    Catalogue tables = loomwright::testing::tables();
    const FuseFamily& mini = *tables.find_fuse_family("mini-blade");
    CHECK(longest_opening_s(mini, 35.0, 70.0).value() == doctest::Approx(5.0));
    tables.take_curves(vehicle);
    CHECK(longest_opening_s(mini, 35.0, 70.0).value() == doctest::Approx(2.0));
    CHECK(longest_opening_s(mini, 35.0, 42.0).value() == doctest::Approx(1800.0));
    CHECK_FALSE(longest_opening_s(mini, 35.0, 41.9).has_value());
    CHECK_FALSE(shortest_opening_s(mini, 35.0, 70.0).has_value());
}
