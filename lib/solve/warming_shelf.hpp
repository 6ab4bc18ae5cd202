// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/warming.hpp"

#include <array>
#include <map>
#include <memory>
#include <mutex>

namespace loomwright::solve {

/// Tables of how conductors warm up alone in still air, each kind of wire in each air worked out
/// once. Several threads may use one shelf.
class WarmingShelf {
public:
    /// Temperatures of the air in degrees Celsius.
    [[nodiscard]] std::shared_ptr<const Warming> of(const WireBody& body, double capacity_j_per_m_k,
                                                    double air_c);

private:
    using Key = std::array<double, 7>; ///< all that a table goes by
    std::mutex mutex_;
    std::map<Key, std::shared_ptr<const Warming>> known_;
};

} // namespace loomwright::solve
