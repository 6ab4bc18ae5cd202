// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "checks/state_zones.hpp"

namespace loomwright {

/// fuse-missing and unfused-length: wires that a battery feeds with no protective device before
/// them.
void check_unfused(const CheckInput& input, const SourceZonesByState& zones, Findings& findings);

} // namespace loomwright
