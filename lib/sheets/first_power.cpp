// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/first_power.hpp"

#include "study/black_lead.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

std::optional<double> reading(const StateSolution& solution, int node, int black) {
    const auto index = static_cast<std::size_t>(node);
    const auto zero = static_cast<std::size_t>(black);
    const std::size_t count = solution.node_volts.size();
    if (!solution.converged || node < 0 || black < 0 || index >= count || zero >= count) {
        return std::nullopt;
    }
    const auto floats = [&solution](std::size_t at) {
        return at < solution.floating.size() && solution.floating[at] != 0;
    };
    if (floats(index) || floats(zero)) {
        return std::nullopt;
    }
    return solution.node_volts[index] - solution.node_volts[zero];
}

std::string wires_text(const Vehicle& vehicle, const std::vector<WireId>& wires) {
    std::string out;
    for (const WireId id : wires) {
        out += (out.empty() ? "" : ", ") + vehicle.wire(id).number;
    }
    return out;
}

/// The states first to before `end` of the sizing.
Sheet table_of(const StudyInput& study, const Sizing& sizing, const std::vector<TestPlace>& places,
               std::size_t first, std::size_t end) {
    Sheet sheet;
    sheet.name = "first-power";
    sheet.title = "First power";
    sheet.columns = {text_column("done", "done"), text_column("place", "probe at"),
                     text_column("device", "device", true), text_column("at", "where", true),
                     text_column("wires", "wires", true)};
    for (std::size_t i = first; i < end; ++i) {
        const std::string name = state_name(study.vehicle, sizing.states[i]);
        sheet.columns.push_back(number_column("volts_" + name, name, "V", 2));
    }
    for (const TestPlace& place : places) {
        const Device& device = study.vehicle.device(place.at.device);
        std::vector<Cell> row = {std::string(), study.vehicle.show(place.at), device.title,
                                 device.at.is_valid() ? study.vehicle.point(device.at).name
                                                      : std::string(),
                                 wires_text(study.vehicle, place.wires)};
        for (std::size_t i = first; i < end; ++i) {
            if (place.volts[i]) {
                row.emplace_back(*place.volts[i]);
            } else {
                row.emplace_back();
            }
        }
        sheet.rows.push_back(std::move(row));
    }
    return sheet;
}

} // namespace

std::vector<TestPlace> test_places(const StudyInput& study, const Sizing& sizing) {
    const Vehicle& vehicle = study.vehicle;
    std::vector<std::vector<std::vector<WireId>>> ends(vehicle.devices.size());
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        ends[i].resize(vehicle.devices[i].terminals.size());
    }
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        for (const TerminalRef at : {vehicle.wires[i].from, vehicle.wires[i].to}) {
            ends[at.device.index()][static_cast<std::size_t>(at.terminal)].emplace_back(i);
        }
    }
    const int black = black_lead_node(study, sizing.states);
    std::vector<TestPlace> out;
    for (std::size_t d = 0; d < ends.size(); ++d) {
        if (vehicle.devices[d].as<Splice>() != nullptr) {
            continue;
        }
        for (std::size_t t = 0; t < ends[d].size(); ++t) {
            if (ends[d][t].empty()) {
                continue;
            }
            TestPlace place;
            place.at = {DeviceId(d), static_cast<int>(t)};
            place.wires = ends[d][t];
            for (const StateSolution& solution : sizing.states) {
                place.volts.push_back(reading(solution, study.network.node(place.at), black));
            }
            out.push_back(std::move(place));
        }
    }
    return out;
}

Sheet first_power_sheet(const StudyInput& study, const Sizing& sizing,
                        const std::vector<TestPlace>& places) {
    Sheet sheet = table_of(study, sizing, places, 0, sizing.states.size());
    sheet.notes = first_power_steps();
    return sheet;
}

std::vector<Sheet> first_power_tables(const StudyInput& study, const Sizing& sizing,
                                      const std::vector<TestPlace>& places,
                                      std::size_t states_a_table) {
    std::vector<Sheet> out;
    for (std::size_t first = 0; first < sizing.states.size(); first += states_a_table) {
        const std::size_t end = std::min(first + states_a_table, sizing.states.size());
        out.push_back(table_of(study, sizing, places, first, end));
    }
    return out;
}

std::vector<std::string> first_power_steps() {
    return {
        "Voltages are against the minus post of the battery: the black lead stays on it. An empty "
        "field means that nothing holds the terminal at a voltage in that state, or that the state "
        "has no answer.",
        "They are those of the design, with every part as its data says. Where the meter differs "
        "by "
        "more than a tenth of the battery's voltage, find out why before going on (common "
        "practice, "
        "no source).",
        "First, with no fuse in place and the continuity sheet done: from the battery's plus lead, "
        "off its post, to the minus lead there must be no connection beyond the parked car's own "
        "loads. Then connect minus last, through a lamp of 21 W or a fuse of 5 A.",
        "Then put in one fuse at a time, nearest the battery first; after each, compare its line "
        "and those behind it in the state that the car is in. A fuse that opens, or the lamp "
        "alight, "
        "stops the work. (All common practice, no source.)"};
}

} // namespace loomwright
