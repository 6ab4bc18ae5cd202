// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/spread.hpp"

#include "study/spread_random.hpp"
#include "study/spread_tables.hpp"
#include "study/study_bench.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::only;
using loomwright::testing::spreads;
using loomwright::testing::Study;

namespace {

Spread normal(std::string name, double width) {
    return {.name = std::move(name), .kind = SpreadKind::normal, .width = width};
}

/// P(Z <= x) by the error function of the standard library.
double normal_share(double x) {
    return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

/// Greatest distance of an ordered sample from its distribution, times sqrt(n).
template <typename Distribution>
double kolmogorov(std::vector<double> sample, Distribution distribution) {
    std::ranges::sort(sample);
    const auto n = static_cast<double>(sample.size());
    double greatest = 0.0;
    for (std::size_t i = 0; i < sample.size(); ++i) {
        const double share = distribution(sample[i]);
        greatest = std::max(
            {greatest, share - static_cast<double>(i) / n, static_cast<double>(i + 1) / n - share});
    }
    return greatest * std::sqrt(n);
}

/// Battery of 12 V behind 50 mohm, wires, a heater of 10 A at 12 V: a divider.
struct Divider : Car {
    Divider() {
        const DeviceId battery = source("G1", 12.0, 0.05);
        (void)battery;
        heater("E1", 10.0, 12.0);
        wire("G1.+", "E1.+", "10", 10.0);
        wire("E1.-", "G1.-", "10", 0.001);
    }
};

/// Relays, a controller's place taken by electronics, a lamp, a ground: a bit of everything.
struct SmallCar : Car {
    SmallCar() {
        battery("G1", 60.0, 500.0);
        alternator("G2", 60.0, 30.0, 14.2);
        fuse("F1", 20.0);
        fuse("F2", 10.0);
        push("S1");
        relay("K1", 85.0);
        load("E1", LoadLaw::lamp, "lamp", 4.6, 12.0);
        load("M1", LoadLaw::constant_current, "motor", 8.0, 13.0);
        load("A1", LoadLaw::constant_power, "electronics", 2.0, 12.0);
        ground("GND1");
        ground("GND2");
        wire("G1.-", "GND1", "25", 0.5);
        wire("G1.+", "F1.in", "6", 1.0);
        wire("G1.+", "F2.in", "2.5", 1.0);
        wire("G2.B+", "G1.+", "10", 1.5);
        wire("G2.-", "GND1", "10", 0.5);
        wire("F2.out", "S1.1", "1", 2.0);
        wire("S1.2", "K1.86", "0.75", 1.0);
        wire("K1.85", "GND2", "0.75", 1.0);
        wire("F1.out", "K1.30", "2.5", 1.0);
        wire("K1.87", "M1.+", "2.5", 3.0);
        wire("M1.-", "GND2", "2.5", 1.0);
        wire("S1.2", "E1.+", "1", 3.0);
        wire("E1.-", "GND2", "1", 1.0);
        wire("F2.out", "A1.+", "0.75", 2.0);
        wire("A1.-", "GND2", "0.75", 1.0);
        on = state("on");
        set_position(on, "S1", 1);
        running = state("running", EngineCondition::running);
        set_position(running, "S1", 1);
    }
    StateId on;
    StateId running;
};

void check_same(const StateSolution& a, const StateSolution& b) {
    CHECK(a.node_volts == b.node_volts);
    CHECK(a.branch_amps == b.branch_amps);
    for (std::size_t i = 0; i < a.wires.size(); ++i) {
        CHECK(a.wires[i].conductor_c == b.wires[i].conductor_c);
    }
}

} // namespace

TEST_CASE("random blocks are those that the authors of Philox published") {
    // Known-answer vectors of Random123 (kat_vectors, philox4x32, 10 rounds); memory.
    struct Known {
        std::array<std::uint32_t, 4> counter;
        std::array<std::uint32_t, 2> key;
        std::array<std::uint32_t, 4> block;
    };
    constexpr std::uint32_t ones = 0xffffffffU;
    const std::array<Known, 3> known{{
        {{0, 0, 0, 0}, {0, 0}, {0x6627e8d5U, 0xe169c58dU, 0xbc57ac4cU, 0x9b00dbd8U}},
        {{ones, ones, ones, ones},
         {ones, ones},
         {0x408f276dU, 0x41c83b0eU, 0xa20bc7c6U, 0x6d5451fdU}},
        {{0x243f6a88U, 0x85a308d3U, 0x13198a2eU, 0x03707344U},
         {0xa4093822U, 0x299f31d0U},
         {0xd16cfe09U, 0x94fdccebU, 0x5001e420U, 0x24126ea1U}},
    }};
    for (const Known& one : known) {
        CHECK(philox_block(one.counter, one.key) == one.block);
    }
}

TEST_CASE("the normal quantile undoes the error function") {
    for (double x = -7.5; x <= 7.5; x += 0.0625) {
        const double share = normal_share(x);
        if (share < 1.0 - 1e-9) { // above it the share itself has lost the digits
            CAPTURE(x);
            CHECK(normal_quantile(share) == doctest::Approx(x).epsilon(1e-7));
        }
    }
    // Test values of AS 241 itself.
    CHECK(normal_quantile(0.25) == doctest::Approx(-0.6744897501960817).epsilon(1e-15));
    CHECK(normal_quantile(0.001) == doctest::Approx(-3.090232306167814).epsilon(1e-15));
    CHECK(normal_quantile(1e-20) == doctest::Approx(-9.262340089798408).epsilon(1e-15));
}

TEST_CASE("draws follow their distributions") {
    constexpr std::size_t count = 100'000;
    // Kolmogorov's limiting distribution: 1.949 is exceeded by chance once in a thousand (N.
    // Smirnov, Ann. Math. Stat. 19 (1948) 279; memory). The seed is fixed: the test cannot
    // fluctuate.
    constexpr double once_in_a_thousand = 1.949;
    const auto sample_of = [&](const Spread& spread, bool across_items) {
        std::vector<double> out;
        for (std::size_t i = 0; i < count; ++i) {
            Draws draws(7, across_items ? 3 : i);
            out.push_back(draws.draw(spread, static_cast<std::uint32_t>(across_items ? i : 11)));
        }
        return out;
    };
    for (const bool across_items : {false, true}) {
        CAPTURE(across_items);
        const Spread even{.kind = SpreadKind::uniform, .middle = 1.0, .width = 0.25};
        CHECK(kolmogorov(sample_of(even, across_items), [](double x) { return (x - 0.75) / 0.5; }) <
              once_in_a_thousand);
        const Spread bell{.kind = SpreadKind::normal, .middle = 1.0, .width = 0.1};
        CHECK(kolmogorov(sample_of(bell, across_items), [](double x) {
                  return normal_share((x - 1.0) / 0.1);
              }) < once_in_a_thousand);
        const Spread tail{.kind = SpreadKind::log_normal, .middle = 2.0, .width = 1.6};
        CHECK(kolmogorov(sample_of(tail, across_items), [](double x) {
                  return normal_share(std::log(x / 2.0) / std::log(1.6));
              }) < once_in_a_thousand);
    }
}

TEST_CASE("draws next to one another know nothing of each other") {
    // Chi-square over 16 x 16 cells of pairs: 255 degrees of freedom, 99.9 % point 330.5 (from the
    // Wilson-Hilferty approximation, within 0.1 of the tables).
    constexpr int side = 16;
    constexpr int pairs = 200'000;
    for (const int kind : {0, 1, 2}) {
        std::vector<int> cells(static_cast<std::size_t>(side) * side, 0);
        for (int i = 0; i < pairs; ++i) {
            const auto sample = static_cast<std::uint64_t>(i);
            Draws first(1, sample);
            Draws second(kind == 2 ? 2 : 1, kind == 1 ? sample + pairs : sample);
            const double a = first.share(4);
            const double b = second.share(kind == 0 ? 5 : 4);
            ++cells[static_cast<std::size_t>(static_cast<int>(a * side) * side +
                                             static_cast<int>(b * side))];
        }
        constexpr double expected = static_cast<double>(pairs) / (side * side);
        double chi = 0.0;
        for (const int cell : cells) {
            chi += (cell - expected) * (cell - expected) / expected;
        }
        CAPTURE(kind);
        CHECK(chi < 330.5);
        CHECK(chi > 190.0); // too even would be no chance either: 0.1 % point 190.4
    }
}

TEST_CASE("a share's range is that of Wilson") {
    // R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3; memory.
    struct Known {
        std::uint64_t count;
        std::uint64_t of;
        double low;
        double high;
    };
    for (const Known& one : {Known{81, 263, 0.2553, 0.3662}, Known{15, 148, 0.0624, 0.1605},
                             Known{0, 20, 0.0, 0.1611}, Known{1, 29, 0.0061, 0.1718}}) {
        const SpreadShare share = wilson_share(one.count, one.of);
        CHECK(std::abs(share.low - one.low) < 5e-5);
        CHECK(std::abs(share.high - one.high) < 5e-5);
    }
    CHECK(wilson_share(0, 0).high == 1.0);
    CHECK(wilson_share(20, 20).high == 1.0);
}

TEST_CASE("a divider's spread is what the propagation of variances says") {
    // ISO/IEC Guide 98-3 (GUM), 5.1.2: u^2(V) = sum of (dV/dx)^2 u^2(x) for independent x, with
    // V = E / (1 + G (Rb + Rw)).
    const Divider car;
    const Study study(car.vehicle);
    const SpreadTable table =
        only({normal("battery-voltage", 0.2), normal("heater", 0.05),
              normal("battery-resistance", 0.1), normal("wire-length", 0.05)});
    const SpreadStudy samples(study.input(), study.design, table, {});
    constexpr int count = 20'000;
    std::vector<double> volts;
    for (int i = 0; i < count; ++i) {
        volts.push_back(samples.sample(5, static_cast<std::uint64_t>(i)).devices[1].volts);
    }
    const StateSolution nominal = samples.nominal();
    const double emf = 12.0;
    const double siemens = 10.0 / 12.0;
    const double wire = nominal.wires[0].ohm;
    const double rest = 0.05 + wire + nominal.wires[1].ohm;
    const double whole = 1.0 + siemens * rest;
    CHECK(nominal.devices[1].volts == doctest::Approx(emf / whole).epsilon(1e-9));
    const double by_emf = 0.2 / whole;
    const double by_battery = emf * siemens / (whole * whole) * 0.05 * 0.1;
    const double by_wire = emf * siemens / (whole * whole) * wire * 0.05;
    const double by_load = emf * rest / (whole * whole) * siemens * 0.05;
    const double variance =
        by_emf * by_emf + by_battery * by_battery + by_wire * by_wire + by_load * by_load;
    double mean = 0.0;
    for (const double v : volts) {
        mean += v / count;
    }
    double square = 0.0;
    for (const double v : volts) {
        square += (v - mean) * (v - mean) / (count - 1);
    }
    // Four standard errors: of the mean u / sqrt(N), of the variance u^2 sqrt(2 / N).
    CHECK(std::abs(mean - nominal.devices[1].volts) < 4.0 * std::sqrt(variance / count));
    CHECK(std::abs(square / variance - 1.0) < 4.0 * std::sqrt(2.0 / count));
}

TEST_CASE("nothing spread gives the nominal car to the last digit") {
    const SmallCar car;
    const Study study(car.vehicle);
    for (const StateId state : {car.on, car.running}) {
        const SpreadStudy samples(study.input(), study.design, spreads().without_spread(), state);
        const StateSolution nominal = samples.nominal();
        check_same(nominal, samples.sample(1, 0));
        check_same(nominal, samples.sample(99, 12345));
        const StateSolution solved = study.solve(state);
        for (std::size_t i = 0; i < solved.node_volts.size(); ++i) {
            CHECK(std::abs(nominal.node_volts[i] - solved.node_volts[i]) < 1e-9);
        }
        SpreadOrder order{.samples = 50};
        order.figures = {{SpreadFigure::Kind::wire_amps, 9},
                         {SpreadFigure::Kind::wire_c, 9},
                         {SpreadFigure::Kind::device_volts, 6}};
        for (const SpreadValues& values : samples.run(order).figures) {
            CHECK(values.p1 == values.nominal.value());
            CHECK(values.p50 == values.nominal.value());
            CHECK(values.p99 == values.nominal.value());
        }
    }
}

TEST_CASE("the same seed gives the same samples whatever the number of threads") {
    const SmallCar car;
    const Study study(car.vehicle);
    const SpreadStudy samples(study.input(), study.design, spreads(), car.running);
    SpreadOrder order{.samples = 300, .seed = 3};
    order.limits = {{.kind = SpreadLimit::Kind::on, .device = DeviceId(6)},
                    {.kind = SpreadLimit::Kind::insulation, .wire = WireId(9), .limit = 60.0}};
    for (std::size_t i = 0; i < car.vehicle.wires.size(); ++i) {
        order.figures.push_back({SpreadFigure::Kind::wire_amps, i});
        order.figures.push_back({SpreadFigure::Kind::wire_c, i});
    }
    order.threads = 1;
    const SpreadResult one = samples.run(order);
    for (const unsigned threads : {2U, 3U, 5U}) {
        order.threads = threads;
        const SpreadResult more = samples.run(order);
        CHECK(one.from_rest == more.from_rest);
        for (std::size_t i = 0; i < one.broken.size(); ++i) {
            CHECK(one.broken[i].count == more.broken[i].count);
        }
        for (std::size_t i = 0; i < one.figures.size(); ++i) {
            CHECK(one.figures[i].p1 == more.figures[i].p1);
            CHECK(one.figures[i].p50 == more.figures[i].p50);
            CHECK(one.figures[i].p99 == more.figures[i].p99);
        }
    }
    order.seed = 4;
    CHECK(samples.run(order).figures[0].p50 != one.figures[0].p50);
}

TEST_CASE("limits are held against what they speak of, and a run tells how far it is") {
    // 12 V behind 0.1 ohm, 24 ohm: 0.498 A; the relay stands before all else, with volts to spare
    Car car;
    car.relay("K1", 100.0);
    car.source("G1", 12.0, 0.1);
    car.alternator("G2", 60.0, 30.0, 14.2);
    car.heater("E1", 0.5, 12.0);
    for (const char* const minus : {"E1.-", "K1.85", "G2.-"}) {
        car.wire(minus, "G1.-", "10", 0.001);
    }
    for (const char* const plus : {"K1.86", "K1.30", "G2.B+"}) {
        car.wire("G1.+", plus, "10", 0.001);
    }
    car.wire("K1.87", "E1.+", "10", 0.001);
    const StateId parked = car.state("parked");
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const auto device = [&](const char* name) { return car.vehicle.find_device(name); };
    const auto node = [&](const char* terminal) { return study.network.node(car.ref(terminal)); };
    SpreadOrder order{.samples = 40, .seed = 5, .threads = 1};
    // both ways of E1: the battery's 11.95 V less the load's; and E1's own volts twice
    const std::vector<std::pair<int, int>> ways{{node("G1.+"), node("E1.+")},
                                                {node("E1.-"), node("G1.-")}};
    const std::vector<std::pair<int, int>> twice{{node("E1.+"), node("E1.-")},
                                                 {node("E1.+"), node("E1.-")}};
    using Kind = SpreadLimit::Kind;
    order.limits = {
        {.kind = Kind::drop, .device = device("E1"), .limit = 0.01, .spans = ways},
        {.kind = Kind::drop, .device = device("E1"), .limit = 0.001, .spans = ways}, // contact
        {.kind = Kind::drop, .device = device("E1"), .limit = 23.0, .spans = twice},
        {.kind = Kind::drop, .device = device("E1"), .limit = 40.0, .spans = twice},
        {.kind = Kind::drop, .device = device("G1"), .limit = -1.0, .spans = {{0, 0}}},
        {.kind = Kind::coil, .device = device("K1"), .is_on = true},
        {.kind = Kind::coil, .device = device("K1"), .is_on = false},
        {.kind = Kind::on, .device = device("E1")},
        {.kind = Kind::off, .device = device("E1")}};
    std::vector<std::uint64_t> told;
    order.progress = [&](std::uint64_t done) { told.push_back(done); };
    const auto broken = [&](StateId state) {
        const SpreadStudy samples(study.input(), study.design, spreads().without_spread(), state);
        const SpreadResult result = samples.run(order);
        CHECK(result.samples == 40);
        CHECK(result.seed == 5);
        CHECK(result.no_answer.count == 0);
        CHECK(result.from_rest == 0); // every sample is the nominal car
        std::vector<std::uint64_t> out;
        for (std::size_t i = 0; i < result.broken.size(); ++i) {
            out.push_back(result.broken[i].count);
            CHECK((result.nominal_broken[i] != 0) == (result.broken[i].count == 40));
        }
        return out;
    };
    // The relay's contact of 5 mohm loses 2.5 mV; a battery is held to a limit while it is charged.
    CHECK(broken(parked) == std::vector<std::uint64_t>{0, 40, 40, 0, 0, 0, 40, 0, 40});
    REQUIRE_FALSE(told.empty());
    CHECK(told.back() == 40);
    CHECK(std::ranges::is_sorted(told));
    CHECK(broken(running) == std::vector<std::uint64_t>{0, 40, 40, 0, 40, 0, 40, 0, 40});
}

TEST_CASE("a percentile is the sample of its rank") {
    const SmallCar car;
    const Study study(car.vehicle);
    const SpreadStudy samples(study.input(), study.design, spreads(), car.on);
    constexpr std::uint64_t count = 250;
    std::vector<double> amps;
    for (std::uint64_t i = 0; i < count; ++i) {
        amps.push_back(samples.sample(8, i).wires[9].amps);
    }
    std::ranges::sort(amps);
    SpreadOrder order{.samples = count, .seed = 8};
    order.figures = {{SpreadFigure::Kind::wire_amps, 9}};
    const SpreadValues values = samples.run(order).figures[0];
    CHECK(values.p1 == amps[2]);    // ceil(2.5) = 3rd
    CHECK(values.p50 == amps[124]); // 125th
    CHECK(values.p99 == amps[247]); // ceil(247.5) = 248th
}

TEST_CASE("a relay that pulls in by little stays out in the share of samples that says so") {
    // Coil of 85 ohm on a battery of 12 V that varies by 0.5 V (standard deviation): it pulls in at
    // 11.9 V, so that it stays out where E < 11.9 V and a bit: a share known from the normal
    // distribution.
    Car car;
    car.source("G1", 12.0, 0.001);
    const DeviceId relay = car.relay("K1", 85.0);
    std::get<Relay>(car.at(relay).spec).pulls_in = Volts(11.9);
    car.wire("G1.+", "K1.86", "2.5", 1.0);
    car.wire("K1.85", "G1.-", "2.5", 1.0);
    const Study study(car.vehicle);
    const SpreadStudy samples(study.input(), study.design, only({normal("battery-voltage", 0.5)}),
                              {});
    const StateSolution nominal = samples.nominal();
    REQUIRE(nominal.devices[relay.index()].on);
    const double share_at_coil = nominal.devices[relay.index()].coil_volts / 12.0;
    SpreadOrder order{.samples = 4000, .seed = 1};
    order.limits = {{.kind = SpreadLimit::Kind::coil, .device = relay, .is_on = true}};
    const SpreadResult result = samples.run(order);
    const double expected = normal_share((11.9 / share_at_coil - 12.0) / 0.5);
    CHECK(std::abs(result.broken[0].share - expected) <
          4.0 * std::sqrt(expected * (1.0 - expected) / 4000.0));
    // What it stands by does not depend on where the sample was begun.
    for (std::uint64_t i = 0; i < 200; ++i) {
        CHECK(samples.sample(1, i).devices[relay.index()].on ==
              samples.sample_from_rest(1, i).devices[relay.index()].on);
    }
}

TEST_CASE("a sample from the nominal answer is the sample from rest") {
    const SmallCar car;
    const Study study(car.vehicle);
    for (const StateId state : {car.on, car.running}) {
        const SpreadStudy samples(study.input(), study.design, spreads(), state);
        for (std::uint64_t i = 0; i < 100; ++i) {
            const StateSolution near = samples.sample(2, i);
            const StateSolution far = samples.sample_from_rest(2, i);
            REQUIRE(near.converged);
            REQUIRE(far.converged);
            CHECK(near.closed == far.closed);
            for (std::size_t w = 0; w < near.wires.size(); ++w) {
                CAPTURE(w);
                // From rest the heat is that of the standard's greatest resistance: up to 7 % more
                // of the rise. Readings between the shares: within a hundredth of it.
                const double rise = far.wires[w].conductor_c - far.wires[w].air_c;
                CHECK(near.wires[w].conductor_c <= far.wires[w].conductor_c + 0.02 + 0.01 * rise);
                CHECK(near.wires[w].conductor_c >= far.wires[w].conductor_c - 0.02 - 0.08 * rise);
            }
        }
    }
}

TEST_CASE("air, charge and contacts move the answer the way physics says") {
    const SmallCar car;
    const Study study(car.vehicle);
    const auto spread_of = [&](const Spread& spread) {
        const SpreadStudy samples(study.input(), study.design, only({spread}), car.on);
        SpreadOrder order{.samples = 400};
        order.figures = {{SpreadFigure::Kind::device_volts, 7}, {SpreadFigure::Kind::wire_c, 9}};
        return samples.run(order).figures;
    };
    // Warmer air: the motor's wire by just that, and the drop of its wires by 0.393 % of that at
    // 20 C for each kelvin.
    const auto by_air = spread_of(normal("air", 10.0));
    const double range_k = by_air[1].p99 - by_air[1].p1;
    CHECK(range_k == doctest::Approx(2.0 * 2.326 * 10.0).epsilon(0.2));
    const StateSolution solved = study.solve(car.on);
    double wires_v = 0.0; // at 20 C
    for (const std::size_t w : {0U, 1U, 8U, 9U, 10U}) {
        wires_v += std::abs(solved.wires[w].drop_v) /
                   resistance_at(1.0, Celsius(solved.wires[w].conductor_c));
    }
    CHECK(by_air[0].p99 - by_air[0].p1 ==
          doctest::Approx(0.00393 * range_k * wires_v).epsilon(0.1).scale(0.0));
    // Contacts: a relay contact twice as bad takes 8 A x 5 mohm more, never less than nothing.
    const auto by_contact =
        spread_of({.name = "relay-contact", .kind = SpreadKind::log_normal, .width = 2.0});
    const double nominal_drop = 8.0 * study.value("relay-contact");
    CHECK(by_contact[0].nominal.value() - by_contact[0].p1 ==
          doctest::Approx(nominal_drop * (std::pow(2.0, 2.326) - 1.0)).epsilon(0.3));
    CHECK(by_contact[0].p99 - by_contact[0].nominal.value() < nominal_drop);
}

TEST_CASE("a battery's warmth alone moves its voltage, by the table's slope") {
    Car car;
    const DeviceId id = car.battery("G1", 60.0, 500.0);
    car.heater("E1", 0.001, 12.0);
    car.wire("G1.+", "E1.+", "2.5", 1.0);
    car.wire("E1.-", "G1.-", "2.5", 1.0);
    const Study study(car.vehicle);
    const SpreadStudy samples(study.input(), study.design,
                              only({normal("battery-temperature", 10.0)}), {});
    SpreadOrder order{.samples = 2000};
    order.figures = {{SpreadFigure::Kind::device_volts, id.index()}};
    const SpreadValues values = samples.run(order).figures[0];
    const double slope = study.value("battery-open-circuit-slope");
    CHECK(values.p99 - values.p1 == doctest::Approx(2.0 * 2.326 * 10.0 * slope).epsilon(0.15));
}

TEST_CASE("a sample of a car with one relay finds it as its own voltage has it") {
    // 0.3 V is the standard deviation of the battery; a relay that pulls in at 9 V is in in every
    // sample, and none need be looked at from rest: that would take a battery that moves by an
    // eighth, half of the way from 12 V to 9 V.
    Car car;
    const DeviceId relay = car.relay("K1", 85.0); // the first thing of the car that turns over
    car.source("G1", 12.0, 0.01);
    std::get<Relay>(car.at(relay).spec).pulls_in = Volts(9.0);
    const DeviceId heater = car.heater("E1", 2.0, 12.0);
    car.wire("G1.+", "K1.86", "2.5", 1.0);
    car.wire("K1.85", "G1.-", "2.5", 1.0);
    car.wire("G1.+", "K1.30", "2.5", 1.0);
    car.wire("K1.87", "E1.+", "2.5", 1.0);
    car.wire("E1.-", "G1.-", "2.5", 1.0);
    const Study study(car.vehicle);
    const SpreadStudy samples(study.input(), study.design, only({normal("battery-voltage", 0.3)}),
                              {});
    for (std::uint64_t i = 0; i < 50; ++i) {
        for (const StateSolution& sample : {samples.sample(4, i), samples.sample_from_rest(4, i)}) {
            REQUIRE(sample.converged);
            CHECK(sample.devices[relay.index()].on);
            CHECK(sample.devices[heater.index()].amps ==
                  doctest::Approx(sample.devices[heater.index()].volts / 6.0).epsilon(1e-9));
            CHECK(sample.devices[heater.index()].volts > 9.0);
        }
    }
    CHECK(samples.run({.samples = 200, .seed = 4}).from_rest == 0);
}

TEST_CASE(
    "samples of a car whose relays take more than twenty turns to rest are settled from there") {
    // Relays that feed one another pull in one at a time. Up to twenty turns the way is followed
    // with the nominal car, and each sample may be begun where that ends; of a longer way nothing
    // is known, so that each sample goes it for itself.
    for (const int count : {6, 26}) {
        CAPTURE(count);
        Car car;
        car.source("G1", 12.0, 0.01);
        for (int i = 1; i <= count; ++i) {
            const std::string name = "K" + std::to_string(i);
            car.relay(name, 85.0);
            car.wire("G1.+", name + ".30");
            car.wire(i == 1 ? "G1.+" : "K" + std::to_string(i - 1) + ".87", name + ".86");
            car.wire(name + ".85", "G1.-");
        }
        const Study study(car.vehicle);
        const SpreadStudy samples(study.input(), study.design, spreads().without_spread(), {});
        for (int i = 1; i <= count; ++i) {
            CHECK(study.is_on(samples.nominal(), "K" + std::to_string(i)));
        }
        CHECK(samples.run({.samples = 10, .seed = 1}).from_rest == (count > 20 ? 10U : 0U));
    }
}
