// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

namespace loomwright {

/// True when current that enters a device at one terminal can, in some state, leave it at another.
[[nodiscard]] bool can_pass(const Vehicle& vehicle, DeviceId id, int in, int out);

} // namespace loomwright
