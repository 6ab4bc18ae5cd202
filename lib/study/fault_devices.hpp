// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

namespace loomwright {

/// What a fault may put out of work or wake: loads, sensors, controllers, relays, starters,
/// alternators and chargers.
[[nodiscard]] bool is_worker(const Device& device);

/// An alternator or a charger: a worker that feeds the others.
[[nodiscard]] bool gives_current(const Device& device);

/// It was at work and is no longer. An alternator or a charger that gives a hundredth of what it
/// gave has lost the car.
[[nodiscard]] bool has_died(const Device& device, const DeviceState& before,
                            const DeviceState& now);

} // namespace loomwright
