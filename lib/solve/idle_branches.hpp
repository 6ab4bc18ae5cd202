// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/pattern.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve {

/// 1 for each branch that carries no current whatever its parameters are, because no loop leads
/// through it and a source: what hangs behind an open contact. Branches of role `absent` are not
/// looked at and stay 0. Node numbers must have been checked.
[[nodiscard]] std::vector<std::uint8_t> idle_branches(const Circuit& circuit,
                                                      const std::vector<Role>& roles);

} // namespace loomwright::solve
