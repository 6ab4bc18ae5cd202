// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/newton.hpp"

namespace loomwright::solve {

/// After a run that balanced: the term of a constant-power load that has pulled its own feed down
/// so far that it could not have its power at any voltage; -1 when there is none. May leave another
/// answer behind, in which fewer loads have dropped out.
[[nodiscard]] Index find_collapse(Newton& newton, int& iterations);

/// True when a constant-power load stands below its least voltage.
[[nodiscard]] bool has_dropped_out(const Newton& newton);

} // namespace loomwright::solve
