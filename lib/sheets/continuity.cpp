// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// R = r20 L + R_from + R_to, at 20 C.
//   r20     resistance of the conductor for a metre (its table), ohm/m
//   L       length as cut, m
//   R_from  what is crimped on an end: `crimp`, at a splice `splice` (tables of defaults)
// The greatest that is accepted has `crimp-poor` at both ends, r20 being the standard's greatest.
// Copper follows R(T) = R (1 + 0.00393 (T - 20 C)), IEC 60028; valid from -20 to 60 C.
#include "sheets/continuity.hpp"

#include "base/display.hpp"
#include "sheets/cut_list.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

double end_ohm(const StudyInput& study, TerminalRef at) {
    const bool is_splice = study.vehicle.device(at.device).as<Splice>() != nullptr;
    return study.catalogue.default_value(is_splice ? "splice" : "crimp").value;
}

} // namespace

std::vector<ContinuityLine> continuity(const StudyInput& study, const Sizing& sizing) {
    const double poor_ohm = study.catalogue.default_value("crimp-poor").value;
    std::vector<ContinuityLine> out;
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        const Wire& wire = study.vehicle.wires[i];
        const WireDesign& design = sizing.design.wires[i];
        if (wire.retained || design.conductor == nullptr) {
            continue;
        }
        ContinuityLine line;
        line.wire = WireId(i);
        line.length = cut_length(design.length);
        line.conductor_ohm = design.conductor->r20_ohm_per_m * line.length.value();
        line.ends_ohm = end_ohm(study, wire.from) + end_ohm(study, wire.to);
        line.most_ohm = line.conductor_ohm + std::max(2.0 * poor_ohm, line.ends_ohm);
        out.push_back(line);
    }
    return out;
}

Sheet continuity_sheet(const StudyInput& study, const std::vector<ContinuityLine>& lines) {
    Sheet sheet;
    sheet.name = "continuity";
    sheet.title = "Continuity test";
    const auto milliohms = [](std::string key, std::string title) {
        return number_column(std::move(key), std::move(title), "mohm", 1, 1e3);
    };
    sheet.columns = {text_column("done", "done"),
                     text_column("wire", "wire"),
                     text_column("from", "from", true),
                     text_column("to", "to", true),
                     text_column("colour", "colour"),
                     number_column("length_m", "length", "mm", 0, 1e3),
                     milliohms("expected_ohm", "expected at 20 C"),
                     milliohms("most_ohm", "make again above"),
                     text_column("measured", "measured mohm"),
                     text_column("apart", "apart from its neighbours")};
    for (const ContinuityLine& line : lines) {
        const Wire& wire = study.vehicle.wire(line.wire);
        sheet.rows.push_back({std::string(), wire.number, study.vehicle.show(wire.from),
                              study.vehicle.show(wire.to), wire.colour, line.length.value(),
                              line.expected_ohm(), line.most_ohm, std::string(), std::string()});
    }
    const auto value_of = [&study](std::string_view name) -> const DefaultValue& {
        return study.catalogue.default_value(name);
    };
    const double alpha = value_of("copper-temperature-coefficient").value;
    sheet.notes = {
        "Test each wire before it is laced, and its ends before they are put into cavities: four "
        "leads, or a meter set to zero with its own leads together. No battery on the car.",
        fmt::format("Copper away from 20 C: {:.3f} times as much at 0 C, {:.3f} times at 35 C "
                    "(IEC 60028).",
                    1.0 - 20.0 * alpha, 1.0 + 15.0 * alpha),
        fmt::format(
            "Each crimped end counts {:.1f} mohm, an end in a splice {:.1f} mohm; both ends "
            "at {:.1f} mohm are the most that passes (all common practice, no source).",
            value_of("crimp").value * 1e3, value_of("splice").value * 1e3,
            value_of("crimp-poor").value * 1e3),
        "In the last column note that no other wire, nor the metal of the car, is connected: above "
        "1 Mohm at the voltage of the meter."};
    return sheet;
}

} // namespace loomwright
