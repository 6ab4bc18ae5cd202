// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// passage-fill, bend-radius, support-spacing: the bundles of runs (docs/method/bundles.md) against
// the holes they pass, the bends they are laid in and the supports that hold them.
//
//   passage   outside diameter of each run that ends at it <= opening; share of its area <= the
//   default bend      radius on the car >= least bend of the run clips     spacing written <= the
//   default, of runs with wires
#include "base/display.hpp"
#include "checks/checks.hpp"
#include "checks/wording.hpp"
#include "loom/packing_shelf.hpp"
#include "network/wire_bodies.hpp"
#include "study/shelves.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

namespace loomwright {
namespace {

/// The run that fills a passage most.
struct Fullest {
    RunId run;
    Metres outside;
    PassageFit fit;
};

void check_passage(const CheckInput& input, const Fullest& fullest, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const DefaultValue& most = input.study.catalogue.default_value("passage-fill");
    const Point& point = vehicle.point(fullest.fit.point);
    if (fullest.fit.share <= most.value) {
        return;
    }
    const Run& run = vehicle.run(fullest.run);
    const std::string with_cover = run.cover.empty() ? "" : " with its cover";
    Finding& finding =
        fullest.fit.fits()
            ? findings.add(Rule::passage_fill, point.name, point.where,
                           fmt::format("run {} is {} thick{} and fills {} of the opening of {}",
                                       run.name, millimetres(fullest.outside), with_cover,
                                       show_percent(fullest.fit.share),
                                       millimetres(fullest.fit.opening)),
                           "make the hole larger, or lead some of the wires another way")
            : findings.add(
                  Rule::passage_fill, point.name, point.where,
                  fmt::format("run {} is {} thick{} and does not go through the opening of {}",
                              run.name, millimetres(fullest.outside), with_cover,
                              millimetres(fullest.fit.opening)),
                  "make the hole larger, or lead some of the wires another way");
    if (fullest.fit.fits()) {
        finding.severity = Severity::caution;
        finding.figures = {seen("filled", fullest.fit.share, ""), limit_of("most", most.value, ""),
                           given("outside diameter", fullest.outside.value(), "m"),
                           given("opening", fullest.fit.opening.value(), "m")};
        finding.source = source_of(most);
    } else {
        finding.figures = {seen("outside diameter", fullest.outside.value(), "m"),
                           limit_of("opening", fullest.fit.opening.value(), "m")};
        finding.source = "circle packing, docs/method/bundles.md";
    }
    finding.related.push_back({run.where, "the run"});
}

void check_bend(const CheckInput& input, const RunBundle& bundle, Findings& findings) {
    const Run& run = input.study.vehicle.run(bundle.run);
    if (run.bend->value >= bundle.least_bend) {
        return;
    }
    const std::string_view name = bundle.bend_by_wire ? "bend-wire"
                                  : run.moving        ? "bend-bundle-moving"
                                                      : "bend-bundle";
    const DefaultValue& row = input.study.catalogue.default_value(name);
    const Metres round = bundle.bend_by_wire ? bundle.largest_wire : bundle.outside;
    Finding& finding =
        findings.add(Rule::bend_radius, run.name, run.bend->where,
                     fmt::format("bent to a radius of {}; {} x the {} of {} is {}",
                                 millimetres(run.bend->value), show_number(row.value),
                                 bundle.bend_by_wire ? "largest wire" : "outside diameter",
                                 millimetres(round), millimetres(bundle.least_bend)),
                     "lay it in a wider bend, or lead its thickest wires another way");
    finding.figures = {seen("radius", run.bend->value.value(), "m"),
                       least_of("least radius", bundle.least_bend.value(), "m"),
                       given("diameter", round.value(), "m")};
    finding.source = source_of(row);
}

void check_clips(const CheckInput& input, const Run& run, Findings& findings) {
    const DefaultValue& most = input.study.catalogue.default_value("clip-spacing");
    if (run.clips->value.value() <= most.value) {
        return;
    }
    Finding& finding =
        findings.add(Rule::support_spacing, run.name, run.clips->where,
                     fmt::format("held every {}; at most every {} is asked for",
                                 millimetres(run.clips->value), millimetres(Metres(most.value))),
                     "hold it more often");
    finding.figures = {seen("spacing", run.clips->value.value(), "m"),
                       limit_of("most", most.value, "m")};
    finding.source = source_of(most);
}

bool has_passage(const Vehicle& vehicle, const Run& run) {
    return vehicle.point(run.from).opening || vehicle.point(run.to).opening;
}

} // namespace

void check_bundles(const CheckInput& input, Findings& findings) {
    const Vehicle& vehicle = input.study.vehicle;
    const WireBodies bodies = wire_bodies(input.study.catalogue, input.sizing.design);
    BundleMaker maker(vehicle, input.study.catalogue, input.study.routing, bodies,
                      shelf_of<PackingShelf>(input.study));
    std::vector<std::optional<Fullest>> passages(vehicle.points.size());
    Findings of_runs;
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        const bool is_measured = run.bend.has_value() || has_passage(vehicle, run);
        if (input.study.routing.run_wires[i].empty() || (!is_measured && !run.clips)) {
            continue;
        }
        if (run.clips) {
            check_clips(input, run, of_runs);
        }
        if (!is_measured) {
            continue;
        }
        const RunBundle bundle = maker.make(RunId(i));
        if (run.bend) {
            check_bend(input, bundle, of_runs);
        }
        for (const PassageFit& fit : passage_fits(vehicle, bundle)) {
            std::optional<Fullest>& fullest = passages[fit.point.index()];
            if (!fullest || fit.share > fullest->fit.share) {
                fullest = {RunId(i), bundle.outside, fit};
            }
        }
    }
    for (const std::optional<Fullest>& fullest : passages) {
        if (fullest) {
            check_passage(input, *fullest, findings);
        }
    }
    findings.append(of_runs);
}

} // namespace loomwright
