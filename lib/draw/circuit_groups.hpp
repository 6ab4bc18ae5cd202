// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/feed_groups.hpp"

#include <map>
#include <set>
#include <vector>

namespace loomwright::draw {

/// The wires of a car by circuit, for the page of one: a group for each circuit, in the order of
/// the file, with the direction of the feed.
struct CircuitGroups {
    FeedGroups groups;
    /// Circuits whose wires at a device of the page are not drawn: by device.
    std::map<DeviceId, std::set<CircuitId>> not_drawn;
};

/// Wires of another circuit that are drawn at one terminal, one way; of more none is.
inline constexpr std::size_t most_foreign_wires = 3;

/// The group of `circuit` has its own wires and, where one of its devices goes on in another
/// circuit, the wires there; at a terminal with many of them, and at devices with many terminals,
/// they are counted in `not_drawn` instead. Every part that a wire of the circuit ends at is drawn
/// in its group, any other part in the circuit of the wire that feeds it.
[[nodiscard]] CircuitGroups group_circuits(const Vehicle& vehicle, CircuitId circuit);

} // namespace loomwright::draw
