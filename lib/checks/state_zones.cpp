// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/state_zones.hpp"

#include "network/feed_layout.hpp"
#include "study/shelves.hpp"

namespace loomwright {
namespace {

using Zones = std::vector<SourceZone>;

} // namespace

SourceZonesByState zones_by_state(const CheckInput& input) {
    const StudyInput& study = input.study;
    FeedShelf<Zones> own;
    auto* const shared = shelf_of<FeedShelf<Zones>>(study);
    const auto shelf =
        (shared != nullptr ? *shared : own).of(feed_layout(study.vehicle, study.network));
    const auto none = std::make_shared<const Zones>();
    SourceZonesByState out;
    for (const StateSolution& state : input.sizing.states) {
        const auto find = [&] {
            return std::make_shared<const Zones>(
                source_zones(study.vehicle, study.network, state.closed));
        };
        out.push_back(state.converged ? shelf->of(state.closed, find) : none);
    }
    return out;
}

} // namespace loomwright
