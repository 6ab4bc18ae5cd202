// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/text.hpp"

#include "base/display.hpp"
#include "sheets/characters.hpp"
#include "sheets/device_elements.hpp"
#include "sizing/judged.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

Cell number_or_blank(bool is_defined, double value) {
    return is_defined ? Cell(value) : Cell();
}

void add_wrapped(std::string& out, const std::string& first, const std::string& text,
                 TextWidth width) {
    const int indent = display_width(first);
    const std::string rest(static_cast<std::size_t>(indent), ' ');
    bool is_first = true;
    for (const std::string& line : wrap(plain_text(text), std::max(20, width.columns - indent))) {
        out += (is_first ? first : rest) + line + "\n";
        is_first = false;
    }
}

std::string wire_names(const Vehicle& vehicle, const std::vector<WireId>& wires) {
    std::string out;
    for (const WireId wire : wires) {
        out += (out.empty() ? "" : ", ") + vehicle.wire(wire).number;
    }
    return out.empty() ? "-" : out;
}

/// A number of the order of rounding needs its exponent to be read.
std::string small_number(double value) {
    return fmt::format("{:.3g}", value);
}

} // namespace

Sheet wire_sizes_sheet(const StudyInput& study, const Sizing& sizing) {
    Sheet sheet;
    sheet.name = "wires";
    sheet.title = "Wires";
    sheet.columns = {text_column("wire", "wire"),
                     text_column("from", "from"),
                     text_column("to", "to"),
                     text_column("size", "size"),
                     text_column("colour", "colour"),
                     number_column("length_m", "length", "m", 2),
                     number_column("amps", "amps", "A", 2),
                     number_column("ampacity_a", "ampacity", "A", 1),
                     number_column("drop_v", "drop", "V", 3),
                     text_column("fuse", "fuse"),
                     text_column("decided_by", "decided by")};
    const bool is_known = has_answer(sizing);
    for (const WireSizing& sized : sizing.wires) {
        const Wire& wire = study.vehicle.wire(sized.wire);
        const WireDesign& design = sizing.design.wires[sized.wire.index()];
        const bool has_size = design.conductor != nullptr;
        sheet.rows.push_back(
            {wire.number, study.vehicle.show(wire.from), study.vehicle.show(wire.to),
             has_size ? Cell(show(design.conductor->size)) : Cell(), wire.colour,
             design.length.value(), number_or_blank(is_known, sized.worst_amps),
             number_or_blank(has_size, sized.ampacity.amps),
             number_or_blank(is_known, sized.worst_drop_v),
             sized.fuse.is_valid() ? Cell(study.vehicle.device(sized.fuse).name) : Cell(),
             std::string(reason_name(sized.decided_by))});
    }
    return sheet;
}

Sheet fuse_sizes_sheet(const StudyInput& study, const Sizing& sizing) {
    Sheet sheet;
    sheet.name = "fuses";
    sheet.title = "Protective devices";
    sheet.columns = {text_column("fuse", "fuse"),
                     number_column("rating_a", "rating", "A", -1),
                     number_column("load_a", "load", "A", 2),
                     text_column("state", "in state"),
                     text_column("protects", "protects", true),
                     text_column("thinnest", "thinnest"),
                     number_column("ampacity_a", "ampacity", "A", 1),
                     text_column("decided_by", "decided by")};
    const bool is_known = has_answer(sizing);
    for (const FuseSizing& fuse : sizing.fuses) {
        const bool has_wire = fuse.thinnest.is_valid();
        sheet.rows.push_back(
            {study.vehicle.device(fuse.device).name,
             number_or_blank(fuse.rating_a > 0.0, fuse.rating_a),
             number_or_blank(is_known, fuse.load_a),
             is_known ? Cell(state_name(study.vehicle, fuse.worst_state)) : Cell(),
             wire_names(study.vehicle, fuse.protects),
             has_wire ? Cell(study.vehicle.wire(fuse.thinnest).number) : Cell(),
             number_or_blank(has_wire,
                             has_wire ? sizing.wires[fuse.thinnest.index()].ampacity.amps : 0.0),
             std::string(reason_name(fuse.decided_by))});
    }
    return sheet;
}

std::string size_text(const StudyInput& study, const Sizing& sizing, TextWidth width) {
    std::string out = sheet_text(wire_sizes_sheet(study, sizing), width);
    out += "\n" + sheet_text(fuse_sizes_sheet(study, sizing), width);
    out += "\nWhy\n";
    for (const FuseSizing& fuse : sizing.fuses) {
        if (!fuse.why.empty()) {
            add_wrapped(out, fmt::format("  {}: ", study.vehicle.device(fuse.device).name),
                        fuse.why, width);
        }
    }
    for (const WireSizing& wire : sizing.wires) {
        if (wire.was_auto && !wire.why.empty()) {
            add_wrapped(out, fmt::format("  {}: ", study.vehicle.wire(wire.wire).number), wire.why,
                        width);
        }
    }
    out += fmt::format("\nCopper: {}\n", show(Kilograms(sizing.copper_kg)));
    return out;
}

Sheet node_volts_sheet(const StudyInput& study, const StateSolution& solution) {
    Sheet sheet;
    sheet.name = "nodes";
    sheet.title = "Nodes";
    sheet.columns = {text_column("node", "node"), number_column("volts", "volts", "V", 4)};
    for (std::size_t i = 0; i < study.network.node_names.size(); ++i) {
        const bool floats = i < solution.floating.size() && solution.floating[i] != 0;
        const bool is_defined = solution.converged && !floats && i < solution.node_volts.size();
        sheet.rows.push_back(
            {study.network.node_names[i],
             number_or_blank(is_defined, is_defined ? solution.node_volts[i] : 0.0)});
    }
    return sheet;
}

Sheet wire_amps_sheet(const StudyInput& study, const StateSolution& solution) {
    Sheet sheet;
    sheet.name = "wires";
    sheet.title = "Wires";
    sheet.columns = {text_column("wire", "wire"),
                     text_column("from", "from"),
                     text_column("to", "to"),
                     number_column("amps", "amps", "A", 3),
                     number_column("drop_v", "drop", "V", 4),
                     number_column("conductor_c", "conductor", "C", 1)};
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        const Wire& wire = study.vehicle.wires[i];
        const bool is_defined = solution.converged && i < solution.wires.size();
        const WireState state = is_defined ? solution.wires[i] : WireState{};
        sheet.rows.push_back({wire.number, study.vehicle.show(wire.from),
                              study.vehicle.show(wire.to), number_or_blank(is_defined, state.amps),
                              number_or_blank(is_defined, state.drop_v),
                              number_or_blank(is_defined, state.conductor_c)});
    }
    return sheet;
}

Sheet device_states_sheet(const StudyInput& study, const StateSolution& solution) {
    Sheet sheet;
    sheet.name = "devices";
    sheet.title = "Devices";
    sheet.columns = {text_column("device", "device"),       text_column("title", "title", true),
                     text_column("kind", "kind"),           number_column("volts", "volts", "V", 3),
                     number_column("amps", "amps", "A", 3), text_column("on", "on")};
    for (std::size_t i = 0; i < study.vehicle.devices.size(); ++i) {
        if (!has_element(study, i)) {
            continue;
        }
        const Device& device = study.vehicle.devices[i];
        const bool is_defined = solution.converged && i < solution.devices.size();
        const DeviceState state = is_defined ? solution.devices[i] : DeviceState{};
        const char* on = state.on ? "on" : "off";
        sheet.rows.push_back({device.name, device.title, device.word,
                              number_or_blank(is_defined, state.volts),
                              number_or_blank(is_defined, state.amps), is_defined ? on : "-"});
    }
    return sheet;
}

std::string solve_text(const StudyInput& study, std::span<const StateSolution> states,
                       TextWidth width) {
    std::string out;
    for (const StateSolution& solution : states) {
        out += out.empty() ? "" : "\n";
        out += fmt::format("State {}\n", plain_text(state_name(study.vehicle, solution.state)));
        if (!solution.converged) {
            add_wrapped(out, "  no answer: ", solution.failure, width);
            continue;
        }
        out += "\n" + sheet_text(device_states_sheet(study, solution), width);
        out += "\n" + sheet_text(wire_amps_sheet(study, solution), width);
        out += "\n" + sheet_text(node_volts_sheet(study, solution), width);
        const double relative = solution.source_current_a > 0.0
                                    ? solution.imbalance_a / solution.source_current_a
                                    : 0.0;
        out += fmt::format(
            "\nProof: sources deliver {}; largest current imbalance of any node {} A "
            "({} of that); power error {}; {} Newton steps\n",
            show(Amps(solution.source_current_a)), small_number(solution.imbalance_a),
            small_number(relative), small_number(solution.power_error), solution.iterations);
    }
    return out;
}

std::string table_text(const TableView& view, TextWidth width) {
    Sheet sheet;
    sheet.name = view.name;
    for (const std::string& column : view.columns) {
        sheet.columns.push_back(text_column(column, column, true));
    }
    for (const auto& row : view.rows) {
        std::vector<Cell> cells;
        for (std::size_t c = 0; c < view.columns.size(); ++c) {
            cells.emplace_back(c < row.size() ? row[c] : std::string());
        }
        sheet.rows.push_back(std::move(cells));
    }
    std::string out;
    const auto add = [&](const char* label, const std::string& text) {
        if (!text.empty()) {
            add_wrapped(out, label, text, width);
        }
    };
    add("", view.name + ": " + view.description);
    add("source:   ", view.source);
    add("edition:  ", view.edition);
    add("valid:    ", view.validity);
    out += "\n" + sheet_text(sheet, width);
    for (const std::string& note : view.notes) {
        add("note: ", note);
    }
    return out;
}

std::string proof_text(std::span<const ProofSection> sections, TextWidth width) {
    std::string out;
    for (const ProofSection& section : sections) {
        out += (out.empty() ? "" : "\n") + plain_text(section.title) + "\n";
        for (const ProofStep& step : section.steps) {
            if (!step.formula.empty()) {
                add_wrapped(out, "  ", step.formula, width);
            }
            if (!step.with.empty()) {
                add_wrapped(out, "    with   ", step.with, width);
            }
            if (!step.gives.empty()) {
                add_wrapped(out, "    gives  ", step.gives, width);
            }
            if (!step.source.empty()) {
                add_wrapped(out, "    source ", step.source, width);
            }
        }
    }
    return out;
}

} // namespace loomwright
