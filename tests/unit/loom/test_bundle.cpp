// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Bundles against closed forms of circle packing, and against FAA AC 43.13-1B: supports at most
// 24 in apart (11-96a), ties where they are more than 12 in apart (11-158b), bends of 10 diameters
// (11-96). Cover sizes against a supplier's list of 2:1 shrunk tube (read).
#include "loom/bundle.hpp"

#include "base/side_by_side.hpp"
#include "study/car.hpp"

#include <cmath>
#include <numbers>

using namespace loomwright;
using loomwright::testing::Car;

namespace {

constexpr double inch_m = 0.0254;

/// Two runs a-b-c, of which b may be a hole.
struct BundledLoom {
    Car car;
    PointId a = car.point("a");
    PointId b = car.point("b");
    PointId c = car.point("c");
    RunId ab = car.run("ab", a, b, 1.0);
    RunId bc = car.run("bc", b, c, 1.0);
    Catalogue catalogue = testing::tables();
    WireBodies bodies;

    BundledLoom() {
        for (const auto& [name, point] :
             {std::pair("A", a), std::pair("B", b), std::pair("C", c)}) {
            car.at(car.splice(name)).at = point;
        }
    }
    WireId wire(std::string_view from, std::string_view to, double outside_m) {
        bodies.outside_m.push_back(outside_m);
        bodies.kg_per_m.push_back(0.01);
        return car.routed(from, to);
    }
    RunBundle bundle(RunId run) {
        Findings findings;
        const Routing routing = route_wires(car.vehicle, catalogue, findings);
        CHECK(findings.empty());
        return BundleMaker(car.vehicle, catalogue, routing, bodies).make(run);
    }
    Run& run(RunId id) { return car.vehicle.runs[id.index()]; }
};

double distance(const SectionWire& a, const SectionWire& b) {
    return std::hypot(a.at.x_m - b.at.x_m, a.at.y_m - b.at.y_m);
}

} // namespace

TEST_CASE("seven equal wires are three thick, and a metre weighs what they weigh") {
    BundledLoom loom;
    for (int i = 0; i < 7; ++i) {
        loom.wire("A", "B", 0.002);
    }
    const RunBundle bundle = loom.bundle(loom.ab);
    CHECK(bundle.bare.value() == doctest::Approx(0.006).epsilon(0.001).scale(0.0));
    CHECK(bundle.outside == bundle.bare);
    CHECK(bundle.kg_per_m == doctest::Approx(0.07).scale(0.0));
    CHECK(loom.bundle(loom.bc).section.wires.empty());
    CHECK(loom.bundle(loom.bc).bare.value() == 0.0);
}

TEST_CASE("a screen lies as one circle: its wires packed, and its braid round them") {
    // Two circles touch in one of twice their diameter; three of d in d (1 + 2 / sqrt 3).
    BundledLoom loom;
    std::vector<WireId> pair{loom.wire("A", "C", 0.002), loom.wire("A", "C", 0.002)};
    std::vector<WireId> three;
    for (int i = 0; i < 3; ++i) {
        three.push_back(loom.wire("A", "B", 0.003));
    }
    const double wall = loom.catalogue.default_value("shield-wall").value;
    for (const auto& [name, wires] : {std::pair("two", pair), std::pair("three", three)}) {
        Shield shield;
        shield.name = name;
        for (const WireId wire : wires) {
            shield.around.push_back({wire, {}});
        }
        loom.car.vehicle.shields.push_back(shield);
    }
    const RunBundle bundle = loom.bundle(loom.ab);
    REQUIRE(bundle.section.shields.size() == 2);
    const auto radius_of = [&](const std::string& name) {
        for (const SectionRing& ring : bundle.section.shields) {
            if (ring.name == name) {
                return ring.radius_m;
            }
        }
        return 0.0;
    };
    CHECK(radius_of("two") == doctest::Approx(0.002 + wall).epsilon(0.001).scale(0.0));
    CHECK(radius_of("three") ==
          doctest::Approx(0.0015 * (1.0 + 2.0 / std::sqrt(3.0)) + wall).epsilon(0.001).scale(0.0));
    // Two circles in one: the sum of both diameters.
    CHECK(bundle.bare.value() ==
          doctest::Approx(2.0 * (radius_of("two") + radius_of("three"))).epsilon(0.001).scale(0.0));
    CHECK(bundle.largest_wire.value() ==
          doctest::Approx(2.0 * radius_of("three")).epsilon(0.001).scale(0.0));
    for (const WireId wire : pair) {
        const SectionWire& laid = bundle.section.wires[wire.index()];
        const SectionRing& ring =
            bundle.section.shields[bundle.section.shields[0].name == "two" ? 0 : 1];
        CHECK(std::hypot(laid.at.x_m - ring.at.x_m, laid.at.y_m - ring.at.y_m) + laid.radius_m <=
              ring.radius_m - wall + 1e-6);
    }
    // In the next run the pair is alone in its screen.
    CHECK(loom.bundle(loom.bc).bare.value() ==
          doctest::Approx(0.004 + 2.0 * wall).epsilon(0.001).scale(0.0));
}

TEST_CASE("a twisted pair lies as one circle of two diameters, its wires touching") {
    BundledLoom loom;
    const WireId high = loom.wire("A", "C", 0.002);
    const WireId low = loom.wire("C", "A", 0.002);
    for (int i = 0; i < 5; ++i) {
        loom.wire("A", "B", 0.002);
    }
    loom.car.at(high).twisted = "can";
    loom.car.at(low).twisted = "can";
    const RunBundle alone = loom.bundle(loom.bc);
    CHECK(alone.bare.value() == doctest::Approx(0.004).scale(0.0));
    const RunBundle bundle = loom.bundle(loom.ab);
    REQUIRE(bundle.section.twists.size() == 1);
    CHECK(bundle.section.twists.front().name == "can");
    CHECK(bundle.section.twists.front().radius_m == doctest::Approx(0.002).scale(0.0));
    CHECK(distance(bundle.section.wires[0], bundle.section.wires[1]) ==
          doctest::Approx(0.002).scale(0.0));
    // As five circles of 1 mm round one of 2 mm: more than the seven need untwisted.
    CHECK(bundle.bare.value() > 0.006);
    for (std::size_t i = 0; i < 7; ++i) {
        for (std::size_t k = 0; k < i; ++k) {
            CHECK(distance(bundle.section.wires[i], bundle.section.wires[k]) >= 0.002 * (1 - 1e-9));
        }
        // Nothing lies in the circle of the pair.
        const SectionWire& wire = bundle.section.wires[i];
        const SectionRing& twist = bundle.section.twists.front();
        if (i >= 2) {
            CHECK(std::hypot(wire.at.x_m - twist.at.x_m, wire.at.y_m - twist.at.y_m) >=
                  0.003 * (1 - 1e-9));
        }
    }
}

TEST_CASE("wires of one name are twisted with those that lead from the same part to the same") {
    BundledLoom loom;
    loom.car.at(loom.wire("A", "B", 0.002)).twisted = "can";
    loom.car.at(loom.wire("B", "C", 0.002)).twisted = "can";
    loom.car.at(loom.wire("B", "A", 0.002)).twisted = "can";
    loom.car.at(loom.wire("A", "B", 0.002)).twisted = "other";
    const std::vector<Twist> found = twists(loom.car.vehicle);
    REQUIRE(found.size() == 3);
    CHECK(found[0].wires == std::vector<WireId>{WireId(0), WireId(2)});
    CHECK(found[1].wires == std::vector<WireId>{WireId(1)});
    CHECK(found[2].name == "other");
}

TEST_CASE("joints at one place are one part for a pair, other devices are not") {
    BundledLoom loom;
    loom.car.at(loom.car.splice("A2")).at = loom.a;
    loom.car.at(loom.car.heater("E1", 1.0, 12.0)).at = loom.b;
    loom.car.at(loom.car.heater("E2", 1.0, 12.0)).at = loom.b;
    loom.car.at(loom.wire("A", "E1.+", 0.002)).twisted = "one";
    loom.car.at(loom.wire("A2", "E1.-", 0.002)).twisted = "one";
    loom.car.at(loom.wire("A", "E1.+", 0.002)).twisted = "two";
    loom.car.at(loom.wire("A", "E2.+", 0.002)).twisted = "two";
    const std::vector<Twist> found = twists(loom.car.vehicle);
    REQUIRE(found.size() == 3);
    CHECK(found[0].wires.size() == 2);
    CHECK(found[1].wires.size() == 1);
}

TEST_CASE("supports are never more than 24 in apart, and ties come where they are more than 12") {
    for (const double length_m : {0.2, 0.6096, 0.61, 1.2, 1.2192, 1.3, 5.0}) {
        BundledLoom loom;
        loom.run(loom.ab).length = Metres(length_m);
        loom.wire("A", "B", 0.002);
        loom.wire("A", "B", 0.002);
        const RunBundle bundle = loom.bundle(loom.ab);
        CAPTURE(length_m);
        CHECK(bundle.clips >= 1);
        CHECK(length_m / bundle.clips <= 24.0 * inch_m * (1 + 1e-6));
        CHECK((bundle.clips == 1 || length_m / (bundle.clips - 1) > 24.0 * inch_m));
        const double gap_m = length_m / bundle.clips / (1.0 + bundle.ties / bundle.clips);
        CHECK(gap_m <= 12.0 * inch_m * (1 + 1e-6));
    }
    BundledLoom loom;
    loom.run(loom.ab).clips = Given<Metres>{Metres(0.25), {}};
    loom.wire("A", "B", 0.002);
    loom.wire("A", "B", 0.002);
    CHECK(loom.bundle(loom.ab).clips == 4);
    CHECK(loom.bundle(loom.ab).ties == 0);
    loom.run(loom.ab).clips.reset();
    loom.run(loom.ab).cover = "braid";
    CHECK(loom.bundle(loom.ab).ties == 0);
}

TEST_CASE("bends: ten of the largest wire, or four of the whole") {
    BundledLoom loom;
    loom.wire("A", "B", 0.012);
    CHECK(loom.bundle(loom.ab).least_bend.value() == doctest::Approx(0.12).scale(0.0));
    CHECK(loom.bundle(loom.ab).bend_by_wire);
    for (int i = 0; i < 19; ++i) {
        loom.wire("B", "C", 0.002);
    }
    const RunBundle bundle = loom.bundle(loom.bc); // 19 equal: 1 + sqrt 2 + sqrt 6
    const double ratio = 1.0 + std::numbers::sqrt2 + std::sqrt(6.0);
    CHECK(bundle.bare.value() == doctest::Approx(0.002 * ratio).epsilon(0.003).scale(0.0));
    CHECK(bundle.least_bend.value() ==
          doctest::Approx(4.0 * 0.002 * ratio).epsilon(0.003).scale(0.0));
    CHECK_FALSE(bundle.bend_by_wire);
    loom.run(loom.bc).moving = true;
    CHECK(loom.bundle(loom.bc).least_bend.value() ==
          doctest::Approx(5.0 * 0.002 * ratio).epsilon(0.003).scale(0.0));
}

TEST_CASE("the smallest cover that takes the bundle, and the hole it must go through") {
    BundledLoom loom;
    loom.run(loom.ab).cover = "sleeve";
    for (int i = 0; i < 7; ++i) {
        loom.wire("A", "B", 0.003);
    }
    // 9 mm: over the recovered 6.4 mm of the 12.7 mm tube and under four fifths of it; wall 0.62.
    RunBundle bundle = loom.bundle(loom.ab);
    REQUIRE(bundle.cover != nullptr);
    CHECK(bundle.cover->name == "shrink 12.7/6.4");
    CHECK(bundle.outside.value() == doctest::Approx(0.009 + 2 * 0.00062).epsilon(0.001).scale(0.0));
    loom.car.vehicle.points[loom.b.index()].opening = Metres(0.0102);
    REQUIRE(passage_fits(loom.car.vehicle, bundle).size() == 1);
    const PassageFit tight = passage_fits(loom.car.vehicle, bundle).front();
    CHECK_FALSE(tight.fits());
    CHECK(tight.point == loom.b);
    loom.car.vehicle.points[loom.b.index()].opening = Metres(2.0 * bundle.outside.value());
    CHECK(passage_fits(loom.car.vehicle, bundle).front().share == doctest::Approx(0.25));
    // A conduit has an outside of its own, and nothing takes 19 battery cables.
    loom.run(loom.ab).cover = "conduit";
    bundle = loom.bundle(loom.ab);
    REQUIRE(bundle.cover != nullptr);
    CHECK(bundle.outside == *bundle.cover->outside);
    for (int i = 0; i < 19; ++i) {
        loom.wire("A", "B", 0.016);
    }
    bundle = loom.bundle(loom.ab);
    CHECK(bundle.cover == nullptr);
    CHECK(bundle.cover_not_found);
    CHECK(bundle.outside > bundle.bare);
}

TEST_CASE("every size of a cover is larger than the one before, and none leaves a gap") {
    const Catalogue catalogue = testing::tables();
    for (const CoverType& type : catalogue.covers()) {
        Metres reach;
        for (const CoverSize& size : catalogue.cover_sizes()) {
            if (size.cover == type.name) {
                CAPTURE(size.name);
                CHECK(size.most > reach);
                CHECK((reach.value() == 0.0 || size.least <= reach));
                reach = size.most;
            }
        }
        CHECK(reach.value() > 0.03);
    }
}

TEST_CASE("a car so large that two threads share its runs: each bundle is as one alone") {
    // Run r has r + 1 wires of one diameter, its own, and the rest of the car lies in none. The
    // circle round n equal ones of diameter 1: 1, 2, 1 + 2 / sqrt 3, 1 + sqrt 2, 1 + 1 / sin 36,
    // 3 and 3. Their number is odd, so that the halves are not alike.
    const std::vector<double> round{1.0,
                                    2.0,
                                    1.0 + 2.0 / std::sqrt(3.0),
                                    1.0 + std::numbers::sqrt2,
                                    1.0 + 1.0 / std::sin(std::numbers::pi / 5.0),
                                    3.0,
                                    3.0};
    Car car;
    car.splice("A");
    car.splice("B");
    const PointId a = car.point("a");
    const PointId b = car.point("b");
    Routing routing;
    WireBodies bodies;
    std::vector<double> diameter_m;
    for (std::size_t r = 0; r < round.size(); ++r) {
        car.run("r" + std::to_string(r), a, b, 1.0);
        routing.run_lengths.emplace_back(1.0);
        diameter_m.push_back(0.001 + 0.0001 * static_cast<double>(r));
        routing.run_wires.emplace_back();
        for (std::size_t k = 0; k <= r; ++k) {
            routing.run_wires.back().push_back(car.routed("A", "B"));
            bodies.outside_m.push_back(diameter_m.back());
            bodies.kg_per_m.push_back(0.01 * static_cast<double>(r + 1));
        }
    }
    while (car.vehicle.wires.size() < rows_worth_a_thread) {
        car.routed("A", "B");
        bodies.outside_m.push_back(0.002);
        bodies.kg_per_m.push_back(0.01);
    }
    const Catalogue catalogue = testing::tables();
    PackingShelf shelf;
    for (PackingShelf* shared : {static_cast<PackingShelf*>(nullptr), &shelf, &shelf}) {
        const std::vector<RunBundle> all =
            BundleMaker(car.vehicle, catalogue, routing, bodies, shared).make_all();
        REQUIRE(all.size() == round.size());
        for (std::size_t r = 0; r < all.size(); ++r) {
            CAPTURE(r);
            const RunBundle& made = all[r];
            CHECK(made.run == RunId(r));
            // Within what test_packing.cpp asks of the packing itself.
            const double ratio = made.bare.value() / diameter_m[r];
            CHECK(ratio <= 1.015 * round[r]);
            CHECK(ratio >= round[r] * (1.0 - 1e-6));
            // (r + 1) wires of 0.01 (r + 1) kg/m
            CHECK(made.kg_per_m ==
                  doctest::Approx(0.01 * static_cast<double>((r + 1) * (r + 1))).scale(0.0));
            const RunBundle alone =
                BundleMaker(car.vehicle, catalogue, routing, bodies).make(RunId(r));
            CHECK(made.bare == alone.bare);
            CHECK(made.outside == alone.outside);
            CHECK(made.clips == alone.clips);
            CHECK(made.ties == alone.ties);
            REQUIRE(made.section.wires.size() == r + 1);
            REQUIRE(alone.section.wires.size() == r + 1);
            for (std::size_t k = 0; k <= r; ++k) {
                CHECK(made.section.wires[k].wire == routing.run_wires[r][k]);
                CHECK(made.section.wires[k].at.x_m == alone.section.wires[k].at.x_m);
                CHECK(made.section.wires[k].at.y_m == alone.section.wires[k].at.y_m);
            }
        }
    }
}
