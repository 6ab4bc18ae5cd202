// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <span>

namespace loomwright {

/// The node that the black lead of the meter is on: the minus post of the first battery, in a row
/// of batteries of the lowest (which that is, any state that is solved shows); without a battery
/// the metal of the car; -1: neither.
[[nodiscard]] int black_lead_node(const StudyInput& study, std::span<const StateSolution> states);

} // namespace loomwright
