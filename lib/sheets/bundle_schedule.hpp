// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/bundle.hpp"
#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <vector>

namespace loomwright {

/// The bundle of every run in the sizes that were chosen, by RunId.
[[nodiscard]] std::vector<RunBundle> bundle_schedule(const StudyInput& study, const Sizing& sizing);

/// The bundles as one table, a line for each run that has wires: diameters, cover and its size,
/// least bend, mass, supports, and the fuller of the passages at its ends.
[[nodiscard]] Sheet bundle_schedule_sheet(const StudyInput& study,
                                          const std::vector<RunBundle>& bundles);

} // namespace loomwright
