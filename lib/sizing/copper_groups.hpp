// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// How each wire is fed, by WireId, without ratings. `ground`: by node, the metal of the car and
/// what wires alone join to it; `closed`: by branch, which conduct (empty: all).
[[nodiscard]] std::vector<WireFeed> feeds_of_wires(const StudyInput& input,
                                                   const std::vector<std::uint8_t>& ground,
                                                   const std::vector<std::uint8_t>& closed);

} // namespace loomwright
