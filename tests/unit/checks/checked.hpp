// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "checks/fault_dangers.hpp"
#include "read/read.hpp"

#include <fstream>
#include <memory>
#include <sstream>
#include <string>

namespace loomwright {

/// A vehicle on its way through reading, sizing and checking, kept together.
struct Checked {
    SourceFiles files;
    Findings findings;
    Catalogue catalogue;
    Vehicle vehicle;
    Routing routing;
    Network network;
    Sizing sizing;
    bool is_sized = false;

    [[nodiscard]] StudyInput study() const { return {vehicle, catalogue, routing, network}; }
    /// The first finding of a rule (on a subject, when one is named); nullptr for none.
    [[nodiscard]] const Finding* find(Rule rule, std::string_view subject = {}) const {
        for (const Finding& finding : findings.all()) {
            if (finding.rule == rule && (subject.empty() || finding.subject == subject)) {
                return &finding;
            }
        }
        return nullptr;
    }
    /// Everything found, as people read it.
    [[nodiscard]] std::string text() const {
        std::string out;
        for (const Finding& finding : findings.all()) {
            out += describe(finding, files, false);
        }
        return out;
    }
    [[nodiscard]] const WireSizing& wire(std::string_view number) const {
        return sizing.wires[vehicle.find_wire(number).index()];
    }
    /// Size chosen for a wire, as people write it.
    [[nodiscard]] std::string size(std::string_view number) const {
        return show(sizing.design.wires[vehicle.find_wire(number).index()].conductor->size);
    }
    [[nodiscard]] const FuseSizing& fuse(std::string_view name) const {
        const DeviceId id = vehicle.find_device(name);
        for (const FuseSizing& row : sizing.fuses) {
            if (row.device == id) {
                return row;
            }
        }
        return sizing.fuses.front();
    }
};

inline std::string text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// Reads and sizes a vehicle, and checks it, with a sweep of faults or without.
inline std::unique_ptr<Checked> check_text(const std::string& text, const std::string& folder = {},
                                           bool with_checks = true, bool with_faults = false) {
    auto out = std::make_unique<Checked>();
    out->catalogue = load_catalogue(out->files, out->findings);
    const IncludeReader include = [&](const std::string& name,
                                      std::string& why_not) -> std::optional<std::string> {
        std::string found = folder.empty() ? std::string() : text_of(folder + "/" + name);
        if (found.empty()) {
            why_not = "there is no such file";
            return std::nullopt;
        }
        return found;
    };
    out->vehicle =
        read_vehicle("car.yaml", text, out->catalogue, include, out->files, out->findings);
    out->catalogue.take_curves(out->vehicle);
    if (out->findings.has_input_fault()) {
        return out;
    }
    out->routing = route_wires(out->vehicle, out->catalogue, out->findings);
    if (out->findings.has_input_fault()) {
        return out;
    }
    out->network = build_network(out->vehicle);
    out->sizing = size_vehicle(out->study(), out->findings);
    out->is_sized = true;
    if (with_checks) {
        const StudyInput study = out->study();
        FaultSweep sweep;
        if (with_faults) {
            sweep = sweep_faults(study, out->sizing, {});
        }
        check_vehicle({study, out->sizing, with_faults ? &sweep : nullptr}, out->findings);
    }
    return out;
}

} // namespace loomwright
