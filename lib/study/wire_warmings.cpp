// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/wire_warmings.hpp"

#include "study/shelves.hpp"

namespace loomwright {

WireWarmings::WireWarmings(const StudyPlan& plan)
    : plan_(plan), shelf_(shelf_of<solve::WarmingShelf>(plan.input)) {}

const solve::Warming& WireWarmings::of(std::size_t wire, std::size_t cover, double air_c) {
    const WirePlan& plan = plan_.wires[wire];
    const auto key = std::tuple(plan.body, static_cast<int>(cover), air_c);
    auto found = known_.find(key);
    if (found == known_.end()) {
        const solve::WireBody& body = plan_.bodies[static_cast<std::size_t>(plan.body)].wire;
        const double held = solve::copper_j_per_m_k(plan.conductor->copper_area.value());
        found = known_
                    .emplace(key, solve::find_warming(shelf_, body, plan_.bundles.covers[cover],
                                                      held, air_c))
                    .first;
    }
    return *found->second;
}

} // namespace loomwright
