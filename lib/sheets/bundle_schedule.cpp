// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/bundle_schedule.hpp"

#include "base/display.hpp"
#include "loom/packing_shelf.hpp"
#include "network/wire_bodies.hpp"
#include "study/shelves.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

namespace loomwright {
namespace {

constexpr std::string_view how_thick =
    "Diameters are those of the tightest packing that was found of the wires' largest outside "
    "diameters; wound by hand a loom is thicker. Masses are of the wires, without covers. Sizes of "
    "covers: loomwright tables cover-sizes.";

std::string cover_text(const RunBundle& bundle) {
    if (bundle.cover != nullptr) {
        return bundle.cover->name;
    }
    return bundle.cover_not_found ? "no size takes it" : "";
}

std::vector<Cell> row_of(const Vehicle& vehicle, const RunBundle& bundle) {
    const Run& run = vehicle.run(bundle.run);
    std::vector<Cell> row = {run.name,
                             vehicle.point(run.from).name,
                             vehicle.point(run.to).name,
                             static_cast<double>(bundle.section.wires.size()),
                             bundle.bare.value(),
                             run.cover,
                             cover_text(bundle),
                             bundle.outside.value(),
                             bundle.least_bend.value(),
                             std::string(bundle.bend_by_wire ? "largest wire" : "whole bundle"),
                             bundle.kg_per_m,
                             bundle.kg_per_m * bundle.length.value(),
                             bundle.length.value(),
                             static_cast<double>(bundle.clips),
                             bundle.clip_spacing.value(),
                             static_cast<double>(bundle.ties)};
    const std::vector<PassageFit> fits = passage_fits(vehicle, bundle);
    const auto fullest = std::ranges::max_element(fits, {}, &PassageFit::share);
    if (fullest == fits.end()) {
        row.insert(row.end(), {Cell(), Cell(), Cell()});
    } else {
        row.insert(row.end(), {Cell(vehicle.point(fullest->point).name),
                               Cell(fullest->opening.value()), Cell(fullest->share)});
    }
    row.emplace_back(fmt::format("{}", fmt::join(run.clear_of, ", ")));
    return row;
}

std::string note_of(const Catalogue& catalogue, std::string_view name, std::string_view what) {
    const DefaultValue& row = catalogue.default_value(name);
    return fmt::format("{} ({}: {})", what, provenance_name(row.origin.provenance),
                       row.origin.source);
}

} // namespace

std::vector<RunBundle> bundle_schedule(const StudyInput& study, const Sizing& sizing) {
    const WireBodies bodies = wire_bodies(study.catalogue, sizing.design);
    return BundleMaker(study.vehicle, study.catalogue, study.routing, bodies,
                       shelf_of<PackingShelf>(study))
        .make_all();
}

Sheet bundle_schedule_sheet(const StudyInput& study, const std::vector<RunBundle>& bundles) {
    const auto millimetres = [](std::string key, std::string title, int decimals) {
        return number_column(std::move(key), std::move(title), "mm", decimals, 1e3);
    };
    Sheet sheet;
    sheet.name = "bundle-schedule";
    sheet.title = "Bundle and cover schedule";
    sheet.columns = {text_column("run", "run"),
                     text_column("from", "from"),
                     text_column("to", "to"),
                     number_column("wires", "wires", "", 0),
                     millimetres("bare_m", "bare diameter", 1),
                     text_column("cover", "cover"),
                     text_column("cover_size", "cover size", true),
                     millimetres("outside_m", "outside diameter", 1),
                     millimetres("least_bend_m", "least bend radius", 0),
                     text_column("bend_by", "bend decided by", true),
                     number_column("kg_per_m", "mass per metre", "g/m", 0, 1e3),
                     number_column("mass_kg", "mass", "g", 0, 1e3),
                     number_column("length_m", "length", "m", 2),
                     number_column("clips", "clips", "", 0),
                     millimetres("clip_spacing_m", "clip spacing", 0),
                     number_column("ties", "ties", "", 0),
                     text_column("passage", "passage", true),
                     millimetres("opening_m", "opening", 0),
                     number_column("passage_share", "passage filled", "%", 0, 1e2),
                     text_column("clear_of", "keep clear of", true)};
    for (const RunBundle& bundle : bundles) {
        if (!bundle.section.wires.empty()) {
            sheet.rows.push_back(row_of(study.vehicle, bundle));
        }
    }
    const Catalogue& catalogue = study.catalogue;
    sheet.notes = {
        std::string(how_thick),
        note_of(catalogue, "bend-wire",
                fmt::format("Least bend: {} x the largest wire",
                            show_number(catalogue.default_value("bend-wire").value))),
        note_of(catalogue, "bend-bundle",
                fmt::format("and {} x the outside diameter, {} where the run moves",
                            show_number(catalogue.default_value("bend-bundle").value),
                            show_number(catalogue.default_value("bend-bundle-moving").value))),
        note_of(catalogue, "clip-spacing",
                fmt::format("Supports at most {} apart",
                            show(Metres(catalogue.default_value("clip-spacing").value)))),
        note_of(catalogue, "tie-spacing", "Ties between supports of a bundle without cover")};
    return sheet;
}

} // namespace loomwright
