// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/warming_shelf.hpp"

namespace loomwright::solve {
namespace {

std::shared_ptr<const Warming> made_of(const WireBody& body, const std::optional<Cover>& cover,
                                       double capacity_j_per_m_k, double air_c) {
    return std::make_shared<const Warming>(
        body, Skin(body.outside_diameter_m, body.emissivity, cover), capacity_j_per_m_k, air_c);
}

} // namespace

std::shared_ptr<const Warming> WarmingShelf::of(const WireBody& body,
                                                const std::optional<Cover>& cover,
                                                double capacity_j_per_m_k, double air_c) {
    const Cover over = cover.value_or(Cover());
    const Key key = {body.r20_ohm_per_m,
                     body.conductor_diameter_m,
                     body.outside_diameter_m,
                     body.insulation_w_per_m_k,
                     body.emissivity,
                     capacity_j_per_m_k,
                     air_c,
                     cover ? 1.0 : 0.0,
                     over.gap_m,
                     over.gap_w_per_m_k,
                     over.wall_m,
                     over.wall_w_per_m_k,
                     over.duct_u ? 1.0 : 0.0,
                     over.duct_u.value_or(0.0),
                     over.duct_v,
                     over.duct_y,
                     over.emissivity};
    return known_.of(key, 1, [&] { return made_of(body, cover, capacity_j_per_m_k, air_c); });
}

std::shared_ptr<const Warming> find_warming(WarmingShelf* shelf, const WireBody& body,
                                            const std::optional<Cover>& cover,
                                            double capacity_j_per_m_k, double air_c) {
    return shelf != nullptr ? shelf->of(body, cover, capacity_j_per_m_k, air_c)
                            : made_of(body, cover, capacity_j_per_m_k, air_c);
}

} // namespace loomwright::solve
