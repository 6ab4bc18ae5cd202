// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Labels on a wire of length L: none for L < a, one at L / 2 for L < b, else at e and L - e and
// between these n - 1 more, n = ceil((L - 2 e) / s), evenly.
//   a  `label-none-under`     b  `label-one-under`    s  `label-spacing`
//   e  `label-from-end`, at most 3 in (FAA AC 43.13-1B, Figure 11-23)
#include "sheets/labels.hpp"

#include "base/display.hpp"
#include "network/wire_bodies.hpp"
#include "sheets/cut_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// The covers that shrink are the ones that labels are printed on.
constexpr std::string_view sleeve_cover = "sleeve";

std::string sleeve_for(const Catalogue& catalogue, Metres outside) {
    for (const CoverSize& size : catalogue.cover_sizes()) {
        if (size.cover == sleeve_cover && outside >= size.least && outside <= size.most) {
            return size.name;
        }
    }
    return {};
}

std::string next_to(const Vehicle& vehicle, const Wire& wire, const WireLabel& label) {
    const std::string from = vehicle.show(wire.from);
    const std::string to = vehicle.show(wire.to);
    if (label.of == 1 || (label.place > 1 && label.place < label.of)) {
        return from + " - " + to;
    }
    return label.place == 1 ? from : to;
}

} // namespace

std::vector<Metres> label_places(const Catalogue& catalogue, Metres length) {
    const auto metres = [&catalogue](std::string_view name) {
        return catalogue.default_value(name).value;
    };
    const double l = length.value();
    if (l < metres("label-none-under")) {
        return {};
    }
    if (l < metres("label-one-under")) {
        return {Metres(l / 2.0)};
    }
    const double end = metres("label-from-end");
    const double between = l - 2.0 * end;
    const int gaps =
        std::max(1, static_cast<int>(std::ceil(between / metres("label-spacing") - 1e-9)));
    std::vector<Metres> out;
    for (int i = 0; i <= gaps; ++i) {
        out.emplace_back(end + between * i / gaps);
    }
    return out;
}

std::vector<WireLabel> wire_labels(const StudyInput& study, const Sizing& sizing) {
    std::vector<WireLabel> out;
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        const Wire& wire = study.vehicle.wires[i];
        const WireDesign& design = sizing.design.wires[i];
        if (wire.retained || design.conductor == nullptr) {
            continue;
        }
        const std::vector<Metres> places = label_places(study.catalogue, cut_length(design.length));
        const Metres outside =
            study.catalogue.outside_diameter(*design.conductor, *design.insulation);
        for (std::size_t p = 0; p < places.size(); ++p) {
            WireLabel label;
            label.wire = WireId(i);
            label.place = static_cast<int>(p) + 1;
            label.of = static_cast<int>(places.size());
            label.at = places[p];
            label.text = wire.number;
            label.goes_to = next_to(study.vehicle, wire, label);
            label.outside = outside;
            label.sleeve = sleeve_for(study.catalogue, outside);
            out.push_back(std::move(label));
        }
    }
    return out;
}

Sheet labels_sheet(const StudyInput& study, const std::vector<WireLabel>& labels) {
    Sheet sheet;
    sheet.name = "labels";
    sheet.title = "Labels";
    sheet.columns = {text_column("text", "text"),
                     text_column("second_line", "second line", true),
                     number_column("place", "place", "", 0),
                     number_column("of", "of", "", 0),
                     number_column("at_m", "from the first end", "mm", 0, 1e3),
                     number_column("outside_m", "wire diameter", "mm", 1, 1e3),
                     text_column("sleeve", "sleeve"),
                     text_column("wire", "wire")};
    for (const WireLabel& label : labels) {
        sheet.rows.push_back({label.text, label.goes_to, static_cast<double>(label.place),
                              static_cast<double>(label.of), label.at.value(),
                              label.outside.value(), label.sleeve,
                              study.vehicle.wire(label.wire).number});
    }
    const auto note = [&study](std::string_view name) {
        const DefaultValue& row = study.catalogue.default_value(name);
        return fmt::format("{}: {} ({}: {}).", row.title, show(Metres(row.value)),
                           provenance_name(row.origin.provenance), row.origin.source);
    };
    sheet.notes = {note("label-none-under"), note("label-one-under"), note("label-from-end"),
                   note("label-spacing")};
    return sheet;
}

} // namespace loomwright
