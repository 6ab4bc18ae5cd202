// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/cut_list.hpp"

#include "sizing/fittings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace loomwright {
namespace {

/// "together with 2.1": the other wires in the same barrel. Those of a splice are in its schedule.
std::string shared_with(const Vehicle& vehicle, const Crimp& crimp, WireId own) {
    std::string out;
    if (vehicle.device(crimp.at.device).as<Splice>() == nullptr) {
        for (const WireId wire : crimp.wires) {
            if (wire != own) {
                out += (out.empty() ? "together with " : ", ") + vehicle.wire(wire).number;
            }
        }
    }
    return out;
}

WireEnd wire_end(const Vehicle& vehicle, const EndFittings& fittings, WireId id, bool at_from) {
    WireEnd end;
    const Crimp& crimp = fittings.crimp(id, at_from);
    const Device& device = vehicle.device(crimp.at.device);
    end.at = vehicle.show(crimp.at);
    end.title = device.title;
    if (end.title.empty() && device.housing.is_valid()) {
        end.title = vehicle.device(device.housing).title;
    }
    if (crimp.area.value() <= 0.0) { // no size was found
        return end;
    }
    const EndFitting fitting = fittings.fitting(crimp);
    end.fitting = fitting.kind;
    end.fitting_note = fitting.note;
    if (const std::string shared = shared_with(vehicle, crimp, id); !shared.empty()) {
        end.fitting_note += (end.fitting_note.empty() ? "" : ", ") + shared;
    }
    end.strip = fitting.strip;
    if (fitting.stock != nullptr) {
        end.part_number = fitting.stock->part_number;
    }
    return end;
}

CutLine cut_line(const StudyInput& study, const EndFittings& fittings, const WireDesign& design,
                 WireId id) {
    const Wire& wire = study.vehicle.wire(id);
    const LengthSource source = study.routing.wires[id.index()].source;
    CutLine line;
    line.wire = id;
    line.number = wire.number;
    line.from = wire_end(study.vehicle, fittings, id, true);
    line.to = wire_end(study.vehicle, fittings, id, false);
    line.exact = design.length;
    line.length = cut_length(design.length);
    line.is_estimated = source == LengthSource::estimated || source == LengthSource::assumed;
    line.twisted = wire.twisted;
    line.label = wire.number;
    line.note = wire.note;
    return line;
}

/// Thick spools first; no size last; then by the size's name, insulation and colour.
auto spool_order(const CutSpool& spool) {
    const double area = spool.conductor != nullptr ? spool.conductor->area.value() : 0.0;
    return std::make_tuple(
        -area, spool.conductor != nullptr ? static_cast<int>(spool.conductor->size.standard) : -1,
        spool.conductor != nullptr ? spool.conductor->size.name : std::string(),
        spool.insulation != nullptr ? spool.insulation->name : std::string(), spool.colour.empty(),
        spool.colour);
}

CutSpool& spool_for(CutList& list, const WireDesign& design, const std::string& colour) {
    const auto found = std::ranges::find_if(list.spools, [&](const CutSpool& spool) {
        return spool.conductor == design.conductor && spool.insulation == design.insulation &&
               spool.colour == colour;
    });
    if (found != list.spools.end()) {
        return *found;
    }
    CutSpool spool;
    spool.conductor = design.conductor;
    spool.insulation = design.insulation;
    spool.colour = colour;
    return list.spools.emplace_back(std::move(spool));
}

} // namespace

Metres cut_length(Metres needed) {
    // A length that is a whole step but for the last bits of its sum stays.
    return Metres(std::ceil(needed.value() / cut_step_m - 1e-6) * cut_step_m);
}

std::string CutSpool::title() const {
    if (conductor == nullptr) {
        return "no size found: do not cut";
    }
    std::string out = show(conductor->size);
    if (insulation != nullptr) {
        out += " " + insulation->name;
    }
    return out + (colour.empty() ? ", any colour" : " " + colour);
}

std::string fitting_text(const WireEnd& end) {
    return end.fitting_note.empty() ? end.fitting : end.fitting + " " + end.fitting_note;
}

std::string cut_line_note(const CutLine& line) {
    std::string out;
    const auto add = [&out](const std::string& text) {
        if (!text.empty()) {
            out += (out.empty() ? "" : "; ") + text;
        }
    };
    add(line.is_estimated ? "length is an estimate: measure before cutting" : "");
    add(line.twisted.empty() ? "" : "twist with pair " + line.twisted);
    add(line.note);
    return out;
}

CutList cut_list(const StudyInput& study, const Sizing& sizing) {
    CutList list;
    const EndFittings fittings(study.vehicle, study.catalogue, sizing.design);
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        const WireId id(i);
        const Wire& wire = study.vehicle.wire(id);
        if (wire.retained) {
            list.retained.push_back(id);
            continue;
        }
        const WireDesign& design = sizing.design.wires[i];
        CutSpool& spool = spool_for(list, design, wire.colour);
        spool.lines.push_back(cut_line(study, fittings, design, id));
        spool.total += spool.lines.back().length;
    }
    std::ranges::stable_sort(list.spools, {}, spool_order);
    for (CutSpool& spool : list.spools) {
        std::ranges::stable_sort(spool.lines, std::ranges::greater(), &CutLine::length);
    }
    return list;
}

Sheet cut_list_sheet(const StudyInput& study, const CutList& list) {
    Sheet sheet;
    sheet.name = "cut-list";
    sheet.title = "Cut list";
    const Column length{"length_m", "length", "mm", Alignment::right, 1e3, 0};
    sheet.columns = {{"done", "done", ""},
                     {"size", "size", ""},
                     {"insulation", "insulation", ""},
                     {"colour", "colour", ""},
                     {"wire", "wire", ""},
                     length,
                     {"from", "from", ""},
                     {"from_device", "from device", "", Alignment::left, 1.0, -1, true},
                     {"from_strip_m", "from strip", "mm", Alignment::right, 1e3, 1},
                     {"from_terminal", "from terminal", "", Alignment::left, 1.0, -1, true},
                     {"from_part", "from part number", ""},
                     {"to", "to", ""},
                     {"to_device", "to device", "", Alignment::left, 1.0, -1, true},
                     {"to_strip_m", "to strip", "mm", Alignment::right, 1e3, 1},
                     {"to_terminal", "to terminal", "", Alignment::left, 1.0, -1, true},
                     {"to_part", "to part number", ""},
                     {"label", "label text", ""},
                     {"twist", "twist", ""},
                     {"note", "note", "", Alignment::left, 1.0, -1, true}};
    for (const CutSpool& spool : list.spools) {
        for (const CutLine& line : spool.lines) {
            const bool has_size = spool.conductor != nullptr;
            const auto strip = [has_size](const WireEnd& end) {
                return has_size ? Cell(end.strip.value()) : Cell();
            };
            sheet.rows.push_back(
                {std::string(), has_size ? show(spool.conductor->size) : "no size found",
                 spool.insulation != nullptr ? spool.insulation->name : "", spool.colour,
                 line.number, line.length.value(), line.from.at, line.from.title, strip(line.from),
                 fitting_text(line.from), line.from.part_number, line.to.at, line.to.title,
                 strip(line.to), fitting_text(line.to), line.to.part_number, line.label,
                 line.twisted, cut_line_note(line)});
        }
    }
    sheet.notes.emplace_back("Lengths are rounded up to 5 mm. Strip lengths and terminals are "
                             "common practice, no source: "
                             "the data sheet of the terminal that is bought decides.");
    for (const WireId id : list.retained) {
        const Wire& wire = study.vehicle.wire(id);
        sheet.notes.push_back(
            fmt::format("Wire {} from {} to {} is old wiring that stays: not cut.", wire.number,
                        study.vehicle.show(wire.from), study.vehicle.show(wire.to)));
    }
    return sheet;
}

} // namespace loomwright
