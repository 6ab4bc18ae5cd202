// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/twists.hpp"

#include "loom/places.hpp"

#include <algorithm>
#include <map>
#include <string_view>
#include <tuple>

namespace loomwright {
namespace {

/// A part that wires of a pair end at: of joints only the place counts.
struct End {
    DeviceId device;
    PointId point;
    friend auto operator<=>(const End&, const End&) = default;
};

End end_of(const Vehicle& vehicle, const Places& places, TerminalRef at) {
    const Device& device = vehicle.device(at.device);
    const bool is_joint = device.as<Splice>() != nullptr || device.as<Stud>() != nullptr ||
                          device.as<Ground>() != nullptr;
    const PointId point = places.of(at);
    if (is_joint && point.is_valid()) {
        return {{}, point};
    }
    return {device.housing.is_valid() ? device.housing : at.device, {}};
}

} // namespace

std::vector<Twist> twists(const Vehicle& vehicle) {
    std::vector<Twist> out;
    std::map<std::tuple<std::string_view, End, End>, std::size_t> known; // index into out
    const Places places(vehicle);
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        if (wire.twisted.empty()) {
            continue;
        }
        const End from = end_of(vehicle, places, wire.from);
        const End to = end_of(vehicle, places, wire.to);
        const auto [at, is_new] =
            known.try_emplace({wire.twisted, std::min(from, to), std::max(from, to)}, out.size());
        if (is_new) {
            out.push_back({wire.twisted, {}});
        }
        out[at->second].wires.emplace_back(i);
    }
    return out;
}

} // namespace loomwright
