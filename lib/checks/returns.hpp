// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"

namespace loomwright {

/// no-return: loads and coils that a working source's plus reaches, with no way back to that
/// source's minus even when every contact is closed; in a car whose plus is on its metal the other
/// way round. A way back through another load counts in its own direction only.
void check_returns(const CheckInput& input, Findings& findings);

} // namespace loomwright
