// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// At which terminal the feed of a source comes into a protective device.
enum class FeedSide : std::uint8_t { from, to, either };

/// A branch that a feed of a source comes to.
struct FedBranch {
    int branch = 0;
    bool is_bare = false; ///< some way to it meets no protective device
    /// The last protective device that every way to it passes; of a protective device the one
    /// before it. Invalid: none.
    DeviceId nearest;
};

/// A protective device that a feed of a source comes to.
struct FedDevice {
    DeviceId device;
    DeviceId before; ///< the one that every way to it passes before it; invalid: none
    FeedSide side = FeedSide::either;
};

/// Which protective devices stand between one source and the conductors and loads that it feeds: a
/// dominator tree of the graph of feeds, with the source as its root. What it does not feed takes
/// no room, so that many sources with few branches each cost no more than one with many.
struct SourceZone {
    DeviceId source;
    std::vector<FedBranch> branches; ///< in the order of the network
    std::vector<FedDevice> devices;  ///< in the order of the file

    /// nullptr: no feed of the source comes there.
    [[nodiscard]] const FedBranch* find(int branch) const;
    [[nodiscard]] const FedDevice* find(DeviceId device) const;
    /// The devices that every way from the source to a branch passes, the nearest first; none for a
    /// branch that it does not feed.
    [[nodiscard]] std::vector<DeviceId> guards(int branch) const;
};

/// The zones of every source that is at work, in the order of its branches. `closed` says by branch
/// which conduct in the state; empty = all.
[[nodiscard]] std::vector<SourceZone> source_zones(const Vehicle& vehicle, const Network& network,
                                                   const std::vector<std::uint8_t>& closed);

} // namespace loomwright
