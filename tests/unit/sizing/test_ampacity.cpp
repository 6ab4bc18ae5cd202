// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What a wire may carry in its place: alone, in a bundle, under a cover (docs/method/heat.md).
#include "sized_car.hpp"

#include "sizing/ampacity.hpp"
#include "solve/bundle_heat.hpp"
#include "solve/warming.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <vector>

using namespace loomwright;

namespace {

/// So many heaters at the far end of one run, each with a battery wire, a fuse and a feed of its
/// own through the run; the feeds are number k.2.
std::string heaters(int count, double amps, std::string_view size, std::string_view cover) {
    std::string devices = "  G1: {is: battery, capacity: 90 Ah, voltage: 12 V, resistance: 1 "
                          "mohm, at: front}\n";
    devices += "  GND90: {is: ground, body: chassis, at: front}\n";
    std::string circuits;
    for (int i = 1; i <= count; ++i) {
        devices += fmt::format("  F{0}: {{is: fuse, rating: 60 A, family: maxi-blade, at: front}}\n"
                               "  E{0}: {{is: heater, draws: {1:.4f} A at 12 V, at: back}}\n"
                               "  GND{0}: {{is: ground, body: chassis, at: back}}\n",
                               i, amps);
        circuits += fmt::format("  c{0}:\n    number: {0}\n    paths: [G1 > F{0} > E{0} > GND{0}]\n"
                                "    wires: {{{0}.1: {{size: 16 mm2}}, {0}.2: {{size: {1}}}, "
                                "{0}.3: {{size: 16 mm2}}}}\n",
                                i, size);
    }
    circuits += "  home:\n    number: 90\n    paths: [G1.- > GND90]\n    wires: {90.1: {size: 95 "
                "mm2, length: 0.3 m}}\n";
    return fmt::format("loomwright: 1\n"
                       "zones: {{bay: {{air: 60 C}}}}\n"
                       "points: {{front: {{zone: bay}}, back: {{zone: bay}}}}\n"
                       "runs: {{loom: {{from: front, to: back, length: 0.2 m{}}}}}\n"
                       "devices:\n{}circuits:\n{}",
                       cover.empty() ? std::string() : fmt::format(", cover: {}", cover), devices,
                       circuits);
}

double free_air(const Checked& car, std::string_view number) {
    return car.wire(number).ampacity.free_air_a;
}

/// The wire's temperature in the run's bundle with its own heat at `amps`, by the balance itself.
double temperature_at(const Checked& car, std::string_view number, double amps) {
    const WireId id = car.vehicle.find_wire(number);
    const Ampacity& at = car.wire(number).ampacity;
    const RunLoading& run = car.sizing.runs[at.fullest.index()];
    const WireDesign& made = car.sizing.design.wires[id.index()];
    const auto& members = car.routing.run_wires[at.fullest.index()];
    double others = 0.0;
    for (std::size_t i = 0; i < members.size(); ++i) {
        others += members[i] == id ? 0.0 : run.wire_heat_w_per_m[i];
    }
    const solve::BundledWire wire =
        solve::wire_in_bundle(wire_body(car.catalogue, *made.conductor, *made.insulation),
                              run.skin.diameter_m(), run.conductivity_w_per_m_k);
    const double own =
        amps * amps * resistance_at(made.conductor->r20_ohm_per_m, made.insulation->limit);
    double low = run.air_c;
    double high = 1000.0;
    for (int step = 0; step < 60; ++step) {
        const double surface = 0.5 * (low + high);
        (run.skin.heat_w_per_m(surface, run.air_c) < own + others ? low : high) = surface;
    }
    return low + wire.neighbours_k_m_per_w * others + wire.own_k_m_per_w * own;
}

} // namespace

TEST_CASE("the heat balance's figure is the current at which the wire is at its class") {
    for (const std::string_view cover : {"", "tape", "conduit", "heat-sleeve"}) {
        for (const int count : {1, 3, 9}) {
            const auto car = sized(heaters(count, 6.0, "1.5 mm2", cover));
            const Ampacity& at = car->wire("1.2").ampacity;
            if (count == 1 && (cover.empty() || cover == "tape")) {
                CHECK_FALSE(at.fullest.is_valid());
                continue;
            }
            REQUIRE(at.fullest.is_valid());
            CAPTURE(count);
            CAPTURE(cover);
            // 0.3 K: the run's table of heat is straight between its points.
            CHECK(std::abs(temperature_at(*car, "1.2", at.skin_a) - at.limit_c) < 0.3);
            CHECK(at.amps == std::min(at.handbook_a, at.skin_a));
        }
    }
}

TEST_CASE("at part load the handbook's curves are the stricter, and both are shown") {
    // MIL-W-5088L (table bundle-factors) at 20 to 60 % of the free-air currents, 3 to 19 wires.
    for (const int count : {3, 7, 12, 19}) {
        for (const double share : {0.2, 0.25}) {
            const double alone = free_air(*sized(heaters(count, 1.0, "1.5 mm2", "")), "1.2");
            const auto car = sized(heaters(count, share * alone, "1.5 mm2", ""));
            const Ampacity& at = car->wire("1.2").ampacity;
            CAPTURE(count);
            CAPTURE(share);
            CHECK(at.bundle_wires == count);
            CHECK(at.bundle_loading == doctest::Approx(share).epsilon(0.1));
            CHECK(at.handbook_a < at.skin_a);
            CHECK(at.amps == at.handbook_a);
            CHECK(at.handbook_a == doctest::Approx(at.free_air_a * *car->catalogue.bundle_factor(
                                                                       count, at.bundle_loading)));
            CHECK(at.bundle_source == "bundle curves of MIL-W-5088L");
        }
    }
}

TEST_CASE("a bundle that is loaded as the handbook allows at 100 % is near its class") {
    // All wires at once at F(N, 100 %) of their free-air current: the heat balance puts them at
    // their class, within what 10 % of current makes (MIL-W-5088L, 2 to 19 wires). Rise goes about
    // with the square: 25 % of the 40 K between air and class.
    for (const std::string_view size : {"0.5 mm2", "1 mm2", "2.5 mm2", "4 mm2"}) {
        for (const int count : {2, 4, 8, 13, 19}) {
            const auto probe = sized(heaters(count, 1.0, size, ""));
            const double factor = *probe->catalogue.bundle_factor(count, 1.0);
            const double amps = factor * free_air(*probe, "1.2");
            const WireId id = probe->vehicle.find_wire("1.2");
            const WireDesign& made = probe->sizing.design.wires[id.index()];
            const solve::WireBody body =
                wire_body(probe->catalogue, *made.conductor, *made.insulation);
            const double diameter = body.outside_diameter_m * std::sqrt(count);
            const double inside =
                std::min(probe->catalogue.default_value("bundle-conductivity").value,
                         made.insulation->conductivity_w_per_m_k);
            const std::vector<solve::BundledWire> wires(
                static_cast<std::size_t>(count), solve::wire_in_bundle(body, diameter, inside));
            const std::vector<double> current(wires.size(), amps);
            const auto bundle =
                solve::bundle_heat(solve::Skin(diameter, 0.9), wires, current, 60.0);
            CAPTURE(size);
            CAPTURE(count);
            CHECK(std::abs(solve::bundled_wire_c(bundle, wires[0], amps) - 100.0) < 10.0);
        }
    }
}

TEST_CASE("a cover takes from what a wire may carry, alone and in a bundle") {
    for (const int count : {1, 5}) {
        const auto open = sized(heaters(count, 8.0, "2.5 mm2", ""));
        for (const std::string_view cover : {"tape", "braid", "conduit", "sleeve", "heat-sleeve"}) {
            const auto car = sized(heaters(count, 8.0, "2.5 mm2", cover));
            const Ampacity& bare = open->wire("1.2").ampacity;
            const Ampacity& at = car->wire("1.2").ampacity;
            CAPTURE(count);
            CAPTURE(cover);
            if (count == 1 && cover == "tape") {
                CHECK(at.amps == at.free_air_a); // it lies close on a thin wire: no credit, no loss
                continue;
            }
            CHECK(at.cover == cover);
            CHECK(at.cover_share <= 1.0);
            CHECK(at.cover_share > 0.5);
            CHECK(at.free_air_a == bare.free_air_a);
            CHECK(at.amps <= bare.amps);
            CHECK(at.handbook_a == doctest::Approx(bare.handbook_a * at.cover_share).epsilon(1e-3));
            if (cover == "heat-sleeve" || cover == "conduit") {
                CHECK(at.amps < 0.95 * bare.amps);
            }
            // And it is hotter for it at the same current.
            const std::size_t id = car->vehicle.find_wire("1.2").index();
            CHECK(car->sizing.states[0].wires[id].conductor_c >=
                  open->sizing.states[0].wires[id].conductor_c - 0.02);
        }
    }
}

TEST_CASE("warming for a short time is the adiabatic equation, in all sizes and insulations") {
    // 2 % below 0.1 s (IEC 60949 with K = 226, beta = 234.5): from the class to the short-time
    // limit.
    SourceFiles files;
    Findings findings;
    const Catalogue tables = load_catalogue(files, findings);
    int cases = 0;
    for (const SizeStandard standard : {SizeStandard::iso, SizeStandard::sae, SizeStandard::awg}) {
        for (const Conductor& conductor : tables.conductors(standard)) {
            for (const std::string_view name :
                 {"thin-wall pvc", "thin-wall xlpe", "thick-wall silicone", "rubber and braid"}) {
                const Insulation& insulation = *tables.find_insulation(name);
                const double area = conductor.copper_area.value();
                solve::WireBody body = wire_body(tables, conductor, insulation);
                body.r20_ohm_per_m = 17.241e-9 / area; // the equation's own resistance
                const solve::Warming warm(body, solve::Skin(body.outside_diameter_m, 0.9),
                                          solve::copper_j_per_m_k(area), insulation.limit.value());
                for (const double seconds : {0.09, 0.01}) {
                    const double amps =
                        insulation.k_a_sqrt_s_per_mm2 * area * 1e6 / std::sqrt(seconds);
                    CHECK(warm.seconds_until(amps, insulation.limit.value(),
                                             insulation.short_time.value()) ==
                          doctest::Approx(seconds).epsilon(0.02));
                    ++cases;
                }
            }
        }
    }
    CHECK(cases > 500);
}
