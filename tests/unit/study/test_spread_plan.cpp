// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/spread_plan.hpp"

#include "study/spread_tables.hpp"
#include "study/study_bench.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>
#include <string>
#include <vector>

namespace loomwright {
namespace {

using testing::Car;
using testing::Study;

/// One figure of a sample, in all samples.
struct DrawnColumn {
    std::string what;
    std::vector<double> values;
};

/// Pearson's.
double correlation(const std::vector<double>& a, const std::vector<double>& b) {
    const auto count = static_cast<double>(a.size());
    const double mean_a = std::accumulate(a.begin(), a.end(), 0.0) / count;
    const double mean_b = std::accumulate(b.begin(), b.end(), 0.0) / count;
    double ab = 0.0;
    double aa = 0.0;
    double bb = 0.0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        ab += (a[i] - mean_a) * (b[i] - mean_b);
        aa += (a[i] - mean_a) * (a[i] - mean_a);
        bb += (b[i] - mean_b) * (b[i] - mean_b);
    }
    return aa > 0.0 && bb > 0.0 ? ab / std::sqrt(aa * bb) : 0.0;
}

} // namespace

TEST_CASE("everything that is drawn has a number of its own: no two figures go together") {
    Car car;
    car.source("G1", 12.0, 0.1);    // its charge and temperature change nothing
    car.battery("G2", 60.0, 500.0); // its charge is drawn
    std::get<Battery>(car.at(DeviceId(1)).spec).charge = 0.7;
    car.alternator("G3", 60.0, 30.0, 14.2);
    car.fuse("F1", 20.0);
    car.relay("K1", 85.0);
    car.push("S1");
    car.load("E1", LoadLaw::lamp, "lamp", 4.6, 12.0);
    car.load("M1", LoadLaw::constant_current, "motor", 8.0, 13.0);
    car.load("A1", LoadLaw::constant_power, "electronics", 2.0, 12.0);
    car.heater("E2", 5.0, 12.0);
    car.ground("GND1");
    car.wire("G1.+", "F1.in", "6", 1.0);
    car.wire("F1.out", "E2.+", "4", 1.0);
    car.wire("G2.+", "E1.+", "2.5", 1.0);
    const StateId running = car.state("running", EngineCondition::running);
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    const SpreadTable table = testing::spreads();
    const SpreadPlan spread(plan, table, &car.vehicle.state(running));
    StateCircuit circuit(plan, &car.vehicle.state(running));
    const std::vector<BatteryValues> nominal = circuit.batteries;
    constexpr std::uint64_t samples = 400;
    std::vector<DrawnColumn> columns;
    for (std::uint64_t sample = 0; sample < samples; ++sample) {
        Draws draws(7, sample);
        spread.apply(draws, nominal, circuit);
        std::size_t next = 0;
        const auto note = [&](const std::string& what, double value) {
            if (sample == 0) {
                columns.push_back({what, {}});
            }
            columns[next++].values.push_back(value);
        };
        for (std::size_t i = 0; i < circuit.variation.size(); ++i) {
            const BranchVariation& here = circuit.variation[i];
            note(std::to_string(i) + " resistance", std::log(here.resistance));
            note(std::to_string(i) + " demand", here.demand);
            note(std::to_string(i) + " emf", here.emf_v);
        }
        note("G1 open_v", circuit.batteries[0].open_v);
        note("G1 ohm", std::log(circuit.batteries[0].ohm));
        note("G2 open_v", circuit.batteries[1].open_v); // by its volts, charge and warmth
        note("air", circuit.air_shift_k);
    }
    std::size_t moving = 0;
    for (std::size_t a = 0; a < columns.size(); ++a) {
        moving += correlation(columns[a].values, columns[a].values) > 0.0 ? 1 : 0;
        for (std::size_t b = 0; b < a; ++b) {
            CAPTURE(columns[a].what);
            CAPTURE(columns[b].what);
            // of independent figures 0.05 is one deviation in 400 samples
            CHECK(std::abs(correlation(columns[a].values, columns[b].values)) < 0.25);
        }
    }
    // 3 wires, 2 figures of the alternator, F1, K1's contact and coil, S1, E1, M1, A1, E2, GND1,
    // 3 of the batteries, the air
    CHECK(moving == 3 + 2 + 1 + 2 + 1 + 4 + 1 + 3 + 1);
}

TEST_CASE("how full a battery is has nothing to do with the load before it in the file") {
    Car car;
    car.heater("E1", 5.0, 12.0); // drawn last before the battery
    car.battery("G1", 60.0, 500.0);
    std::get<Battery>(car.at(DeviceId(1)).spec).charge = 0.6;
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    const SpreadTable table =
        testing::only({{.name = "heater", .kind = SpreadKind::uniform, .width = 0.1},
                       {.name = "battery-charge", .kind = SpreadKind::uniform, .width = 0.1}});
    const SpreadPlan spread(plan, table, nullptr);
    StateCircuit circuit(plan, nullptr);
    const std::vector<BatteryValues> nominal = circuit.batteries;
    const auto heater = static_cast<std::size_t>(study.network.device_branches[0].front());
    std::vector<double> demand;
    std::vector<double> open_v;
    for (std::uint64_t sample = 0; sample < 400; ++sample) {
        Draws draws(11, sample);
        spread.apply(draws, nominal, circuit);
        demand.push_back(circuit.variation[heater].demand);
        open_v.push_back(circuit.batteries[0].open_v);
    }
    CHECK(correlation(demand, demand) > 0.0);
    CHECK(correlation(open_v, open_v) > 0.0);
    CHECK(std::abs(correlation(demand, open_v)) < 0.25); // five deviations, as above
}

TEST_CASE("a lead of a supplied harness gains with the air of a sample what copper gains") {
    Car car;
    car.source("G1", 12.0, 0.1);
    const ZoneId bay = car.zone("bay", 70.0);
    const DeviceId heater = car.heater("E1", 5.0, 12.0);
    car.vehicle.supplied.push_back({.name = "tail",
                                    .device = heater,
                                    .from = car.point("P1", bay),
                                    .leads = {{.name = "red",
                                               .terminal = 0,
                                               .size = ConductorSize{SizeStandard::iso, "1"},
                                               .length = Metres(0.9)}}});
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    const SpreadTable table =
        testing::only({{.name = "air", .kind = SpreadKind::uniform, .width = 20.0}});
    const SpreadPlan spread(plan, table, nullptr);
    StateCircuit circuit(plan, nullptr);
    const std::vector<BatteryValues> nominal = circuit.batteries;
    const auto lead = static_cast<std::size_t>(study.network.device_branches[heater.index()][0]);
    REQUIRE(study.network.branches[lead].kind == BranchKind::lead);
    bool is_moved = false;
    for (std::uint64_t sample = 0; sample < 20; ++sample) {
        Draws draws(3, sample);
        spread.apply(draws, nominal, circuit);
        const double shift_k = circuit.air_shift_k;
        is_moved = is_moved || std::abs(shift_k) > 5.0;
        // copper: 0.393 % of its resistance at 20 C for each kelvin (IEC 60028)
        CHECK(circuit.variation[lead].resistance ==
              doctest::Approx((1.0 + 0.00393 * (50.0 + shift_k)) / (1.0 + 0.00393 * 50.0))
                  .epsilon(1e-12));
    }
    CHECK(is_moved);
}

TEST_CASE("a fuse whose resistance is the user's own has no holder to vary, nor has a link") {
    Car car;
    car.source("G1", 12.0, 0.1);
    const DeviceId plain = car.fuse("F1", 20.0);
    const DeviceId own = car.fuse("F2", 20.0);
    std::get<Protection>(car.at(own).spec).resistance = Ohms(0.004);
    const DeviceId link = car.fuse("F3", 20.0);
    std::get<Protection>(car.at(link).spec).link = ConductorSize{SizeStandard::iso, "1"};
    const Study study(car.vehicle);
    StudyPlan plan(study.input());
    plan.set_design(study.design);
    const SpreadTable table =
        testing::only({{.name = "fuse-holder", .kind = SpreadKind::uniform, .width = 0.5}});
    const SpreadPlan spread(plan, table, nullptr);
    StateCircuit circuit(plan, nullptr);
    const std::vector<BatteryValues> nominal = circuit.batteries;
    const auto resistance = [&](DeviceId id) {
        const int branch = study.network.device_branches[id.index()].front();
        return circuit.variation[static_cast<std::size_t>(branch)].resistance;
    };
    bool is_moved = false;
    for (std::uint64_t sample = 0; sample < 20; ++sample) {
        Draws draws(5, sample);
        spread.apply(draws, nominal, circuit);
        is_moved = is_moved || std::abs(resistance(plain) - 1.0) > 0.01;
        CHECK(resistance(own) == 1.0);
        CHECK(resistance(link) == 1.0);
    }
    CHECK(is_moved);
}

} // namespace loomwright
