// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// By node: 1 for the metal of the car and what wires alone join to it.
[[nodiscard]] std::vector<std::uint8_t> ground_nodes(const Network& network);

} // namespace loomwright
