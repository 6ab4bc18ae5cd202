// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace loomwright::draw {

/// The wires behind one protective device, or behind a source before any protective device.
struct FeedGroup {
    DeviceId head;             ///< protective device or source; invalid: wires that nothing feeds
    int parent = -1;           ///< group that the head is fed from; -1 for a source
    std::vector<WireId> wires; ///< in the order in which current reaches them
    int continues = 0;         ///< 0; else the how-manieth part of a group too large for one frame
    std::string name;          ///< on paper; "": that of the head
};

/// Every wire in one group, with the direction of the feed.
struct FeedGroups {
    std::vector<FeedGroup> groups; ///< sources first, each followed by what it feeds, in file order
    std::vector<int> of_wire;      ///< by WireId
    std::vector<bool> is_against;  ///< by WireId: the feed runs from `to` to `from`
    /// By device, by terminal: the group in which current first reaches it (-1: never), and when.
    std::vector<std::vector<int>> of_terminal;
    std::vector<std::vector<int>> reached; ///< order of being reached, from 0; -1: never
};

/// Walks from the sources along wires, contacts and protective devices, then through the loads and
/// on to ground. A wire belongs to the protective device nearest before it; one fed from several,
/// to the first in the order of the walk.
[[nodiscard]] FeedGroups group_feeds(const Vehicle& vehicle);

/// What one frame holds and can still be read.
inline constexpr std::size_t most_wires_of_band = 60;

/// Cuts groups of more than `most_wires` into parts, each with whole branches of what the head
/// feeds.
void split_large_groups(const Vehicle& vehicle, FeedGroups& groups, std::size_t most_wires);

/// The terminal that a wire ends at, with a device inside a unit taken as the unit's terminal.
[[nodiscard]] TerminalRef outer_terminal(const Vehicle& vehicle, TerminalRef ref);

} // namespace loomwright::draw
