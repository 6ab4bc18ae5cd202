// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/black_lead.hpp"

#include <algorithm>

namespace loomwright {
namespace {

/// Less than this between two minus posts is what their cables lose; more is a battery.
constexpr double one_post_v = 1.0;

} // namespace

int black_lead_node(const StudyInput& study, std::span<const StateSolution> states) {
    const auto solved = std::ranges::find(states, true, &StateSolution::converged);
    int lowest = -1;
    for (const DeviceId id : devices_of<Battery>(study.vehicle)) {
        const int minus = study.vehicle.device(id).terminal("-");
        if (minus < 0) {
            continue;
        }
        const int node = study.network.node({id, minus});
        const auto volts = [solved](int at) {
            return solved->node_volts[static_cast<std::size_t>(at)];
        };
        if (lowest < 0 || (solved != states.end() && volts(node) < volts(lowest) - one_post_v)) {
            lowest = node;
        }
    }
    return lowest < 0 ? study.network.reference : lowest;
}

} // namespace loomwright
