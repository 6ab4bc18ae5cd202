// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/screened_cable.hpp"

#include "loom/places.hpp"

#include <algorithm>
#include <utility>

namespace loomwright {
namespace {

CableEnd end_of(const Vehicle& vehicle, TerminalRef at, PointId point) {
    if (point.is_valid()) {
        return {point, {}};
    }
    const Device& device = vehicle.device(at.device);
    const DeviceId part = device.housing.is_valid() ? device.housing : at.device;
    const auto* connector = vehicle.device(part).as<Connector>();
    // Two halves that are mated are one place.
    return {{},
            connector != nullptr && connector->mate.is_valid() ? std::min(part, connector->mate)
                                                               : part};
}

std::vector<RunId> runs_in_order(const WireRoute& route) {
    std::vector<RunId> out = route.runs;
    std::ranges::sort(out);
    return out;
}

/// The wires between one pair of places: one section of the cable.
struct Section {
    CableEnd a;
    CableEnd b;
    WireId first;
};

} // namespace

bool is_at(const Vehicle& vehicle, TerminalRef terminal, const CableEnd& end) {
    return end_of(vehicle, terminal, place_of(vehicle, terminal)) == end;
}

bool may_be_at(const Vehicle& vehicle, TerminalRef terminal, const CableEnd& end) {
    const PointId place = place_of(vehicle, terminal);
    return !place.is_valid() || !end.point.is_valid() || place == end.point;
}

ScreenedCable screened_cable(const Vehicle& vehicle, const Routing& routing, const Shield& shield) {
    ScreenedCable out;
    std::vector<Section> sections;
    std::vector<std::pair<CableEnd, int>> met; // places, and how many sections end there
    const auto meet = [&met](const CableEnd& end) {
        const auto found = std::ranges::find(met, end, &std::pair<CableEnd, int>::first);
        if (found == met.end()) {
            met.emplace_back(end, 1);
        } else {
            ++found->second;
        }
    };
    for (const Given<WireId>& given : shield.around) {
        const Wire& wire = vehicle.wire(given.value);
        const WireRoute& route = routing.wires[given.value.index()];
        out.lies_in_run = out.lies_in_run || !route.runs.empty();
        const CableEnd from = end_of(vehicle, wire.from, route.start);
        const CableEnd to = end_of(vehicle, wire.to, route.end);
        if (from == to) {
            continue; // leads nowhere: no section of the cable
        }
        const CableEnd& a = std::min(from, to);
        const CableEnd& b = std::max(from, to);
        const auto same = std::ranges::find_if(
            sections, [&](const Section& section) { return section.a == a && section.b == b; });
        if (same == sections.end()) {
            sections.push_back({a, b, given.value});
            meet(from);
            meet(to);
        } else if (!out.strays &&
                   runs_in_order(route) != runs_in_order(routing.wires[same->first.index()])) {
            out.strays = given.value;
        }
    }
    for (const auto& [end, sections_there] : met) {
        if (sections_there == 1) {
            out.ends.push_back(end);
        }
    }
    return out;
}

} // namespace loomwright
