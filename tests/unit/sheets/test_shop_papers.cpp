// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/buying_list.hpp"
#include "sheets/continuity.hpp"
#include "sheets/first_power.hpp"
#include "sheets/labels.hpp"
#include "sheets/loaded.hpp"

#include <algorithm>

using namespace loomwright;

namespace {

std::vector<double> places_mm(const Catalogue& catalogue, double length_mm) {
    std::vector<double> out;
    for (const Metres at : label_places(catalogue, Metres(length_mm * 1e-3))) {
        out.push_back(at.value() * 1e3);
    }
    return out;
}

} // namespace

TEST_CASE("labels: none, one in the middle, at both ends, at most 6 ft apart") {
    // FAA AC 43.13-1B 11-208 (read; the unit of 6 ft memory), in millimetres.
    const auto project = test::sized(test::written_out);
    const Catalogue& catalogue = project->catalogue;
    constexpr double inch = 25.4;
    CHECK(places_mm(catalogue, 3 * inch - 1).empty());
    CHECK(places_mm(catalogue, 3 * inch + 1).size() == 1);
    REQUIRE(places_mm(catalogue, 7 * inch - 1).size() == 1);
    CHECK(places_mm(catalogue, 150).front() == doctest::Approx(75));
    for (const double length : {7 * inch + 1, 500.0, 1828.0, 1930.0, 3000.0, 12345.0}) {
        CAPTURE(length);
        const std::vector<double> at = places_mm(catalogue, length);
        REQUIRE(at.size() >= 2);
        CHECK(at.front() <= 3 * inch);
        CHECK(length - at.back() <= 3 * inch);
        double widest = 0.0;
        for (std::size_t i = 1; i < at.size(); ++i) {
            widest = std::max(widest, at[i] - at[i - 1]);
        }
        CHECK(widest <= 72 * inch + 1e-6);
        // One fewer would be too few.
        CHECK((length - 100) / std::max(1.0, static_cast<double>(at.size()) - 2) >
              (at.size() == 2 ? 0.0 : 72 * inch));
    }
}

TEST_CASE("continuity: copper and both ends by hand") {
    const auto project = test::sized(test::written_out);
    const std::vector<ContinuityLine> lines = continuity(project->study(), project->sizing);
    // Every new wire and no old one.
    const auto old = std::ranges::count_if(
        project->vehicle.wires, [](const Wire& wire) { return wire.retained.has_value(); });
    CHECK(lines.size() + static_cast<std::size_t>(old) == project->vehicle.wires.size());
    const auto found = std::ranges::find_if(lines, [&](const ContinuityLine& line) {
        return project->vehicle.wire(line.wire).number == "2.2";
    });
    REQUIRE(found != lines.end());
    // 2 m of 1.5 mm2 at 13.3 mohm/m (IEC 60228 class 5, read) and two crimps of 0.5 mohm (common
    // practice, no source); 2 mohm an end are the most.
    CHECK(found->expected_ohm() == doctest::Approx(2 * 0.0133 + 0.001).epsilon(0.001).scale(0.0));
    CHECK(found->most_ohm == doctest::Approx(2 * 0.0133 + 0.004).epsilon(0.001).scale(0.0));
}

TEST_CASE("first power: against the battery's minus post, as the states have it") {
    const auto project = test::sized(test::written_out);
    const std::vector<TestPlace> places = test_places(project->study(), project->sizing);
    REQUIRE_FALSE(places.empty());
    const DeviceId battery = devices_of<Battery>(project->vehicle).front();
    for (const TestPlace& place : places) {
        CHECK(project->vehicle.device(place.at.device).as<Splice>() == nullptr);
        REQUIRE(place.volts.size() == project->sizing.states.size());
        CHECK_FALSE(place.wires.empty());
        if (place.at.device != battery) {
            continue;
        }
        for (std::size_t s = 0; s < place.volts.size(); ++s) {
            REQUIRE(place.volts[s].has_value());
            const bool is_minus = project->vehicle.show(place.at).ends_with("-");
            CHECK(*place.volts[s] ==
                  doctest::Approx(
                      is_minus ? 0.0 : project->sizing.states[s].devices[battery.index()].volts));
        }
    }
    std::size_t columns = 0;
    for (const Sheet& sheet : first_power_tables(project->study(), project->sizing, places, 1)) {
        CHECK(sheet.rows.size() == places.size());
        columns += sheet.columns.size() - 5;
    }
    CHECK(columns == project->sizing.states.size());
}

TEST_CASE("cutting plan: pieces that do not fit the rest of a spool take another one") {
    // Three pieces of 6 m are 18 m: by the sum two spools of 10 m do, by the shears three.
    CutSpool spool;
    for (int i = 0; i < 3; ++i) {
        CutLine line;
        line.number = std::to_string(i);
        line.length = Metres(6.0);
        spool.lines.push_back(line);
        spool.total += line.length;
    }
    const WireCutting cutting = cut_from_spools(spool, Metres(10.0));
    CHECK(cutting.spools.size() == 3);
    CHECK(cutting.is_least());
    CHECK(cutting.spools[0].rest.value() == doctest::Approx(4.0));
    spool.lines.front().length = Metres(10.005);
    const WireCutting with_long = cut_from_spools(spool, Metres(10.0));
    CHECK(with_long.spools.size() == 2);
    REQUIRE(with_long.too_long.size() == 1);
    CHECK(with_long.too_long.front()->number == "0");
}
