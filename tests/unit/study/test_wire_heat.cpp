// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Settled temperatures of wires that lie together, under covers, and while the engine is cranked.
#include "solve/bundle_heat.hpp"
#include "solve/warming.hpp"
#include "study/bundles.hpp"
#include "study/study_bench.hpp"

using namespace loomwright;
using loomwright::testing::Car;
using loomwright::testing::Study;

namespace {

constexpr std::size_t feeds = 5;

/// A battery, and heaters behind one run: wires 0 and 1 ground the battery and the heaters' end,
/// the next are their feeds through the run.
struct Loom {
    Car car;
    RunId run;

    explicit Loom(std::string cover, std::array<double, feeds> amps = {0.0, 4.0, 14.0, 9.0, 20.0}) {
        const ZoneId zone = car.zone("bay", 60.0);
        const PointId front = car.point("front", zone);
        const PointId back = car.point("back", zone);
        run = car.run("loom", front, back, 1.0);
        car.vehicle.runs.back().cover = std::move(cover);
        car.at(car.source("G1", 12.0, 0.002)).at = front;
        car.at(car.ground("GND1")).at = front;
        car.at(car.ground("GND2")).at = back;
        car.wire("G1.-", "GND1", "70", 0.3);
        for (std::size_t i = 0; i < feeds; ++i) {
            const std::string name = "E" + std::to_string(i + 1);
            car.at(car.heater(name, std::max(amps[i], 1e-9), 12.0)).at = back;
            car.at(car.routed("G1.+", name + ".+")).size =
                Given<ConductorSize>{{SizeStandard::iso, i < 3 ? "1.5" : "2.5"}, {}};
            car.wire(name + ".-", "GND2", "70", 0.1);
        }
    }
    [[nodiscard]] static std::size_t feed(std::size_t i) { return 1 + 2 * i; }
};

/// The balance of the run's bundle at the currents of a solution, temperatures by feed.
std::vector<double> balanced(const Study& study, RunId run, const StateSolution& solution) {
    const BundleBody bundle = bundle_body(study.input(), study.design, run);
    std::vector<solve::BundledWire> wires;
    std::vector<double> amps;
    for (std::size_t i = 0; i < feeds; ++i) {
        const WireDesign& made = study.design.wires[Loom::feed(i)];
        wires.push_back(
            solve::wire_in_bundle(heat_body(study.catalogue, *made.conductor, *made.insulation),
                                  bundle.skin.diameter_m(), bundle.conductivity_w_per_m_k));
        amps.push_back(solution.wires[Loom::feed(i)].amps);
    }
    const auto heat = solve::bundle_heat(bundle.skin, wires, amps, 60.0);
    std::vector<double> out;
    for (std::size_t i = 0; i < feeds; ++i) {
        out.push_back(solve::bundled_wire_c(heat, wires[i], amps[i]));
    }
    return out;
}

double alone_c(const Study& study, const StateSolution& solution, std::size_t wire) {
    const WireDesign& made = study.design.wires[wire];
    return solve::conductor_temperature_c(
        heat_body(study.catalogue, *made.conductor, *made.insulation), solution.wires[wire].amps,
        solution.wires[wire].air_c);
}

} // namespace

TEST_CASE("wires of one run heat one another: each satisfies the bundle's balance, to 0.01 K") {
    for (const char* cover : {"", "tape", "braid", "conduit", "sleeve", "heat-sleeve"}) {
        const Loom loom(cover);
        const Study study(loom.car.vehicle);
        REQUIRE(study.routing.run_wires[loom.run.index()].size() == feeds);
        const StateSolution solution = study.solve();
        const std::vector<double> expected = balanced(study, loom.run, solution);
        for (std::size_t i = 0; i < feeds; ++i) {
            const WireState& wire = solution.wires[Loom::feed(i)];
            const double alone = alone_c(study, solution, Loom::feed(i));
            CAPTURE(cover);
            CAPTURE(i);
            CHECK(std::abs(wire.conductor_c - std::max(alone, expected[i])) < 0.02);
            CHECK(wire.conductor_c >= alone - 0.02);
            CHECK(wire.ohm == doctest::Approx(study.design.wires[Loom::feed(i)].r20_ohm() *
                                              (1.0 + 0.00393 * (wire.conductor_c - 20.0))));
        }
        // The first carries nothing and is warmed by the others.
        CHECK(solution.wires[Loom::feed(0)].conductor_c > 75.0);
        CHECK(solution.runaways.empty());
    }
}

TEST_CASE("a battery cable is warmed by its hundreds of amperes as a thin wire is by its few") {
    // In still air both are as their own heat balance has them, which is held against the handbook
    // elsewhere: in frost 400 A in 120 mm2 (0.15 mohm/m) make some 24 W on each metre.
    Car car;
    car.source("G1", 13.0, 0.0005);
    car.ground("GND1");
    car.load("M1", LoadLaw::constant_current, "motor", 400.0, 12.0);
    car.load("M2", LoadLaw::constant_current, "motor", 10.0, 12.0);
    const WireId cable = car.wire("G1.+", "M1.+", "120", 0.5);
    car.wire("M1.-", "GND1", "95", 0.5);
    const WireId thin = car.wire("G1.+", "M2.+", "1", 0.5);
    car.wire("M2.-", "GND1", "1", 0.5);
    car.wire("G1.-", "GND1", "95", 0.5);
    const StateId frost = car.state("frost");
    car.vehicle.states[frost.index()].air = Celsius(-20.0);
    const Study study(car.vehicle);
    const StateSolution solution = study.solve(frost);
    for (const WireId wire : {cable, thin}) {
        CAPTURE(wire.index());
        const WireState& state = solution.wires[wire.index()];
        CHECK(state.conductor_c > state.air_c + 10.0);
        CHECK(std::abs(state.conductor_c - alone_c(study, solution, wire.index())) < 0.02);
    }
}

TEST_CASE("a wire alone in a covered run is hotter than in still air") {
    const auto temperature = [](const std::string& cover) {
        Car car;
        const ZoneId zone = car.zone("bay", 60.0);
        const PointId front = car.point("front", zone);
        const PointId back = car.point("back", zone);
        car.run("loom", front, back, 1.0);
        car.vehicle.runs.back().cover = cover;
        car.at(car.source("G1", 12.0, 0.002)).at = front;
        car.at(car.heater("E1", 20.0, 12.0)).at = back;
        car.at(car.ground("GND1")).at = front;
        car.at(car.ground("GND2")).at = back;
        car.routed("G1.+", "E1.+");
        car.wire("E1.-", "GND2", "70", 0.1);
        car.wire("G1.-", "GND1", "70", 0.1);
        const Study study(car.vehicle);
        return study.solve().wires[0].conductor_c;
    };
    const double bare = temperature("");
    CHECK(temperature("tape") >= bare - 0.02);
    CHECK(temperature("conduit") > bare + 5.0);
    CHECK(temperature("heat-sleeve") > temperature("conduit"));
}

TEST_CASE("a bundle whose heat cannot leave names the wires that bring it there") {
    const Loom loom("heat-sleeve", {0.0, 0.1, 0.0, 30.0, 160.0});
    const Study study(loom.car.vehicle);
    const StateSolution solution = study.solve();
    REQUIRE(solution.runaways.size() == 1);
    CHECK(solution.runaways[0] == WireId(Loom::feed(4)));
    CHECK(solution.wires[Loom::feed(0)].conductor_c == 1000.0);
}

TEST_CASE("while cranking a wire is as hot as the cranking time makes it") {
    Car car;
    car.source("G1", 12.0, 0.005);
    car.heater("E1", 200.0, 12.0);
    car.wire("G1.+", "E1.+", "25", 1.0);
    car.wire("E1.-", "G1.-", "50", 1.0);
    const StateId lasting = car.state("lasting");
    const StateId cranking = car.state("cranking", EngineCondition::cranking);
    const StateId brief = car.state("brief", EngineCondition::cranking);
    car.vehicle.states[brief.index()].lasts = Seconds(3.0);
    const StateId endless = car.state("endless", EngineCondition::cranking);
    car.vehicle.states[endless.index()].lasts = Seconds(1e6);
    const Study study(car.vehicle);
    const WireDesign& made = study.design.wires[0];
    const solve::WireBody body = heat_body(study.catalogue, *made.conductor, *made.insulation);
    const double held = solve::copper_j_per_m_k(made.conductor->copper_area.value());
    const auto hot = [&](StateId state) { return study.solve(state).wires[0].conductor_c; };
    const WireState now = study.solve(cranking).wires[0];
    const solve::Warming warming(body, solve::Skin(body.outside_diameter_m, 0.9), held, now.air_c);
    // Rows of the tables: crank-time 30 s.
    CHECK(std::abs(now.conductor_c - warming.temperature_after_c(now.amps, now.air_c, 30.0)) <
          0.02);
    // By hand, no heat leaving: dT = I^2 rho t / (S^2 3.45e6) with rho at 57 C; some heat leaves.
    const double area = made.conductor->copper_area.value();
    const double adiabatic =
        now.amps * now.amps * 17.241e-9 * (1.0 + 0.00393 * 37.0) * 30.0 / (area * area * 3.45e6);
    CHECK(now.conductor_c - now.air_c == doctest::Approx(adiabatic).epsilon(0.12));
    CHECK(hot(brief) < now.conductor_c - 5.0);
    CHECK(hot(lasting) > now.conductor_c + 20.0);
    CHECK(hot(endless) == doctest::Approx(hot(lasting)).epsilon(0.003));
}

TEST_CASE("while cranking the neighbours' heat is shared out among the copper of the bundle") {
    const Loom base("conduit");
    Car car = base.car;
    const StateId cranking = car.state("cranking", EngineCondition::cranking);
    car.vehicle.states[cranking.index()].lasts = Seconds(4.0);
    const StateId lasting = car.state("lasting");
    const Study study(car.vehicle);
    const StateSolution now = study.solve(cranking);
    const StateSolution rest = study.solve(lasting);
    double stored = 0.0;
    double copper = 0.0;
    for (std::size_t i = 0; i < feeds; ++i) {
        const WireDesign& made = study.design.wires[Loom::feed(i)];
        const double held = solve::copper_j_per_m_k(made.conductor->copper_area.value());
        const double reached = solve::adiabatic_temperature_c(
            made.conductor->r20_ohm_per_m, held, now.wires[Loom::feed(i)].amps, 60.0, 4.0);
        stored += i == 0 ? 0.0 : held * (reached - 60.0);
        copper += held;
        // Never above what it would come to, nor above all heat kept.
        CHECK(now.wires[Loom::feed(i)].conductor_c <= rest.wires[Loom::feed(i)].conductor_c + 0.02);
    }
    // The first carries nothing.
    CHECK(now.wires[Loom::feed(0)].conductor_c ==
          doctest::Approx(60.0 + stored / copper).epsilon(1e-4));
}

TEST_CASE("runs that share no wire do not heat one another") {
    // Two batteries on 0.1 mohm, each with its own run of feeds: each run is as warm as alone.
    const auto loom = [](bool with_first, bool with_second) {
        Car car;
        const ZoneId zone = car.zone("bay", 40.0);
        for (const int side : {1, 2}) {
            if (!(side == 1 ? with_first : with_second)) {
                continue;
            }
            const std::string number = std::to_string(side);
            const PointId front = car.point("front" + number, zone);
            const PointId back = car.point("back" + number, zone);
            car.run("loom" + number, front, back, 1.0);
            car.vehicle.runs.back().cover = "tape";
            car.at(car.source("G" + number, 12.0, 1e-4)).at = front;
            const std::vector<double> amps =
                side == 1 ? std::vector{25.0, 3.0} : std::vector{9.0, 14.0, 2.0};
            for (std::size_t i = 0; i < amps.size(); ++i) {
                const std::string name = "E" + number + std::to_string(i);
                car.at(car.heater(name, amps[i], 12.0)).at = back;
                car.routed("G" + number + ".+", name + ".+");
                car.wire(name + ".-", "G" + number + ".-", "70", 0.1);
            }
        }
        return car;
    };
    const auto temperatures = [](const Car& car) {
        const Study study(car.vehicle);
        std::vector<double> out;
        for (const WireState& wire : study.solve().wires) {
            out.push_back(wire.conductor_c);
        }
        return out;
    };
    const std::vector<double> first = temperatures(loom(true, false));
    const std::vector<double> second = temperatures(loom(false, true));
    const std::vector<double> both = temperatures(loom(true, true));
    REQUIRE(both.size() == first.size() + second.size());
    for (std::size_t i = 0; i < both.size(); ++i) {
        CAPTURE(i);
        const double alone = i < first.size() ? first[i] : second[i - first.size()];
        CHECK(std::abs(both[i] - alone) < 0.02); // each is settled to 0.01 K
    }
    CHECK(first[0] > 60.0); // 25 A in 2.5 mm2
    CHECK(first[0] > first[2] + 1.0);
}
