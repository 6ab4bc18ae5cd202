// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/state_zones.hpp"

namespace loomwright {

SourceZonesByState zones_by_state(const CheckInput& input) {
    SourceZonesByState out;
    for (const StateSolution& state : input.sizing.states) {
        out.push_back(state.converged
                          ? source_zones(input.study.vehicle, input.study.network, state.closed)
                          : std::vector<SourceZone>());
    }
    return out;
}

} // namespace loomwright
