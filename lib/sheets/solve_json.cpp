// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The states as JSON, a row of every list on a line of its own. A large car has a hundred thousand
// rows: they are written as they come and not first built as a tree.
#include "sheets/json.hpp"

#include "base/side_by_side.hpp"
#include "sheets/device_elements.hpp"
#include "sheets/json_text.hpp"
#include "sizing/limits.hpp"

#include <string>
#include <string_view>

namespace loomwright {
namespace {

using Buffer = std::string;

// What a row mostly takes, so that the text of a large car is not moved as it grows.
constexpr std::size_t node_bytes = 64;
constexpr std::size_t wire_bytes = 144;
constexpr std::size_t device_bytes = 128;

/// The rows of one list: begins each on a new line.
class StateRows {
public:
    StateRows(Buffer& out, std::string_view name) : out_(out) {
        out_.append(",\n   \"");
        out_.append(name);
        out_.append("\": [");
    }
    void begin(std::string_view key, std::string_view name) {
        out_.append(is_first_ ? "\n    {\"" : "},\n    {\"");
        is_first_ = false;
        out_.append(key);
        out_.append("\": ");
        add_json_text(out_, name);
    }
    void number(std::string_view key, bool is_defined, double value) {
        begin_field(key);
        add_json_number(out_, is_defined, value);
    }
    void truth(std::string_view key, bool is_defined, bool value) {
        begin_field(key);
        out_.append(!is_defined ? "null" : value ? "true" : "false");
    }
    void end() { out_.append(is_first_ ? "]" : "}\n   ]"); }

private:
    void begin_field(std::string_view key) {
        out_.append(", \"");
        out_.append(key);
        out_.append("\": ");
    }
    Buffer& out_;
    bool is_first_ = true;
};

void add_nodes(Buffer& out, const StudyInput& study, const StateSolution& solution) {
    StateRows rows(out, "nodes");
    for (std::size_t i = 0; i < study.network.node_names.size(); ++i) {
        const bool is_defined = solution.converged && i < solution.node_volts.size() &&
                                (i >= solution.floating.size() || solution.floating[i] == 0);
        rows.begin("node", study.network.node_names[i]);
        rows.number("volts", is_defined, is_defined ? solution.node_volts[i] : 0.0);
    }
    rows.end();
}

void add_wires(Buffer& out, const StudyInput& study, const StateSolution& solution) {
    StateRows rows(out, "wires");
    for (std::size_t i = 0; i < study.vehicle.wires.size(); ++i) {
        const bool is_defined = solution.converged && i < solution.wires.size();
        const WireState state = is_defined ? solution.wires[i] : WireState{};
        rows.begin("wire", study.vehicle.wires[i].number);
        rows.number("amps", is_defined, state.amps);
        rows.number("drop_v", is_defined, state.drop_v);
        rows.number("conductor_c", is_defined, state.conductor_c);
    }
    rows.end();
}

void add_devices(Buffer& out, const StudyInput& study, const StateSolution& solution) {
    StateRows rows(out, "devices");
    for (std::size_t i = 0; i < study.vehicle.devices.size(); ++i) {
        if (!has_element(study, i)) {
            continue;
        }
        const bool is_defined = solution.converged && i < solution.devices.size();
        const DeviceState state = is_defined ? solution.devices[i] : DeviceState{};
        rows.begin("device", study.vehicle.devices[i].name);
        rows.number("volts", is_defined, state.volts);
        rows.number("amps", is_defined, state.amps);
        rows.truth("on", is_defined, state.on);
    }
    rows.end();
}

void add_lists(Buffer& out, const StudyInput& study, const StateSolution& solution) {
    if (study.vehicle.wires.size() < rows_worth_a_thread) {
        add_nodes(out, study, solution);
        add_wires(out, study, solution);
        add_devices(out, study, solution);
        return;
    }
    Buffer wires;
    Buffer devices;
    wires.reserve(study.vehicle.wires.size() * wire_bytes);
    devices.reserve(study.vehicle.devices.size() * device_bytes);
    side_by_side(1, [&](std::size_t number) {
        if (number == 0) {
            add_nodes(out, study, solution);
            add_devices(devices, study, solution);
        } else {
            add_wires(wires, study, solution);
        }
    });
    out.append(wires);
    out.append(devices);
}

} // namespace

std::string solve_json(const StudyInput& study, std::span<const StateSolution> states) {
    Buffer out;
    out.reserve(states.size() * (study.network.node_names.size() * node_bytes +
                                 study.vehicle.wires.size() * wire_bytes +
                                 study.vehicle.devices.size() * device_bytes));
    out.append("{\n \"states\": [");
    for (std::size_t i = 0; i < states.size(); ++i) {
        const StateSolution& solution = states[i];
        out.append(i == 0 ? "\n  {\n   \"state\": " : ",\n  {\n   \"state\": ");
        add_json_text(out, state_name(study.vehicle, solution.state));
        out.append(",\n   \"converged\": ");
        out.append(solution.converged ? "true" : "false");
        out.append(",\n   \"imbalance_a\": ");
        add_json_number(out, solution.converged, solution.imbalance_a);
        out.append(",\n   \"power_error\": ");
        add_json_number(out, solution.converged, solution.power_error);
        add_lists(out, study, solution);
        out.append("\n  }");
    }
    out.append(states.empty() ? "]\n}\n" : "\n ]\n}\n");
    return out;
}

} // namespace loomwright
