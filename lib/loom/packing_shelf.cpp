// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "loom/packing_shelf.hpp"

namespace loomwright {
namespace {

constexpr std::size_t most_circles = 200'000; ///< about 10 MB

} // namespace

std::optional<Packing> PackingShelf::find(const std::vector<double>& radii_m,
                                          PackingCare care) const {
    const std::lock_guard lock(mutex_);
    const auto found = known_.find({care, radii_m});
    return found == known_.end() ? std::nullopt : std::optional(found->second);
}

void PackingShelf::keep(const std::vector<double>& radii_m, PackingCare care,
                        const Packing& packing) {
    const std::lock_guard lock(mutex_);
    if (circles_ + radii_m.size() <= most_circles &&
        known_.try_emplace({care, radii_m}, packing).second) {
        circles_ += radii_m.size();
    }
}

} // namespace loomwright
