// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/shelf.hpp"
#include "solve/warming.hpp"

#include <array>
#include <memory>
#include <optional>

namespace loomwright::solve {

/// Tables of how conductors warm up alone, each kind of wire under each cover in each air worked
/// out once. Several threads may use one shelf.
class WarmingShelf {
public:
    /// Temperatures of the air in degrees Celsius.
    [[nodiscard]] std::shared_ptr<const Warming> of(const WireBody& body,
                                                    const std::optional<Cover>& cover,
                                                    double capacity_j_per_m_k, double air_c);

private:
    using Key = std::array<double, 17>;               ///< all that a table goes by
    static constexpr std::size_t most_tables = 5'000; ///< of 1.6 KB each

    Shelf<Key, const Warming> known_{most_tables};
};

/// From a shelf, if there is one.
[[nodiscard]] std::shared_ptr<const Warming> find_warming(WarmingShelf* shelf, const WireBody& body,
                                                          const std::optional<Cover>& cover,
                                                          double capacity_j_per_m_k, double air_c);

} // namespace loomwright::solve
