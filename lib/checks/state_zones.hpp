// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "network/zones.hpp"

#include <memory>
#include <vector>

namespace loomwright {

/// The protection zones of every source, by the place of the state in Sizing::states; none for a
/// state that has no answer.
using SourceZonesByState = std::vector<std::shared_ptr<const std::vector<SourceZone>>>;
[[nodiscard]] SourceZonesByState zones_by_state(const CheckInput& input);

} // namespace loomwright
