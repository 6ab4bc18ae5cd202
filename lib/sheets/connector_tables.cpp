// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/connector_tables.hpp"

#include "base/display.hpp"
#include "sizing/stock.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

/// A name as a part of a file's name.
std::string file_name(std::string name) {
    for (char& letter : name) {
        const bool is_plain = (letter >= 'a' && letter <= 'z') ||
                              (letter >= 'A' && letter <= 'Z') ||
                              (letter >= '0' && letter <= '9') || letter == '-' || letter == '_';
        letter = is_plain ? letter : '_';
    }
    return name;
}

std::string part_of(const StockItem* item) {
    return item != nullptr ? item->part_number : "";
}

/// "the terminal of cavity 3, sealed": what closes it.
std::string closing(const PlugHalf& half, const Cavity& cavity) {
    if (!half.face->is_sealed) {
        return {};
    }
    if (cavity.seal != nullptr) {
        return cavity.seal->name;
    }
    if (cavity.wires.size() > 1) {
        return "none: two wires";
    }
    return cavity.wires.empty()
               ? "plug for a cavity"
               : fmt::format("seal for {} mm", show_number(cavity.outside.value() * 1e3, 3));
}

class TableMaker {
public:
    TableMaker(const StudyInput& study, const Sizing& sizing, const PlugHalf& half)
        : study_(study), sizing_(sizing), half_(half) {}

    Sheet make() {
        const Device& device = study_.vehicle.device(half_.device);
        sheet_.name = "connector-" + file_name(half_.name);
        sheet_.title = half_.name + (device.title.empty() ? "" : ", " + device.title);
        sheet_.columns = {text_column("done", "done"),
                          text_column("cavity", "cavity"),
                          text_column("wire", "wire"),
                          text_column("size", "size"),
                          text_column("colour", "colour"),
                          text_column("to", "to", true),
                          text_column("terminal", "terminal", true),
                          text_column("terminal_part", "terminal part"),
                          number_column("strip_m", "strip", "mm", 1, 1e3),
                          number_column("crimp_height_m", "crimp height", "mm", 2, 1e3),
                          text_column("seal", "seal or plug", true),
                          text_column("seal_part", "seal part"),
                          text_column("note", "note", true)};
        for (const Cavity& cavity : half_.cavities) {
            add_rows(cavity);
        }
        sheet_.notes.push_back(housing_text(study_.vehicle, half_));
        sheet_.notes.emplace_back(
            "Strip lengths without a data sheet are common practice, no source: the data sheet of "
            "the terminal that is bought decides, and its crimp height.");
        return std::move(sheet_);
    }

private:
    void add_rows(const Cavity& cavity) {
        if (cavity.wires.empty()) {
            sheet_.rows.push_back({std::string(), cavity.name, std::string(), std::string(),
                                   std::string(), std::string(), std::string(), std::string(),
                                   Cell(), Cell(), closing(half_, cavity), part_of(cavity.seal),
                                   std::string("empty")});
            return;
        }
        for (const WireId id : cavity.wires) {
            const Wire& wire = study_.vehicle.wire(id);
            const WireDesign& made = sizing_.design.wires[id.index()];
            const bool is_from = begins_in(cavity, wire);
            const EndFitting& fitting = *cavity.fitting;
            const bool has_size = made.conductor != nullptr;
            sheet_.rows.push_back(
                {std::string(), cavity.name, wire.number,
                 has_size ? show(made.conductor->size) : std::string("no size found"), wire.colour,
                 study_.vehicle.show(is_from ? wire.to : wire.from), fitting.kind,
                 part_of(fitting.stock), has_size ? Cell(fitting.strip.value()) : Cell(),
                 length_cell(fitting.crimp_height), closing(half_, cavity), part_of(cavity.seal),
                 note_of(cavity, wire)});
        }
    }

    /// True when the wire's `from` is in this cavity: of a wire from one cavity of a housing to
    /// another each row tells the other end.
    [[nodiscard]] bool begins_in(const Cavity& cavity, const Wire& wire) const {
        const auto terminal = static_cast<std::size_t>(wire.from.terminal);
        return wire.from.device == half_.device &&
               study_.vehicle.device(half_.device).terminals[terminal] == cavity.name;
    }

    [[nodiscard]] static std::string note_of(const Cavity& cavity, const Wire& wire) {
        std::string out = wire.retained ? "old wiring" : "";
        if (cavity.wires.size() > 1) {
            out += fmt::format("{}{} wires in one terminal", out.empty() ? "" : "; ",
                               cavity.wires.size());
        }
        return out;
    }

    const StudyInput& study_;
    const Sizing& sizing_;
    const PlugHalf& half_;
    Sheet sheet_;
};

} // namespace

std::string housing_text(const Vehicle& vehicle, const PlugHalf& half) {
    const Device& device = vehicle.device(half.device);
    std::string out = fmt::format("{} {} in {} {}", half.cavities.size(),
                                  half.cavities.size() == 1 ? "cavity" : "cavities", half.rows,
                                  half.rows == 1 ? "row" : "rows");
    out += half.face->is_sealed ? ", sealed" : "";
    out += half.fitting.empty() ? "" : ", " + half.fitting;
    if (!half.face->part_number.empty()) {
        const StockItem* housing = find_stock_housing(vehicle, half.face->part_number);
        out += fmt::format(", {} {}{}", half.is_counterpart ? "counterpart of" : "part",
                           half.face->part_number,
                           housing != nullptr ? " (" + housing->name + ")" : "");
    }
    if (const auto* connector = device.as<Connector>()) {
        out += connector->mate.is_valid() ? ", mate " + vehicle.device(connector->mate).name : "";
        out += connector->is_bulkhead ? ", held in the wall" : "";
    }
    return out + ".";
}

std::vector<PlugHalf> wired_halves(const StudyInput& study, const Sizing& sizing) {
    const EndFittings fittings(study.vehicle, study.catalogue, sizing.design);
    std::vector<PlugHalf> out = plug_halves(study, sizing.design, fittings);
    std::erase_if(out, [](const PlugHalf& half) {
        return std::ranges::all_of(half.cavities,
                                   [](const Cavity& cavity) { return cavity.wires.empty(); });
    });
    return out;
}

Sheet connector_table(const StudyInput& study, const Sizing& sizing, const PlugHalf& half) {
    return TableMaker(study, sizing, half).make();
}

std::vector<Sheet> connector_tables(const StudyInput& study, const Sizing& sizing,
                                    const std::vector<PlugHalf>& halves) {
    std::vector<Sheet> out;
    out.reserve(halves.size());
    for (const PlugHalf& half : halves) {
        out.push_back(connector_table(study, sizing, half));
    }
    return out;
}

Sheet connectors_sheet(const std::vector<Sheet>& tables) {
    Sheet sheet;
    sheet.name = "connectors";
    sheet.title = "Connectors";
    if (tables.empty()) {
        sheet.columns = {text_column("connector", "connector")};
        return sheet;
    }
    sheet.columns = tables.front().columns;
    sheet.columns.insert(sheet.columns.begin(), text_column("connector", "connector", true));
    for (const Sheet& table : tables) {
        for (std::vector<Cell> row : table.rows) {
            row.insert(row.begin(), table.title);
            sheet.rows.push_back(std::move(row));
        }
    }
    return sheet;
}

} // namespace loomwright
