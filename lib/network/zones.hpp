// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// At which terminal the feed of a source comes into a protective device.
enum class FeedSide : std::uint8_t { from, to, either };

/// Which protective devices stand between one source and the conductors and loads of the car: a
/// dominator tree of the graph of feeds, with the source as its root.
struct SourceZone {
    DeviceId source;
    std::vector<std::uint8_t> is_fed;  ///< by branch: a feed of the source comes here
    std::vector<std::uint8_t> is_bare; ///< by branch: some way to it meets no protective device
    /// By branch: the last protective device that every way to it passes; of a protective device
    /// the one before it. Invalid: none.
    std::vector<DeviceId> nearest;
    /// By DeviceId, of a protective device: the one that every way to it passes before.
    std::vector<DeviceId> before;
    std::vector<FeedSide> side; ///< by DeviceId, of a protective device that is fed

    /// The devices that every way from the source to a branch passes, the nearest first.
    [[nodiscard]] std::vector<DeviceId> guards(int branch) const;
};

/// The zones of every source that is at work, in the order of its branches. `closed` says by branch
/// which conduct in the state; empty = all.
[[nodiscard]] std::vector<SourceZone> source_zones(const Vehicle& vehicle, const Network& network,
                                                   const std::vector<std::uint8_t>& closed);

} // namespace loomwright
