// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/calc_bench.hpp"

#include "sizing/ampacity.hpp"
#include "sizing/choose_fuses.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

const StateId the_state(0);
const RunId the_run(0);

} // namespace

Ampacity ampacity_alone(const Catalogue& catalogue, const Conductor& conductor,
                        const Insulation& insulation, double air_c) {
    Ampacity out;
    out.air_c = air_c;
    out.limit_c = insulation.limit.value();
    out.free_air_a =
        solve::free_air_ampacity_a(wire_body(catalogue, conductor, insulation), out.limit_c, air_c);
    out.handbook_a = out.free_air_a;
    out.amps = out.free_air_a;
    out.bundle_source = "alone in still air";
    return out;
}

CalcBench::CalcBench(const Catalogue& catalogue) : catalogue_(catalogue) {
    const Celsius air(catalogue.default_value("air").value);
    vehicle_.zones = {{.name = "wires", .air = air}, {.name = "fuses", .air = air}};
    vehicle_.points = {{.name = "fuses", .zone = ZoneId(1)}};
    Run run;
    run.name = "the bundle";
    run.zone = ZoneId(0);
    vehicle_.runs = {run};
    State state;
    state.name = "the case asked";
    state.engine = EngineCondition::running;
    vehicle_.states = {state};
    routing_.run_wires.resize(1);
    routing_.run_lengths = {Metres(1.0)};
    routing_.run_zones = {ZoneId(0)};
    StateSolution solution;
    solution.state = the_state;
    solution.converged = true;
    sizing_.states = {solution};
    sizing_.full_index = {-1};
    sizing_.runs.resize(1);
}

WireId CalcBench::add_wire(const Conductor& conductor, const Insulation& insulation, double metres,
                           double amps) {
    const WireId id(vehicle_.wires.size());
    Wire wire;
    wire.number = vehicle_.wires.empty() ? "the wire" : fmt::format("wire {}", id.index() + 1);
    wire.size = {conductor.size, {}};
    wire.insulation.value = insulation.name;
    vehicle_.wires.push_back(std::move(wire));
    WireRoute route;
    route.runs = {the_run};
    route.hottest = ZoneId(0);
    route.length = Metres(metres);
    routing_.wires.push_back(route);
    routing_.run_wires[0].push_back(id);
    network_.wire_branch.push_back(-1);
    sizing_.design.wires.push_back({&conductor, &insulation, Metres(metres)});
    sizing_.wires.push_back({.wire = id, .worst_amps = amps, .worst_state = the_state});
    sizing_.feeds.emplace_back();
    WireState carried;
    carried.amps = amps;
    carried.air_c = vehicle_.zones[0].air.value();
    sizing_.states[0].wires.push_back(carried);
    return id;
}

DeviceId CalcBench::add_fuse(const FuseFamily& family, std::optional<double> rating_a,
                             double load_a, const std::optional<Inrush>& inrush) {
    const DeviceId id(vehicle_.devices.size());
    Device fuse;
    fuse.name = "the fuse";
    fuse.word = "fuse";
    fuse.at = PointId(0);
    Protection protection;
    protection.kind = family.kind;
    protection.family = family.name;
    Device load;
    load.name = "the load";
    load.word = "load";
    load.spec = Load{.inrush = inrush};
    sizing_.design.ratings = {std::nullopt, std::nullopt};
    if (rating_a) {
        protection.rating = Amps(*rating_a);
        sizing_.design.ratings[0] = Amps(*rating_a);
    }
    fuse.spec = protection;
    vehicle_.devices = {fuse, load};
    network_.branches = {Branch{.kind = BranchKind::protection, .device = id}};
    sizing_.states[0].devices.resize(2);
    for (DeviceState& state : sizing_.states[0].devices) {
        state.amps = load_a;
    }
    LoadDrop drop;
    drop.load = DeviceId(1);
    drop.state = the_state;
    drop.amps = load_a;
    drop.feed = {{.branch = 0}};
    sizing_.drops = {drop};
    return id;
}

void CalcBench::judge_alone() {
    for (std::size_t i = 0; i < sizing_.wires.size(); ++i) {
        const WireDesign& made = sizing_.design.wires[i];
        sizing_.wires[i].ampacity = ampacity_alone(catalogue_, *made.conductor, *made.insulation,
                                                   vehicle_.zones[0].air.value());
    }
}

void CalcBench::give_ampacity(double amps) {
    Ampacity& ampacity = sizing_.wires.front().ampacity;
    ampacity.amps = amps;
    ampacity.bundle_source = "given";
}

void CalcBench::judge_bundle() {
    const StudyInput input = study();
    sizing_.runs = run_loadings(input, sizing_.design, {sizing_.states.data()});
    for (std::size_t i = 0; i < sizing_.wires.size(); ++i) {
        sizing_.wires[i].ampacity =
            ampacity_in_place(input, sizing_.design, WireId(i), sizing_.runs);
    }
}

void CalcBench::judge_fuse() {
    choose_fuses(study(), std::vector<double>(vehicle_.devices.size(), 0.0), sizing_);
    FuseSizing& fuse = sizing_.fuses.front();
    for (std::size_t i = 0; i < sizing_.wires.size(); ++i) {
        fuse.protects.emplace_back(i);
        sizing_.feeds[i] = {.is_fed = true, .devices = {fuse.device}, .rating_a = fuse.rating_a};
    }
    if (!sizing_.wires.empty()) {
        const auto least = std::ranges::min_element(
            sizing_.wires, {}, [](const WireSizing& wire) { return wire.ampacity.amps; });
        fuse.thinnest = least->wire;
    }
}

} // namespace loomwright
