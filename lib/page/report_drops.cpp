// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What each load loses on its way there and back, and where; and every wire.
#include "page/report_parts.hpp"

#include "base/display.hpp"
#include "draw/drawing.hpp"
#include "sizing/judged.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

namespace loomwright::page {
namespace {

/// Where a path loses its voltage, V.
struct DropParts {
    double wire = 0.0;    ///< wires and supplied leads, with their crimped ends
    double contact = 0.0; ///< fuses, contacts of relays and switches, connectors, outputs
    double ground = 0.0;  ///< joints with the metal of the car, straps
};

DropParts parts_of(const Network& network, const LoadDrop& drop) {
    DropParts out;
    for (const auto* way : {&drop.feed, &drop.back}) {
        for (const PathPart& part : *way) {
            switch (network.branches[static_cast<std::size_t>(part.branch)].kind) {
            case BranchKind::wire:
            case BranchKind::lead:
                out.wire += part.volts;
                break;
            case BranchKind::bond:
            case BranchKind::strap:
                out.ground += part.volts;
                break;
            default:
                out.contact += part.volts;
            }
        }
    }
    return out;
}

/// Of each load the drop that is nearest to its limit or furthest over it, in the order of the
/// file.
std::vector<const LoadDrop*> tightest_of_each(const ReportContext& context) {
    // Two places for each device: a starter has a motor and a solenoid.
    std::vector<const LoadDrop*> by_load(2 * context.vehicle().devices.size(), nullptr);
    for (const LoadDrop& drop : context.sizing().drops) {
        if (!is_drop_judged(context.vehicle(), drop) || drop.limit_v <= 0.0) {
            continue;
        }
        const LoadDrop*& here = by_load[2 * drop.load.index() + (drop.is_solenoid ? 1 : 0)];
        if (here == nullptr || drop.drop_v / drop.limit_v > here->drop_v / here->limit_v) {
            here = &drop;
        }
    }
    std::erase(by_load, nullptr);
    return by_load;
}

ReportRow drop_row(const ReportContext& context, const LoadDrop& drop) {
    const Vehicle& vehicle = context.vehicle();
    const Device& load = vehicle.device(drop.load);
    const std::string working = context.device_working(drop.load);
    const DropParts parts = parts_of(context.study().network, drop);
    const double share = drop.drop_v / drop.limit_v;
    ReportRow row;
    row.is_bad = drop.drop_v > drop.limit_v;
    row.cells = {text_cell(path_end(vehicle, drop), working, load.title),
                 text_cell(state_name(vehicle, drop.state)),
                 number_cell(drop.amps, 2, working),
                 number_cell(drop.supply_v, 2, working),
                 number_cell(drop.load_v, 2, working),
                 number_cell(drop.drop_v, 3, working),
                 number_cell(drop.limit_v, 3, working),
                 picture_cell(parts_bar({parts.wire / drop.limit_v, parts.contact / drop.limit_v,
                                         parts.ground / drop.limit_v}),
                              share),
                 number_cell(parts.wire, 3, working),
                 number_cell(parts.contact, 3, working),
                 number_cell(parts.ground, 3, working)};
    row.cells[7].small = show_percent(std::round(share * 1e3) / 1e3);
    return row;
}

ReportRow wire_row(const ReportContext& context, const WireSizing& sized) {
    const Vehicle& vehicle = context.vehicle();
    const Wire& wire = vehicle.wire(sized.wire);
    const WireDesign& made = context.sizing().design.wires[sized.wire.index()];
    const bool has_size = made.conductor != nullptr;
    const std::string working = context.wire_working(sized.wire);
    const double may = sized.is_short_time ? sized.short_time_a : sized.ampacity.amps;
    const int worst = context.worst_open(wire.number);
    const bool is_known = has_answer(context.sizing());
    ReportRow row;
    row.is_bad = worst >= 0;
    row.cells = {
        text_cell(wire.number, context.in_feeds(draw::wire_mark(sized.wire)),
                  wire.retained ? "old wiring" : ""),
        text_cell(vehicle.show(wire.from)),
        text_cell(vehicle.show(wire.to)),
        text_cell(has_size ? show(made.conductor->size) : std::string("no size"), working),
        text_cell(wire.colour),
        number_cell(made.length.value(), 2, working),
        is_known ? number_cell(sized.worst_amps, 2, working,
                               sized.worst_state.is_valid() ? state_name(vehicle, sized.worst_state)
                                                            : std::string())
                 : no_cell(),
        has_size ? number_cell(may, 1, working, sized.is_short_time ? "while cranking" : "")
                 : no_cell(),
        has_size && may > 0.0 && is_known
            ? picture_cell(share_bar(sized.worst_amps / may), sized.worst_amps / may)
            : no_cell(),
        is_known ? number_cell(sized.worst_drop_v, 3, working) : no_cell(),
        sized.fuse.is_valid()
            ? text_cell(vehicle.device(sized.fuse).name, context.device_working(sized.fuse))
            : no_cell(),
        text_cell(std::string(reason_name(sized.decided_by)), working),
        verdict_cell(context, worst, "nothing open")};
    return row;
}

} // namespace

std::string drops_part(const ReportContext& context) {
    ReportTable table;
    table.id = "voltage-drops";
    table.caption = "Voltage drops, there and back";
    table.columns = {{"load"},
                     {"in state"},
                     {"amps (A)", true},
                     {"supply (V)", true},
                     {"at the load (V)", true},
                     {"drop (V)", true},
                     {"limit (V)", true},
                     {"where, of the limit", true},
                     {"wires (V)", true},
                     {"contacts (V)", true},
                     {"grounds (V)", true}};
    const std::vector<const LoadDrop*> drops = tightest_of_each(context);
    for (const LoadDrop* drop : drops) {
        table.rows.push_back(drop_row(context, *drop));
    }
    table.notes = {
        "Of each load the state that brings it nearest to its limit. The bar is full at the "
        "limit: black is what wires take with their crimped ends, hatched what fuses, contacts "
        "and connectors take, white what joints with the metal of the car take."};
    if (std::ranges::any_of(drops, &LoadDrop::is_solenoid)) {
        table.notes.emplace_back(
            "Of a starter's solenoid (terminal 50) the way there alone: it comes home with the "
            "motor.");
    }
    return context.table(table);
}

std::string wires_part(const ReportContext& context) {
    ReportTable table;
    table.id = "wires";
    table.caption = "Wires";
    table.columns = {{"wire"},
                     {"from"},
                     {"to"},
                     {"size"},
                     {"colour"},
                     {"length (m)", true},
                     {"amps (A)", true},
                     {"may carry (A)", true},
                     {"share of it", true},
                     {"drop (V)", true},
                     {"fuse"},
                     {"decided by"},
                     {"verdict"}};
    for (const WireSizing& sized : context.sizing().wires) {
        table.rows.push_back(wire_row(context, sized));
    }
    table.notes = {"Amps: the largest lasting current of any state. May carry: the ampacity in its "
                   "place, in its bundle and the hottest air. A number leads to the wire in the "
                   "feeds drawing, a figure to its working."};
    return context.table(table);
}

} // namespace loomwright::page
