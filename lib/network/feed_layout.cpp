// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/feed_layout.hpp"

#include <bit>

namespace loomwright {
namespace {

/// What a device says of a branch of its own that a feed goes by.
std::int64_t device_says(const Vehicle& vehicle, const Branch& branch) {
    if (!branch.device.is_valid()) {
        return 0;
    }
    const Device& device = vehicle.device(branch.device);
    if (const auto* alternator = device.as<Alternator>()) {
        return std::bit_cast<std::int64_t>(alternator->rated.value());
    }
    if (const auto* charger = device.as<Charger>()) {
        return std::bit_cast<std::int64_t>(charger->limit.value());
    }
    const auto* controller = device.as<Controller>();
    return controller != nullptr && branch.kind == BranchKind::output
               ? static_cast<std::int64_t>(
                     controller->parts[static_cast<std::size_t>(branch.part)].part)
               : 0;
}

template <typename Tag> std::int64_t number_of(Id<Tag> id) {
    return id.is_valid() ? static_cast<std::int64_t>(id.index()) : -1;
}

} // namespace

FeedLayout feed_layout(const Vehicle& vehicle, const Network& network) {
    FeedLayout out{network.node_count(), network.reference,
                   static_cast<std::int64_t>(network.body_nodes.size()),
                   static_cast<std::int64_t>(network.wire_branch.size())};
    out.reserve(out.size() + network.body_nodes.size() + network.wire_branch.size() +
                7 * network.branches.size());
    out.insert(out.end(), network.body_nodes.begin(), network.body_nodes.end());
    out.insert(out.end(), network.wire_branch.begin(), network.wire_branch.end());
    for (const Branch& branch : network.branches) {
        out.insert(out.end(), {static_cast<std::int64_t>(branch.kind), branch.from, branch.to,
                               number_of(branch.wire), number_of(branch.device), branch.part,
                               device_says(vehicle, branch)});
    }
    return out;
}

} // namespace loomwright
