// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/warming_shelf.hpp"

namespace loomwright::solve {

std::shared_ptr<const Warming> WarmingShelf::of(const WireBody& body, double capacity_j_per_m_k,
                                                double air_c) {
    const Key key = {body.r20_ohm_per_m,
                     body.conductor_diameter_m,
                     body.outside_diameter_m,
                     body.insulation_w_per_m_k,
                     body.emissivity,
                     capacity_j_per_m_k,
                     air_c};
    return known_.of(key, 1, [&] {
        return std::make_shared<const Warming>(body, Skin(body.outside_diameter_m, body.emissivity),
                                               capacity_j_per_m_k, air_c);
    });
}

} // namespace loomwright::solve
