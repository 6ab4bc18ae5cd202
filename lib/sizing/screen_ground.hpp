// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// True where a screen may be drained: on the metal of the car or what wires alone join to it, at a
/// ground of a controller, at a terminal 31 (DIN 72552), or at one whose own name says ground,
/// shield or screen (a controller's ground for its sensors, which is joined to the body inside).
/// `ground` is ground_nodes of the network.
[[nodiscard]] bool is_screen_ground(const Vehicle& vehicle, const Network& network,
                                    const std::vector<std::uint8_t>& ground, TerminalRef at);

} // namespace loomwright
