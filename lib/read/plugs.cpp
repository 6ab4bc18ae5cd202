// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The faces of connectors, and of the plugs of other devices.

#include "read/kinds.hpp"
#include "read/steps.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr int most_rows = 50;
constexpr std::array<std::string_view, 4> plug_keys{"rows", "sealed", "terminal", "part"};

/// Names of what can be crimped on: of the tables, then of the stock.
std::vector<std::string_view> known_fittings(const Reading& reading) {
    std::vector<std::string_view> out;
    for (const FittingType& row : reading.catalogue.fittings()) {
        out.emplace_back(row.name);
    }
    for (const StockItem& item : reading.vehicle.stock) {
        if (item.kind == "terminal") {
            out.emplace_back(item.name);
        }
    }
    return out;
}

} // namespace

PlugFace read_plug_face(const Fields& fields, std::size_t cavities) {
    PlugFace face;
    face.where = fields.has("terminal") ? fields.where("terminal") : fields.owner();
    face.is_sealed = fields.truth("sealed").value_or(false);
    face.fitting = fields.text_or_empty("terminal");
    face.part_number = fields.text_or_empty("part");
    face.rows = fields.count("rows", 1, most_rows).value_or(1);
    if (cavities > 0 && static_cast<std::size_t>(face.rows) > cavities) {
        fields.complain(
            Rule::out_of_range, "rows",
            fmt::format("{} rows are more than there are cavities: {}", face.rows, cavities),
            "write how many rows the cavities lie in");
        face.rows = 1;
    }
    return face;
}

void read_plug(const Fields& fields, Device& device) {
    const Node node = fields.get("plug");
    if (!node.is_valid()) {
        return;
    }
    if (!node.is_map()) {
        fields.complain(Rule::wrong_shape, "plug",
                        fmt::format("`plug` wants a map of keys, not {}", shape_name(node)),
                        "write `plug: {rows: 2, sealed: yes, terminal: receptacle 2.8 mm}`");
        return;
    }
    const Fields face(fields.reading(), node, fields.subject(), node.where(), plug_keys);
    device.plug = read_plug_face(face, device.terminals.size());
}

void check_plug_fittings(Reading& reading) {
    std::vector<std::string_view> known;
    for (const Device& device : reading.vehicle.devices) {
        if (!device.plug || device.plug->fitting.empty()) {
            continue;
        }
        if (known.empty()) {
            known = known_fittings(reading);
        }
        const std::string& fitting = device.plug->fitting;
        if (std::ranges::find(known, fitting) == known.end()) {
            reading.complain(Rule::unknown_reference, device.name, device.plug->where,
                             fmt::format("there is no terminal {}, in the tables or in the stock",
                                         quoted(fitting)),
                             reading.suggest(fitting, known));
        }
    }
}

} // namespace loomwright
