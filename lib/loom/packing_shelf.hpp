// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/packing.hpp"

#include <cstddef>
#include <map>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

namespace loomwright {

/// Packings that were found for one car, for further cars that are alike. What is found goes by the
/// radii and the care alone, so one taken from here is what looking once more would find. Several
/// threads may use one shelf.
class PackingShelf {
public:
    [[nodiscard]] std::optional<Packing> find(const std::vector<double>& radii_m,
                                              PackingCare care) const;
    /// One that is here already, or has no room any more, is let go.
    void keep(const std::vector<double>& radii_m, PackingCare care, const Packing& packing);

private:
    mutable std::mutex mutex_;
    std::map<std::pair<PackingCare, std::vector<double>>, Packing> known_;
    std::size_t circles_ = 0;
};

} // namespace loomwright
