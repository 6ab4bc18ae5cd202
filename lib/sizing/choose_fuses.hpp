// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

namespace loomwright {

/// Chooses every `auto` rating from the solved states of `sizing` and writes it into its design; a
/// rating never falls below `least` (by DeviceId; 0 = free). Fills `sizing.fuses` but for what they
/// protect.
void choose_fuses(const StudyInput& input, const std::vector<double>& least, Sizing& sizing);

/// One finding for each `auto` rating that no standard one can be.
void report_fuses_not_found(const StudyInput& input, const Sizing& sizing, Findings& findings);

} // namespace loomwright
