// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/car.hpp"

using namespace loomwright;
using loomwright::testing::Car;

namespace {

/// A ring: a-b-c along the top, a-d-c along the bottom, and an island e.
struct Ring {
    Car car;
    ZoneId cool = car.zone("cabin", 50.0);
    ZoneId hot = car.zone("engine-bay", 95.0, true);
    PointId a = car.point("a", cool);
    PointId b = car.point("b", hot);
    PointId c = car.point("c", cool);
    PointId d = car.point("d", cool);
    PointId e = car.point("e", cool);
    RunId ab = car.run("ab", a, b, 1.0);
    RunId bc = car.run("bc", b, c, 1.0);
    RunId ad = car.run("ad", a, d, 1.5);
    RunId dc = car.run("dc", d, c, 1.5);
    Catalogue catalogue = testing::tables();
    Findings findings;

    Ring() {
        for (const auto& [name, point] :
             {std::pair("A", a), std::pair("B", b), std::pair("C", c), std::pair("E", e)}) {
            car.at(car.splice(name)).at = point;
        }
        car.splice("nowhere");
        // Lengths alone count, until a test says otherwise.
        const Given<double> none{0.0, {}};
        car.vehicle.policy.route = {.hot = none, .wet = none, .moving = none, .seen = none};
    }
    Routing route() { return route_wires(car.vehicle, catalogue, findings); }
};

// take-out 50 mm, service loop 50 mm, strip 6 mm, each end: the rows of the table of defaults.
constexpr double allowance_m = 2.0 * (0.05 + 0.05 + 0.006);

} // namespace

TEST_CASE("a wire takes the shortest way and is cut longer by its allowances") {
    Ring ring;
    const WireId wire = ring.car.routed("A", "C");
    const WireRoute route = ring.route().wires[wire.index()];
    CHECK(route.runs == std::vector<RunId>{ring.ab, ring.bc});
    CHECK(route.runs_length.value() == doctest::Approx(2.0));
    CHECK(route.allowance.value() == doctest::Approx(allowance_m));
    CHECK(route.length.value() == doctest::Approx(2.0 + allowance_m));
    CHECK(route.source == LengthSource::routed);
    CHECK(route.hottest == ring.hot);
    CHECK(route.is_wet);
    CHECK(ring.findings.empty());
}

TEST_CASE("runs are listed from the wire's own start") {
    Ring ring;
    ring.car.routed("A", "C");
    ring.car.routed("C", "A");
    const Routing routing = ring.route();
    CHECK(routing.wires[1].runs == std::vector<RunId>{ring.bc, ring.ab});
    CHECK(routing.run_wires[ring.ab.index()] == std::vector<WireId>{WireId(0), WireId(1)});
    CHECK(routing.run_wires[ring.ad.index()].empty());
}

TEST_CASE("via and avoid are kept, and the air of the way that is taken counts") {
    Ring ring;
    const WireId through_run = ring.car.routed("A", "C");
    ring.car.at(through_run).via.push_back({"dc", {}});
    const WireId through_point = ring.car.routed("A", "C");
    ring.car.at(through_point).via.push_back({"d", {}});
    const WireId round = ring.car.routed("A", "C");
    ring.car.at(round).avoid.push_back({"ab", {}});
    const WireId round_point = ring.car.routed("A", "C");
    ring.car.at(round_point).avoid.push_back({"b", {}});
    const Routing routing = ring.route();
    for (const WireRoute& route : routing.wires) {
        CHECK(route.runs == std::vector<RunId>{ring.ad, ring.dc});
        CHECK(route.hottest == ring.cool);
        CHECK_FALSE(route.is_wet);
    }
}

TEST_CASE("a wire sent out and back lies in the run twice") {
    Ring ring;
    const WireId wire = ring.car.routed("A", "A");
    ring.car.at(wire).via.push_back({"d", {}});
    const Routing routing = ring.route();
    CHECK(routing.wires[0].runs == std::vector<RunId>{ring.ad, ring.ad});
    CHECK(routing.run_wires[ring.ad.index()].size() == 2);
}

TEST_CASE("ways of one length: the run written first wins, whichever end the wire starts from") {
    Ring ring;
    ring.car.vehicle.runs[ring.ad.index()].length = Metres(1.0);
    ring.car.vehicle.runs[ring.dc.index()].length = Metres(1.0);
    ring.car.routed("A", "C");
    ring.car.routed("C", "A");
    const Routing routing = ring.route();
    CHECK(routing.wires[0].runs == std::vector<RunId>{ring.ab, ring.bc});
    CHECK(routing.wires[1].runs == std::vector<RunId>{ring.bc, ring.ab});
}

TEST_CASE("no way between two points is a finding that names both") {
    Ring ring;
    const WireId wire = ring.car.routed("A", "E");
    const Routing routing = ring.route();
    REQUIRE(ring.findings.all().size() == 1);
    const Finding& finding = ring.findings.all().front();
    CHECK(finding.rule == Rule::no_route);
    CHECK(finding.subject == ring.car.at(wire).number);
    CHECK(finding.message == "no runs lead from point a (A) to point e (E)");
    CHECK(routing.wires[0].source == LengthSource::assumed);
}

TEST_CASE("a written length needs no way") {
    Ring ring;
    ring.car.wire("A", "E", "2.5", 3.2);
    const WireId measured = ring.car.wire("A", "C", "2.5", 4.0);
    ring.car.at(measured).length_is_measured = true;
    const Routing routing = ring.route();
    CHECK(ring.findings.empty());
    CHECK(routing.wires[0].length.value() == 3.2);
    CHECK(routing.wires[0].source == LengthSource::written);
    CHECK(routing.wires[1].length.value() == 4.0);
    CHECK(routing.wires[1].source == LengthSource::measured);
    CHECK(routing.wires[1].runs.size() == 2); // it lies in the bundles all the same
}

TEST_CASE("ends at one point, and ends nowhere") {
    Ring ring;
    ring.car.at(ring.car.splice("A2")).at = ring.a;
    ring.car.routed("A", "A2");
    ring.car.routed("A", "nowhere");
    const Routing routing = ring.route();
    CHECK(routing.wires[0].source == LengthSource::same_place);
    CHECK(routing.wires[0].length.value() == doctest::Approx(allowance_m));
    CHECK(routing.wires[1].source == LengthSource::assumed);
    CHECK(routing.wires[1].length.value() == ring.catalogue.default_value("assumed-length").value);
    CHECK(ring.findings.empty());
}

TEST_CASE("the policy sets the allowances, but a wire at one point has a least length") {
    Ring ring;
    ring.car.at(ring.car.splice("A2")).at = ring.a;
    ring.car.routed("A", "C");
    ring.car.routed("A", "A2");
    ring.car.vehicle.policy.take_out = Given<Metres>{Metres(0.02), {}};
    ring.car.vehicle.policy.service_loop = Given<Metres>{Metres(0.0), {}};
    const Routing routing = ring.route();
    CHECK(routing.wires[0].allowance.value() == doctest::Approx(2.0 * 0.026));
    CHECK(routing.wires[1].length.value() == doctest::Approx(0.15));
}

TEST_CASE("a device inside a unit is where the unit is") {
    Ring ring;
    const DeviceId unit = ring.car.device("E7", {"58", "31"}, Unit{}, ring.c);
    const DeviceId tail = ring.car.heater("E7/tail", 1.0, 12.0);
    ring.car.at(tail).housing = unit;
    ring.car.at(tail).housing_terminal = {0, 1};
    CHECK(place_of(ring.car.vehicle, {.device = tail, .terminal = 0}) == ring.c);
}

TEST_CASE("a wire to a supplied lead ends where the harness comes out") {
    Ring ring;
    const DeviceId controller = ring.car.device(
        "A1", {"power", "key"},
        Controller{.parts = {{.part = TerminalPart::feed}, {.part = TerminalPart::signal}}},
        ring.c);
    ring.car.vehicle.supplied.push_back(
        {.name = "loom",
         .device = controller,
         .from = ring.b,
         .leads = {{.name = "power-feed", .terminal = 0, .size = {}, .length = Metres(0.9)}}});
    ring.car.routed("A", "A1.power");
    ring.car.routed("A", "A1.key");
    const Routing routing = ring.route();
    CHECK(routing.wires[0].end == ring.b);
    CHECK(routing.wires[0].runs_length.value() == doctest::Approx(1.0));
    CHECK(routing.wires[1].end == ring.c);
}

TEST_CASE("a run without a length is estimated from its ends' places") {
    Ring ring;
    const auto place = [](double x, double y, double z) {
        return std::array<Metres, 3>{Metres(x), Metres(y), Metres(z)};
    };
    ring.car.vehicle.points[ring.a.index()].at = place(0.0, 0.0, 0.0);
    ring.car.vehicle.points[ring.b.index()].at = place(0.2, 0.3, 0.6); // 0.04 + 0.09 + 0.36 = 0.49
    Run& run = ring.car.vehicle.runs[ring.ab.index()];
    run.length = Metres(0.0);
    run.is_estimated = true;
    ring.car.routed("A", "B");
    const Routing routing = ring.route();
    CHECK(routing.run_lengths[ring.ab.index()].value() == doctest::Approx(0.7));
    CHECK(routing.wires[0].runs_length.value() == doctest::Approx(0.7));
    CHECK(routing.wires[0].source == LengthSource::estimated);
}

TEST_CASE("air: the state's, else the hottest zone's, else the table's") {
    Ring ring;
    ring.car.routed("A", "B");
    ring.car.routed("nowhere", "nowhere");
    const Routing routing = ring.route();
    State frost;
    frost.air = Celsius(-20.0);
    CHECK(air_of(ring.car.vehicle, ring.catalogue, routing.wires[0], nullptr).value() == 95.0);
    CHECK(air_of(ring.car.vehicle, ring.catalogue, routing.wires[0], &frost).value() == -20.0);
    CHECK(air_of(ring.car.vehicle, ring.catalogue, routing.wires[1], nullptr).value() ==
          ring.catalogue.default_value("air").value);
}

TEST_CASE("heat, wet, moving parts and looks count against a run, each by its share") {
    Ring ring;
    const WireId wire = ring.car.routed("A", "C");
    RoutePolicy& shares = ring.car.vehicle.policy.route;
    const std::vector<RunId> top{ring.ab, ring.bc};    // 2 m, hot (95 C) and wet
    const std::vector<RunId> bottom{ring.ad, ring.dc}; // 3 m
    const auto way = [&] { return ring.route().wires[wire.index()].runs; };
    CHECK(way() == top);
    // 3.5 steps of 10 K over 60 C: 2 (1 + 3.5 h) > 3 from h = 1/7 on.
    shares.hot->value = 0.142;
    CHECK(way() == top);
    shares.hot->value = 0.144;
    CHECK(way() == bottom);
    shares.hot->value = 0.0;
    shares.wet->value = 0.51;
    CHECK(way() == bottom);
    shares.wet->value = 0.0;
    shares.seen->value = 1.0; // in view, both alike
    CHECK(way() == top);
    for (const RunId run : bottom) {
        ring.car.vehicle.runs[run.index()].hidden = true;
    }
    CHECK(way() == bottom); // 4 m against 3 m
    shares.moving->value = 0.7;
    ring.car.vehicle.runs[ring.dc.index()].moving = true;
    CHECK(way() == top); // 3 + 0.7 x 1.5
    CHECK(ring.route().wires[wire.index()].runs_length.value() == doctest::Approx(2.0));
}

TEST_CASE("what is cut is the length of the way, not its cost") {
    Ring ring;
    ring.car.vehicle.policy.route.seen->value = 3.0;
    const WireId wire = ring.car.routed("A", "C");
    const WireRoute route = ring.route().wires[wire.index()];
    CHECK(route.length.value() == doctest::Approx(2.0 + allowance_m));
}
