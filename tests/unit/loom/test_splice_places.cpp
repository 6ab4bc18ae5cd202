// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Splices along their runs: arithmetic of the file's own lengths. That splices of a bundle are
// staggered: FAA AC 43.13-1B and the airframe handbook (read); by how much: tables defaults.
#include "loom/routing.hpp"

#include "study/car.hpp"

using namespace loomwright;
using loomwright::testing::Car;

namespace {

/// A run of one metre from a to b, and one of two metres from b to c.
struct SplicedLoom {
    Car car;
    PointId a = car.point("a");
    PointId b = car.point("b");
    PointId c = car.point("c");
    RunId ab = car.run("ab", a, b, 1.0);
    RunId bc = car.run("bc", b, c, 2.0);
    Catalogue catalogue = testing::tables();
    double step = catalogue.default_value("splice-stagger").value;

    void splice(const char* name, PointId at, std::optional<double> offset_m = {}) {
        Device& device = car.at(car.splice(name));
        device.at = at;
        if (offset_m) {
            std::get<Splice>(device.spec).offset = Given<Metres>{Metres(*offset_m), {}};
        }
    }
    Routing route() {
        Findings findings;
        Routing out = route_wires(car.vehicle, catalogue, findings);
        CHECK(findings.empty());
        return out;
    }
};

} // namespace

TEST_CASE("splices of one run stand a step apart, from either end of it") {
    SplicedLoom loom;
    for (const char* name : {"S1", "S2", "S3"}) {
        loom.splice(name, loom.a);
    }
    loom.splice("T1", loom.b);
    loom.splice("far", loom.b);
    for (const char* name : {"S1", "S2", "S3"}) {
        loom.car.routed(name, "far");
    }
    loom.car.routed("T1", "S1");
    const Routing routing = loom.route();
    REQUIRE(routing.splices.size() == 5);
    CHECK(routing.splices[0].offset.value() == 0.0);
    CHECK(routing.splices[1].offset.value() == doctest::Approx(loom.step));
    CHECK(routing.splices[2].offset.value() == doctest::Approx(2 * loom.step));
    CHECK(routing.splices[3].along == loom.ab);
    CHECK(routing.splices[3].offset.value() == 0.0); // a metre away, at the other end
    CHECK(routing.splices[4].offset.value() == doctest::Approx(loom.step));
}

TEST_CASE("an offset of the file is kept, and the others keep clear of it") {
    SplicedLoom loom;
    loom.splice("S1", loom.a);
    loom.splice("S2", loom.a, 0.02);
    loom.splice("S3", loom.a);
    loom.splice("far", loom.c);
    for (const char* name : {"S1", "S2", "S3"}) {
        loom.car.routed(name, "far");
    }
    const Routing routing = loom.route();
    CHECK(routing.splices[1].offset.value() == doctest::Approx(0.02).scale(0.0));
    CHECK(routing.splices[1].is_given);
    // 0 and one step are both less than a step from 20 mm.
    CHECK(routing.splices[0].offset.value() == doctest::Approx(2 * loom.step));
    CHECK(routing.splices[2].offset.value() == doctest::Approx(3 * loom.step));
}

TEST_CASE("wires are cut to where the splice is: sooner by its run, later by any other") {
    SplicedLoom loom;
    loom.splice("S", loom.b, 0.3);
    loom.splice("left", loom.a, 0.0);
    loom.splice("right", loom.c, 0.0);
    loom.splice("here", loom.b, 0.1);
    const WireId by_run = loom.car.routed("S", "right");
    loom.car.routed("right", "S");
    loom.car.routed("here", "right");
    const WireId other_way = loom.car.routed("left", "S");
    const WireId between = loom.car.routed("here", "S");
    const Routing routing = loom.route();
    REQUIRE(routing.splices[0].along == loom.bc);
    const auto runs_and_detour = [&](WireId wire) {
        const WireRoute& route = routing.wires[wire.index()];
        return (route.runs_length + route.detour).value();
    };
    CHECK(runs_and_detour(by_run) == doctest::Approx(2.0 - 0.3));
    CHECK(runs_and_detour(other_way) == doctest::Approx(1.0 + 0.3));
    CHECK(runs_and_detour(between) == doctest::Approx(0.2));
    const WireRoute& route = routing.wires[other_way.index()];
    CHECK(route.length.value() == doctest::Approx(1.3 + route.allowance.value()));
}

TEST_CASE("a run too short for all its splices says so of those without a place") {
    SplicedLoom loom;
    const PointId d = loom.car.point("d");
    loom.car.run("short", loom.a, d, 1.5 * loom.step);
    for (const char* name : {"S1", "S2", "S3"}) {
        loom.splice(name, loom.a);
    }
    loom.splice("end", d, 0.0);
    for (const char* name : {"S1", "S2", "S3"}) {
        loom.car.routed(name, "end");
    }
    const Routing routing = loom.route();
    CHECK(routing.splices[0].has_room);
    CHECK_FALSE(routing.splices[1].has_room);
    CHECK_FALSE(routing.splices[2].has_room);
}
