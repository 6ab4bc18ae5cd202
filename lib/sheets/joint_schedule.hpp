// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

namespace loomwright {

/// Splices (those to supplied leads and to links among them), studs, grounds and screens, a line a
/// wire: the place along the loom, sizes and colours, their area together, what is crimped on,
/// strip, crimp height, and what covers it. Lugs stand in the order of stacking, the thickest on
/// the bolted surface.
[[nodiscard]] Sheet joint_schedule(const StudyInput& study, const Sizing& sizing);

} // namespace loomwright
