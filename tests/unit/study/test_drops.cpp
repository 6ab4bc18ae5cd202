// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/study_bench.hpp"

#include <algorithm>

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

/// Sum of the voltages along a chain, each taken in the direction of its current.
double volts_along(const Study& study, const StateSolution& solution, const std::vector<int>& way) {
    double sum = 0.0;
    for (const int index : way) {
        const Branch& branch = study.network.branches[static_cast<std::size_t>(index)];
        sum += std::abs(solution.node_volts[static_cast<std::size_t>(branch.from)] -
                        solution.node_volts[static_cast<std::size_t>(branch.to)]);
    }
    return sum;
}

const PathDrop& drop_of(const std::vector<PathDrop>& drops, DeviceId load) {
    const auto found = std::ranges::find(drops, load, &PathDrop::load);
    REQUIRE(found != drops.end());
    return *found;
}

} // namespace

TEST_CASE("a load's drop is what the whole way takes, feed and return") {
    Car car;
    const DeviceId battery = car.source("G1", 12.6, 0.01);
    car.fuse("F1", 15.0);
    const DeviceId load = car.heater("E1", 8.0, 12.0);
    car.ground("GND1");
    car.ground("GND2");
    car.wire("G1.+", "F1.in", "2.5", 0.3);
    const WireId feed = car.wire("F1.out", "E1.+", "2.5", 3.0);
    const WireId back = car.wire("E1.-", "GND2", "2.5", 0.6);
    car.wire("G1.-", "GND1", "16", 0.3);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    const std::vector<PathDrop> drops = path_drops(study.input(), solution);
    const PathDrop& drop = drop_of(drops, load);
    CHECK(drop.source == battery);
    CHECK(drop.supply_v == doctest::Approx(study.device(solution, "G1").volts));
    CHECK(drop.load_v == doctest::Approx(study.device(solution, "E1").volts));
    CHECK(drop.drop_v == doctest::Approx(volts_along(study, solution, drop.feed) +
                                         volts_along(study, solution, drop.back))
                             .epsilon(1e-9));
    const auto has = [&](const std::vector<int>& way, WireId wire) {
        return std::ranges::find(way, study.network.wire_branch[wire.index()]) != way.end();
    };
    CHECK(drop.feed.size() == 3);          // wire, fuse, wire
    CHECK(drop.back.size() == 4);          // wire, bond, bond, wire
    CHECK(has({drop.feed.back()}, feed));  // the feed ends at the load
    CHECK(has({drop.back.front()}, back)); // the return starts from it
}

TEST_CASE("of two feeds the one that carries more is followed") {
    Car car;
    car.source("G1", 12.6, 0.01);
    const DeviceId load = car.heater("E1", 8.0, 12.0);
    car.splice("SP1");
    const WireId thick = car.wire("G1.+", "E1.+", "10", 1.0);
    car.wire("G1.+", "SP1", "0.5", 1.0);
    car.wire("SP1", "E1.+", "0.5", 1.0);
    car.wire("E1.-", "G1.-", "10", 1.0);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    const PathDrop drop = drop_of(path_drops(study.input(), solution), load);
    CHECK(drop.feed == std::vector<int>{study.network.wire_branch[thick.index()]});
}

TEST_CASE(
    "with the alternator at work a drop is judged from the battery, the charging lead apart") {
    Car car;
    const DeviceId alternator = car.alternator("G2", 90.0, 40.0, 14.2);
    car.at(alternator).case_body = 1;
    car.at(alternator).case_terminal = 2;
    car.device("W1", {"a", "b"}, Strap{.body_a = 1, .body_b = 0});
    const DeviceId battery = car.source("G1", 12.6, 0.01);
    car.ground("GND1");
    car.splice("ST0");
    const DeviceId load = car.heater("E1", 20.0, 13.5);
    const WireId minus = car.wire("G1.-", "GND1", "16", 0.3);
    const WireId charging = car.wire("G2.B+", "ST0", "16", 1.0);
    const WireId post = car.wire("G1.+", "ST0", "16", 0.3);
    const WireId feed = car.wire("ST0", "E1.+", "4", 2.0);
    const WireId back = car.wire("E1.-", "GND1", "4", 1.0);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(running);
    const std::vector<PathDrop> drops = path_drops(study.input(), solution);
    const auto branch_of = [&](WireId wire) { return study.network.wire_branch[wire.index()]; };

    const PathDrop drop = drop_of(drops, load);
    CHECK(drop.source == battery);
    CHECK(drop.supply_v == doctest::Approx(study.device(solution, "G1").volts));
    CHECK(drop.load_v == doctest::Approx(study.device(solution, "E1").volts));
    CHECK(drop.drop_v == doctest::Approx(drop.supply_v - drop.load_v).epsilon(1e-12));
    CHECK(drop.feed == std::vector<int>{branch_of(post), branch_of(feed)});
    CHECK(drop.back == std::vector<int>{branch_of(back), branch_of(minus)});
    // The battery is being charged, so the stud stands above its post: that part of the way gives.
    const WireState& at_post = solution.wires[post.index()];
    CHECK(at_post.amps < 0.0);

    const PathDrop charge = drop_of(drops, battery);
    CHECK(charge.source == alternator);
    CHECK(charge.supply_v == doctest::Approx(study.device(solution, "G2").volts));
    CHECK(charge.feed == std::vector<int>{branch_of(charging), branch_of(post)});
    const Branch& last = study.network.branches[static_cast<std::size_t>(charge.back.back())];
    CHECK(last.kind == BranchKind::bond); // home through the alternator's case
    CHECK(charge.drop_v == doctest::Approx(volts_along(study, solution, charge.feed) +
                                           volts_along(study, solution, charge.back))
                               .epsilon(1e-9));
}

TEST_CASE("two batteries in a row are one supply") {
    // By hand: 25.2 V behind 2 x 10 mohm, and a heater of 12 ohm (2 A at 24 V).
    Car car;
    const DeviceId upper = car.source("G1", 12.6, 0.01);
    const DeviceId lower = car.source("G2", 12.6, 0.01);
    const DeviceId load = car.heater("E1", 2.0, 24.0);
    car.ground("GND1");
    const WireId feed = car.wire("G1.+", "E1.+", "4", 2.0);
    const WireId link = car.wire("G2.+", "G1.-", "16", 0.3);
    const WireId minus = car.wire("G2.-", "GND1", "16", 0.3);
    const WireId back = car.wire("E1.-", "GND1", "4", 1.0);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve();
    const std::vector<PathDrop> drops = path_drops(study.input(), solution);
    REQUIRE(drops.size() == 1);
    const PathDrop drop = drop_of(drops, load);
    const auto branch_of = [&](WireId wire) { return study.network.wire_branch[wire.index()]; };
    CHECK(drop.source == upper);
    CHECK(drop.home == lower);
    const double link_v = std::abs(solution.wires[link.index()].drop_v);
    CHECK(drop.supply_v + link_v ==
          doctest::Approx(25.2 - 0.02 * solution.devices[load.index()].amps).epsilon(1e-9));
    CHECK(drop.feed == std::vector<int>{branch_of(feed)});
    CHECK(drop.back == std::vector<int>{branch_of(back), branch_of(minus)});
    CHECK(drop.drop_v == doctest::Approx(volts_along(study, solution, drop.feed) +
                                         volts_along(study, solution, drop.back))
                             .epsilon(1e-6));
}

TEST_CASE("with the alternator at work a row of batteries is judged from its two ends") {
    Car car;
    const DeviceId alternator = car.alternator("G3", 90.0, 40.0, 28.2);
    const DeviceId upper = car.source("G1", 12.6, 0.01);
    const DeviceId lower = car.source("G2", 12.6, 0.01);
    const DeviceId load = car.heater("E1", 20.0, 24.0);
    car.splice("ST0");
    const WireId charging = car.wire("G3.B+", "ST0", "16", 3.0);
    const WireId plus = car.wire("G1.+", "ST0", "16", 0.3);
    const WireId link = car.wire("G2.+", "G1.-", "16", 0.3);
    const WireId feed = car.wire("ST0", "E1.+", "4", 2.0);
    const WireId back = car.wire("E1.-", "G2.-", "4", 1.0);
    const WireId home = car.wire("G3.-", "G2.-", "16", 3.0);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(running);
    const std::vector<PathDrop> drops = path_drops(study.input(), solution);
    REQUIRE(drops.size() == 2);
    const auto branch_of = [&](WireId wire) { return study.network.wire_branch[wire.index()]; };
    const PathDrop drop = drop_of(drops, load);
    CHECK(drop.source == upper);
    CHECK(drop.home == lower);
    CHECK(drop.feed == std::vector<int>{branch_of(plus), branch_of(feed)});
    CHECK(drop.back == std::vector<int>{branch_of(back)});

    const PathDrop charge = drop_of(drops, upper);
    CHECK(charge.source == alternator);
    CHECK(charge.home == alternator);
    // Kirchhoff round the loop: what the wires take is what the alternator has over both batteries.
    const double wires_v = std::abs(solution.wires[charging.index()].drop_v) +
                           std::abs(solution.wires[plus.index()].drop_v) +
                           std::abs(solution.wires[link.index()].drop_v) +
                           std::abs(solution.wires[home.index()].drop_v);
    CHECK(charge.drop_v == doctest::Approx(wires_v).epsilon(1e-6));
    CHECK(charge.load_v ==
          doctest::Approx(study.device(solution, "G1").volts + study.device(solution, "G2").volts));
}

TEST_CASE("what is off has no drop") {
    Car car;
    car.source("G1", 12.6, 0.01);
    car.push("S1");
    car.heater("E1", 8.0, 12.0);
    car.wire("G1.+", "S1.1");
    car.wire("S1.2", "E1.+");
    car.wire("E1.-", "G1.-");
    const Study study(car.vehicle);
    CHECK(path_drops(study.input(), study.solve()).empty());
}

TEST_CASE("a diode before the battery does not put the charging lead into a load's drop") {
    // G2 -- V1 -- ST1 -- G1, E1 at ST1, E2 before the diode: only E2 has nothing but the
    // alternator.
    Car car;
    const DeviceId alternator = car.alternator("G2", 90.0, 40.0, 14.4);
    const DeviceId battery = car.source("G1", 12.6, 0.01);
    car.device("V1", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(20.0)});
    car.splice("ST1");
    const DeviceId load = car.heater("E1", 20.0, 13.0);
    const DeviceId before = car.heater("E2", 5.0, 13.0);
    car.wire("G2.B+", "V1.a", "4", 2.0);
    car.wire("V1.k", "ST1", "4", 2.0);
    const WireId post = car.wire("G1.+", "ST1", "16", 0.3);
    const WireId feed = car.wire("ST1", "E1.+", "6", 0.5);
    const WireId back = car.wire("E1.-", "G1.-", "6", 0.5);
    car.wire("G2.-", "G1.-", "16", 1.0);
    const WireId own = car.wire("G2.B+", "E2.+", "4", 1.0);
    car.wire("E2.-", "G2.-", "4", 1.0);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(running);
    const std::vector<PathDrop> drops = path_drops(study.input(), solution);
    const auto branch_of = [&](WireId wire) { return study.network.wire_branch[wire.index()]; };
    REQUIRE(solution.wires[post.index()].amps < 0.0); // the alternator holds the battery up
    const PathDrop& drop = drop_of(drops, load);
    CHECK(drop.source == battery);
    CHECK(drop.home == battery);
    CHECK(drop.feed == std::vector<int>{branch_of(post), branch_of(feed)});
    CHECK(drop.back == std::vector<int>{branch_of(back)});
    CHECK(drop.supply_v == doctest::Approx(study.device(solution, "G1").volts));
    CHECK(drop.drop_v == doctest::Approx(drop.supply_v - drop.load_v).epsilon(1e-12));
    CHECK(drop_of(drops, before).source == alternator);
    CHECK(drop_of(drops, before).feed == std::vector<int>{branch_of(own)});
    CHECK(drop_of(drops, battery).source == alternator); // the lead has its own path
}

TEST_CASE("of two batteries that diodes part each is judged from for the loads on its side") {
    for (const bool is_turned : {false, true}) { // whichever the file names first
        CAPTURE(is_turned);
        Car car;
        car.alternator("G3", 90.0, 40.0, 14.4);
        const char* const first = is_turned ? "G2" : "G1";
        car.source(first, 12.6, 0.01);
        car.source(is_turned ? "G1" : "G2", 12.6, 0.01);
        car.device("V1", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(20.0)});
        car.device("V2", {"a", "k"}, Diode{.drop = Volts(0.7), .at = Amps(20.0)});
        const DeviceId one = car.heater("E1", 10.0, 13.0);
        const DeviceId two = car.heater("E2", 10.0, 13.0);
        car.wire("G3.B+", "V1.a", "4", 4.0);
        car.wire("G3.B+", "V2.a", "4", 4.0);
        car.wire("V1.k", "G1.+", "4", 1.0);
        car.wire("V2.k", "G2.+", "4", 1.0);
        const WireId feed_1 = car.wire("G1.+", "E1.+", "4", 1.0);
        const WireId feed_2 = car.wire("G2.+", "E2.+", "4", 1.0);
        car.wire("E1.-", "G1.-", "4", 1.0);
        const WireId back_2 = car.wire("E2.-", "G2.-", "4", 1.0);
        car.wire("G1.-", "G3.-", "16", 1.0);
        car.wire("G2.-", "G3.-", "16", 1.0);
        const StateId running = car.state("running", EngineCondition::running);
        const Study study(car.vehicle);
        const StateSolution solution = study.solve(running);
        const std::vector<PathDrop> drops = path_drops(study.input(), solution);
        const auto branch_of = [&](WireId wire) { return study.network.wire_branch[wire.index()]; };
        CHECK(drop_of(drops, one).source == study.vehicle.find_device("G1"));
        CHECK(drop_of(drops, one).feed == std::vector<int>{branch_of(feed_1)});
        CHECK(drop_of(drops, two).source == study.vehicle.find_device("G2"));
        CHECK(drop_of(drops, two).feed == std::vector<int>{branch_of(feed_2)});
        CHECK(drop_of(drops, two).back == std::vector<int>{branch_of(back_2)});
    }
}
