// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/faults.hpp"

#include <vector>

namespace loomwright {

/// When each protective device of a design opens, by DeviceId, for a sweep of faults. A device of
/// which nothing is known, and any other device, never does.
[[nodiscard]] std::vector<OpeningCurve> opening_curves(const StudyInput& input,
                                                       const Design& design);

} // namespace loomwright
