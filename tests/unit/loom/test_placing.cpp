// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/placing.hpp"
#include "study/car.hpp"

#include <algorithm>

using namespace loomwright;
using loomwright::testing::Car;

namespace {

/// Points a, b, c in a line, a metre and two metres apart, and d on its own.
struct Line {
    Car car;
    ZoneId cool = car.zone("cabin", 30.0);
    ZoneId hot = car.zone("bay", 90.0, true);
    PointId a = car.point("a", cool);
    PointId b = car.point("b", cool);
    PointId c = car.point("c", hot);
    PointId d = car.point("d", cool);
    RunId ab = car.run("ab", a, b, 1.0);
    RunId bc = car.run("bc", b, c, 2.0);
    Catalogue catalogue = testing::tables();
    DeviceId control;

    Line() {
        for (const RunId run : {ab, bc}) {
            car.vehicle.runs[run.index()].hidden = true;
        }
        control = car.device("A1", {"feed", "ground"}, Controller{});
        car.at(control).at = a;
        car.at(car.splice("S")).at = b;
        car.at(car.splice("T")).at = c;
        car.routed("A1.feed", "S");
        car.routed("A1.ground", "T");
    }
    SuppliedHarness& harness() {
        SuppliedHarness made;
        made.name = "loom";
        made.device = control;
        made.from = a;
        made.leads = {{.name = "feed", .terminal = 0, .length = Metres(1.2)},
                      {.name = "ground", .terminal = 1, .length = Metres(1.5)}};
        car.vehicle.supplied.push_back(made);
        return car.vehicle.supplied.back();
    }
    [[nodiscard]] std::vector<PlaceChoice> places(std::vector<double> areas = {1e-6, 1e-6}) const {
        const std::vector<DeviceId> moved{control};
        return place_choices(car.vehicle, catalogue, moved, areas);
    }
    static const PlaceChoice& at(const std::vector<PlaceChoice>& all, PointId point) {
        return *std::ranges::find(all, point, &PlaceChoice::point);
    }
};

// take-out 50 mm, service loop 50 mm, strip 6 mm at an end; 150 mm between two devices at one
// point: the rows of the table of defaults.
constexpr double end_m = 0.05 + 0.05 + 0.006;
constexpr double same_place_m = 2.0 * end_m;

} // namespace

TEST_CASE("a lead reaches when the way and one end take no more than it has") {
    Line line;
    line.harness();
    const std::vector<LeadReach> reaches = lead_reaches(line.car.vehicle, line.catalogue);
    REQUIRE(reaches.size() == 2);
    CHECK(reaches[0].needed_m == doctest::Approx(1.0 + end_m));
    CHECK(reaches[0].slack_m() == doctest::Approx(1.2 - 1.0 - end_m));
    CHECK(reaches[0].reaches());
    CHECK(reaches[0].joined == "S");
    CHECK(reaches[1].needed_m == doctest::Approx(3.0 + end_m));
    CHECK_FALSE(reaches[1].reaches());
}

TEST_CASE("a lead that nothing is joined to, or that no way leads from, does not reach") {
    Line line;
    SuppliedHarness& harness = line.harness();
    harness.leads.push_back({.name = "spare", .terminal = 7, .length = Metres(9.0)});
    harness.from = line.d;
    const std::vector<LeadReach> reaches = lead_reaches(line.car.vehicle, line.catalogue);
    REQUIRE(reaches.size() == 3);
    CHECK_FALSE(reaches[0].reaches()); // d is on its own
    CHECK(reaches[0].is_joined());
    CHECK_FALSE(reaches[2].is_joined());
}

TEST_CASE("every point is tried, and the one with the least copper is best") {
    const Line line;
    const std::vector<PlaceChoice> all = line.places();
    REQUIRE(all.size() == 4);
    CHECK(all.front().point == line.b); // 2 m and none; a has 1 + 3, c none + 2 but hot and wet
    CHECK(all.back().point == line.d);  // no way leads there
    CHECK(all.back().unrouted == 2);
    const PlaceChoice& best = all.front();
    CHECK(best.wire_m == doctest::Approx(2.0 + 2.0 * end_m + same_place_m));
    CHECK(best.copper_m3 == doctest::Approx(1e-6 * best.wire_m).scale(0.0));
    const PlaceChoice& now = Line::at(all, line.a);
    CHECK(now.is_now);
    CHECK(now.wire_m == doctest::Approx(1.0 + 3.0 + 4.0 * end_m));
    CHECK(now.air_c == 30.0);
    CHECK(now.hottest_c == 90.0);
    // bc is hot (3 steps of 10 K over 60 C, a fifth each) and wet (0.3): both of the table.
    CHECK(now.counted_m3 ==
          doctest::Approx(1e-6 * (now.wire_m + 2.0 * (3.0 * 0.2 + 0.3))).scale(0.0));
    CHECK(Line::at(all, line.c).is_wet);
    CHECK(now.seen_m == 0.0);
}

TEST_CASE("the thicker wire draws the place to its end") {
    const Line line;
    CHECK(line.places({1e-6, 50e-6}).front().point == line.c);
    CHECK(line.places({50e-6, 1e-6}).front().point == line.b);
}

TEST_CASE("leads that reach count before copper, and a trunk that is too short before both") {
    Line line;
    line.harness().leads[1].length = Metres(3.2);
    // From a and b both reach; from c the feed (2 m) does not.
    const std::vector<PlaceChoice> all = line.places({1e-6, 50e-6});
    CHECK(all.front().leads_reaching == 2);
    CHECK(all.front().point != line.c);
    CHECK(Line::at(all, line.c).leads_reaching == 1);
    CHECK(Line::at(all, line.c).leads == 2);

    // The leads come out at b now; the trunk is as long as the way from a, 1 m: c is too far.
    line.car.vehicle.supplied.front().from = line.b;
    const std::vector<PlaceChoice> fixed = line.places();
    CHECK(Line::at(fixed, line.c).trunk_slack_m == doctest::Approx(-1.0));
    CHECK(Line::at(fixed, line.b).trunk_slack_m == doctest::Approx(1.0));
    CHECK(Line::at(fixed, line.a).trunk_slack_m == doctest::Approx(0.0));
    CHECK(fixed.front().point != line.c);
    line.car.vehicle.supplied.front().trunk = Metres(2.5);
    CHECK(Line::at(line.places(), line.c).trunk_slack_m == doctest::Approx(0.5));
}

TEST_CASE("a point's name means all that is at it") {
    const Line line;
    CHECK(devices_at(line.car.vehicle, "A1") == std::vector<DeviceId>{line.control});
    CHECK(devices_at(line.car.vehicle, "a") == std::vector<DeviceId>{line.control});
    CHECK(devices_at(line.car.vehicle, "nowhere").empty());
}
