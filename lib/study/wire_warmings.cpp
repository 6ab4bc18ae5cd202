// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/wire_warmings.hpp"

namespace loomwright {

const solve::Warming& WireWarmings::of(std::size_t wire, std::size_t cover, double air_c) {
    const WirePlan& plan = plan_.wires[wire];
    const auto key = std::tuple(plan.body, static_cast<int>(cover), air_c);
    auto found = known_.find(key);
    if (found == known_.end()) {
        const solve::WireBody& body = plan_.bodies[static_cast<std::size_t>(plan.body)].wire;
        const solve::Skin skin(body.outside_diameter_m, body.emissivity,
                               plan_.bundles.covers[cover]);
        const double held = solve::copper_j_per_m_k(plan.conductor->copper_area.value());
        found = known_.emplace(key, solve::Warming(body, skin, held, air_c)).first;
    }
    return found->second;
}

} // namespace loomwright
