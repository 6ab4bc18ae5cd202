// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"

namespace loomwright {

/// fuse-missing: wires that a battery reaches with no protective device between. A stretch that
/// only leads to protective devices may be as long as the limit of its kind; the main cable of a
/// starter is noted, not faulted.
void check_unfused(const CheckInput& input, Findings& findings);

} // namespace loomwright
