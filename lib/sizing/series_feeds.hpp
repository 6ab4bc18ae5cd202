// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// By node of the network: the branches that meet there, in their order.
using BranchesByNode = std::vector<std::vector<int>>;
[[nodiscard]] BranchesByNode branches_by_node(const Network& network);

/// Completes how wires are fed by the protective devices that stand in series with them elsewhere:
/// behind a stretch that nothing protects against its source, and ahead of the loads whose current
/// a wire takes home. `closed`: branches that conduct, empty for all; `ground`: nodes of the metal
/// of the car and what wires alone join to it.
void add_series_devices(const StudyInput& input, const BranchesByNode& branches,
                        const std::vector<std::uint8_t>& closed,
                        const std::vector<std::uint8_t>& ground, std::vector<WireFeed>& feeds);

} // namespace loomwright
