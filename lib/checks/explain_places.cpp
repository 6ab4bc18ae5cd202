// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proofs of runs and points of the body (docs/method/routes.md, bundles.md).
//
//   D >= sqrt(sum d^2)         no circle is smaller in area than those laid in it
//   share = (D / opening)^2    of a hole that a run goes through
//
//   D, d outside diameters of the bundle and of its wires
#include "base/display.hpp"
#include "checks/gathered.hpp"
#include "checks/method_pages.hpp"
#include "checks/proof_figures.hpp"
#include "checks/proofs.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

std::string mm(Metres length) {
    return figure(length.value() * 1e3);
}

ProofSection prove_run_length(const CheckInput& input, RunId id) {
    const Vehicle& vehicle = input.study.vehicle;
    const Run& run = vehicle.run(id);
    const Point& from = vehicle.point(run.from);
    const Point& to = vehicle.point(run.to);
    const std::string length = exact_length(input.study.routing.run_lengths[id.index()]);
    ProofSection out{fmt::format("Length from {} to {}", from.name, to.name), {}};
    if (run.is_estimated && from.at && to.at) {
        std::string sum;
        for (std::size_t k = 0; k < 3; ++k) {
            sum += fmt::format("{}({} - {})^2", sum.empty() ? "" : " + ",
                               figure(from.at->at(k).value()), figure(to.at->at(k).value()));
        }
        out.steps.push_back({"L = sqrt(dx^2 + dy^2 + dz^2), the straight line between its ends",
                             "sqrt(" + sum + ")", length, "the vehicle file, points"});
    } else {
        out.steps.push_back({"L of the run", "", length, "the vehicle file, runs"});
    }
    const ZoneId zone = input.study.routing.run_zones[id.index()];
    if (zone.is_valid()) {
        out.steps.push_back({"air of zone " + vehicle.zone(zone).name, "",
                             show(vehicle.zone(zone).air), "the vehicle file, zones"});
    }
    return out;
}

ProofSection list_run_wires(Gathered& gathered, RunId id) {
    const CheckInput& input = gathered.input;
    ProofSection out{"Wires in it", {}};
    for (const WireId wire : input.study.routing.run_wires[id.index()]) {
        const std::string& number = input.study.vehicle.wire(wire).number;
        const WireSizing& sized = input.sizing.wires[wire.index()];
        const Conductor* conductor = input.sizing.design.wires[wire.index()].conductor;
        out.steps.push_back(
            {fmt::format("d of {}, {}", number,
                         conductor != nullptr ? show(conductor->size) : std::string("no size")),
             fmt::format("carries {} or less", show(Amps(sized.worst_amps))),
             figure(gathered.bodies().outside_m[wire.index()] * 1e3) + " mm",
             fmt::format("tables conductors and insulation; `explain {}`", number)});
    }
    if (out.steps.empty()) {
        out.steps.push_back({"wires in it", "", "none", "docs/method/routes.md"});
    }
    return out;
}

ProofSection prove_loading(const CheckInput& input, RunId id) {
    const RunLoading& load = input.sizing.runs[id.index()];
    ProofSection out{"Heat", {}};
    if (load.wires > 1) {
        out.steps.push_back({"F(N, L)",
                             fmt::format("N = {}, L = {}", load.wires, show_percent(load.loading)),
                             figure(load.factor),
                             fmt::format("its fullest state is {}; tables bundle-factors{}",
                                         state_name(input.study.vehicle, load.state),
                                         load.outside_table ? ", its last row" : "")});
    }
    return out;
}

void add_hole(ProofSection& out, const CheckInput& input, const RunBundle& bundle,
              const PassageFit& fit) {
    const Vehicle& vehicle = input.study.vehicle;
    const DefaultValue& most = input.study.catalogue.default_value("passage-fill");
    out.steps.push_back({fmt::format("share of the hole at {} that {} fills = (D / opening)^2",
                                     vehicle.point(fit.point).name, vehicle.run(bundle.run).name),
                         fmt::format("({} / {})^2", mm(bundle.outside), mm(fit.opening)),
                         show_percent(fit.share),
                         "the vehicle file, points; " + std::string(bundles_page)});
    out.steps.push_back({"share <= most",
                         fmt::format("{} <= {}", figure(fit.share), figure(most.value)),
                         within(fit.share, most.value), "tables defaults, passage-fill"});
}

void add_bend(ProofSection& out, const CheckInput& input, const RunBundle& bundle) {
    const Run& run = input.study.vehicle.run(bundle.run);
    const auto& catalogue = input.study.catalogue;
    const std::string_view row = run.moving ? "bend-bundle-moving" : "bend-bundle";
    out.steps.push_back(
        {"least radius inside a bend = max(k_wire d, k_bundle D)",
         fmt::format("max({} x {}, {} x {})", figure(catalogue.default_value("bend-wire").value),
                     mm(bundle.largest_wire), figure(catalogue.default_value(row).value),
                     mm(bundle.outside)),
         mm(bundle.least_bend) + " mm", fmt::format("tables defaults: bend-wire, {}", row)});
    if (run.bend) {
        out.steps.push_back({"least radius <= radius on the car",
                             fmt::format("{} <= {}", mm(bundle.least_bend), mm(run.bend->value)),
                             within(bundle.least_bend.value(), run.bend->value.value()),
                             "the vehicle file, runs"});
    }
}

ProofSection prove_bundle(Gathered& gathered, RunId id) {
    const CheckInput& input = gathered.input;
    ProofSection out{"Bundle", {}};
    const RunBundle bundle = gathered.bundle(id);
    if (bundle.section.wires.empty()) {
        return out;
    }
    std::string squares;
    double area = 0.0;
    for (const WireId wire : input.study.routing.run_wires[id.index()]) {
        const double d = gathered.bodies().outside_m[wire.index()] * 1e3;
        squares += fmt::format("{}{}^2", squares.empty() ? "" : " + ", figure(d));
        area += d * d;
    }
    out.steps.push_back({"sqrt(sum of d^2): no bundle of these wires is thinner",
                         "sqrt(" + squares + ")", figure(std::sqrt(area)) + " mm",
                         std::string(bundles_page)});
    out.steps.push_back({"D of its wires, packed as circles", "", mm(bundle.bare) + " mm",
                         "circle packing, " + std::string(bundles_page)});
    const std::string& cover = input.study.vehicle.run(id).cover;
    if (!cover.empty()) {
        out.steps.push_back({fmt::format("D with its cover, {}", cover), "",
                             mm(bundle.outside) + " mm",
                             bundle.cover_not_found ? "no size of table cover-sizes takes it"
                                                    : "tables cover-sizes"});
    }
    add_bend(out, input, bundle);
    for (const PassageFit& fit : passage_fits(input.study.vehicle, bundle)) {
        add_hole(out, input, bundle, fit);
    }
    out.steps.push_back(
        {"mass of the wires = mass of a metre x L",
         fmt::format("{} x {}", figure(bundle.kg_per_m), figure(bundle.length.value())),
         figure(bundle.kg_per_m * bundle.length.value()) + " kg",
         "tables conductors and insulation"});
    out.steps.push_back({"from one support to the next = L / supports",
                         fmt::format("{} / {}", figure(bundle.length.value()), bundle.clips),
                         exact_length(bundle.clip_spacing), std::string(bundles_page)});
    return out;
}

} // namespace

std::vector<ProofSection> explain_run(Gathered& gathered, RunId id) {
    std::vector<ProofSection> out{prove_run_length(gathered.input, id),
                                  list_run_wires(gathered, id), prove_bundle(gathered, id),
                                  prove_loading(gathered.input, id)};
    std::erase_if(out, [](const ProofSection& section) { return section.steps.empty(); });
    return out;
}

std::vector<ProofSection> explain_point(Gathered& gathered, PointId id) {
    const CheckInput& input = gathered.input;
    const Vehicle& vehicle = input.study.vehicle;
    const Point& point = vehicle.point(id);
    ProofSection place{"Place", {}};
    if (point.zone.is_valid()) {
        place.steps.push_back({"air of zone " + vehicle.zone(point.zone).name, "",
                               show(vehicle.zone(point.zone).air), "the vehicle file, zones"});
    }
    for (const Device& device : vehicle.devices) {
        if (device.at == id && !device.housing.is_valid()) {
            place.steps.push_back({"a device there", device.title, device.name,
                                   fmt::format("the vehicle file; `explain {}`", device.name)});
        }
    }
    ProofSection runs{"Runs that meet there", {}};
    ProofSection holes{"Hole", {}};
    for (std::size_t r = 0; r < vehicle.runs.size(); ++r) {
        const Run& run = vehicle.runs[r];
        if (run.from != id && run.to != id) {
            continue;
        }
        const std::size_t wires = input.study.routing.run_wires[r].size();
        runs.steps.push_back({fmt::format("{} to {}", run.name,
                                          vehicle.point(run.from == id ? run.to : run.from).name),
                              fmt::format("{} wire{} in it", wires, wires == 1 ? "" : "s"),
                              exact_length(input.study.routing.run_lengths[r]),
                              fmt::format("the vehicle file, runs; `explain {}`", run.name)});
        if (point.opening) {
            const RunBundle bundle = gathered.bundle(RunId(r));
            for (const PassageFit& fit : passage_fits(vehicle, bundle)) {
                if (fit.point == id) {
                    add_hole(holes, input, bundle, fit);
                }
            }
        }
    }
    std::vector<ProofSection> out{std::move(place), std::move(runs), std::move(holes)};
    std::erase_if(out, [](const ProofSection& section) { return section.steps.empty(); });
    if (out.empty()) {
        out.push_back({"Place", {{"what is there", "", "nothing", "the vehicle file"}}});
    }
    return out;
}

} // namespace loomwright
