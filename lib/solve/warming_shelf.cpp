// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/warming_shelf.hpp"

#include <cstddef>

namespace loomwright::solve {
namespace {

constexpr std::size_t most_tables = 5'000; ///< of 1.6 KB each; more are worked out each time

} // namespace

std::shared_ptr<const Warming> WarmingShelf::of(const WireBody& body, double capacity_j_per_m_k,
                                                double air_c) {
    const Key key = {body.r20_ohm_per_m,
                     body.conductor_diameter_m,
                     body.outside_diameter_m,
                     body.insulation_w_per_m_k,
                     body.emissivity,
                     capacity_j_per_m_k,
                     air_c};
    {
        const std::lock_guard lock(mutex_);
        if (const auto found = known_.find(key); found != known_.end()) {
            return found->second;
        }
    }
    auto made = std::make_shared<const Warming>(
        body, Skin(body.outside_diameter_m, body.emissivity), capacity_j_per_m_k, air_c);
    const std::lock_guard lock(mutex_);
    if (known_.size() < most_tables) {
        known_.try_emplace(key, made);
    }
    return made;
}

} // namespace loomwright::solve
