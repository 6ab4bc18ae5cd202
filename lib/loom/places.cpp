// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/places.hpp"

#include "loom/routing.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {

PointId device_place(const Vehicle& vehicle, DeviceId id) {
    // A housing inside a housing is followed up, but never round in a circle.
    for (int depth = 0; id.is_valid() && depth < 8; ++depth) {
        const Device& device = vehicle.device(id);
        if (device.at.is_valid()) {
            return device.at;
        }
        id = device.housing;
    }
    return {};
}

Places::Places(const Vehicle& vehicle) : lead_terminal_(vehicle.devices.size()) {
    device_.reserve(vehicle.devices.size());
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        device_.push_back(device_place(vehicle, DeviceId(i)));
    }
    for (const SuppliedHarness& harness : vehicle.supplied) {
        if (!harness.device.is_valid()) {
            continue;
        }
        auto& terminals = lead_terminal_[harness.device.index()];
        terminals.resize(vehicle.device(harness.device).terminals.size());
        for (const SuppliedLead& lead : harness.leads) {
            const auto at = static_cast<std::size_t>(lead.terminal);
            if (lead.terminal >= 0 && at < terminals.size() && !terminals[at].is_valid()) {
                terminals[at] = harness.from;
            }
        }
    }
}

PointId Places::of(TerminalRef end) const {
    if (!end.device.is_valid()) {
        return {};
    }
    const auto& leads = lead_terminal_[end.device.index()];
    const auto terminal = static_cast<std::size_t>(end.terminal);
    if (terminal < leads.size() && leads[terminal].is_valid()) {
        return leads[terminal];
    }
    return device_[end.device.index()];
}

PointId place_of(const Vehicle& vehicle, TerminalRef end) {
    const LeadRef lead = supplied_lead(vehicle, end);
    if (lead.harness >= 0) {
        const PointId from = vehicle.supplied[static_cast<std::size_t>(lead.harness)].from;
        if (from.is_valid()) {
            return from;
        }
    }
    return device_place(vehicle, end.device);
}

LeadRef supplied_lead(const Vehicle& vehicle, TerminalRef end) {
    for (std::size_t h = 0; h < vehicle.supplied.size(); ++h) {
        const SuppliedHarness& harness = vehicle.supplied[h];
        if (harness.device != end.device) {
            continue;
        }
        for (std::size_t l = 0; l < harness.leads.size(); ++l) {
            if (harness.leads[l].terminal == end.terminal) {
                return {.harness = static_cast<int>(h), .lead = static_cast<int>(l)};
            }
        }
    }
    return {};
}

Allowances wire_allowances(const Vehicle& vehicle, const Catalogue& catalogue) {
    const auto standard = [&](std::string_view name) {
        return Metres(catalogue.default_value(name).value);
    };
    const Policy& policy = vehicle.policy;
    const Metres take_out = policy.take_out ? policy.take_out->value : standard("take-out");
    const Metres service =
        policy.service_loop ? policy.service_loop->value : standard("service-loop");
    return {.both_ends = 2.0 * (take_out + service + standard("strip")),
            .same_place = standard("same-place-length"),
            .assumed = standard("assumed-length")};
}

std::vector<Metres> estimate_run_lengths(const Vehicle& vehicle, const Catalogue& catalogue) {
    std::vector<Metres> out;
    out.reserve(vehicle.runs.size());
    for (const Run& run : vehicle.runs) {
        const bool is_to_estimate = run.is_estimated && run.length <= Metres(0.0) &&
                                    run.from.is_valid() && run.to.is_valid();
        if (!is_to_estimate) {
            out.push_back(run.length);
            continue;
        }
        const auto& a = vehicle.point(run.from).at;
        const auto& b = vehicle.point(run.to).at;
        if (a && b) {
            out.emplace_back(std::hypot(((*a)[0] - (*b)[0]).value(), ((*a)[1] - (*b)[1]).value(),
                                        ((*a)[2] - (*b)[2]).value()));
        } else {
            out.emplace_back(catalogue.default_value("assumed-length").value);
        }
    }
    return out;
}

std::vector<ZoneId> run_zones(const Vehicle& vehicle) {
    std::vector<ZoneId> out;
    out.reserve(vehicle.runs.size());
    for (const Run& run : vehicle.runs) {
        ZoneId zone = run.zone;
        if (!zone.is_valid()) {
            for (const PointId point : {run.from, run.to}) {
                const ZoneId there = point.is_valid() ? vehicle.point(point).zone : ZoneId();
                if (there.is_valid() &&
                    (!zone.is_valid() || vehicle.zone(there).air > vehicle.zone(zone).air)) {
                    zone = there;
                }
            }
        }
        out.push_back(zone);
    }
    return out;
}

} // namespace loomwright
