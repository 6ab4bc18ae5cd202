// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

namespace loomwright {

/// What a controller is left with.
struct ControllerSupply {
    double volts = 0.0; ///< 0: no feed is live
    int feed = -1;      ///< terminal
};

/// Voltage of the controller's worst live feed over its worst ground. A feed under half of the best
/// one is switched off, not weak. A controller that has switched feeds is awake by one of them:
/// what is always live only keeps its memory.
[[nodiscard]] ControllerSupply controller_supply(const Network& network, DeviceId id,
                                                 const Controller& controller,
                                                 const StateSolution& solution);

} // namespace loomwright
