// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "solve/laws.hpp"

namespace loomwright::solve {

BranchCurrent branch_current(Law law, double a, double b, double c, double volts) {
    return law_current(law, a, b, c, volts, 0.0);
}

} // namespace loomwright::solve
