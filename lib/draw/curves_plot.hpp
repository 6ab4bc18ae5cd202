// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/log_plot.hpp"
#include "sizing/sizing.hpp"

namespace loomwright {

/// The time-current band of a protective device with what must stand on either side of it: the wire
/// it protects, the loads it carries and their starts, the currents of dead shorts, and the devices
/// that feed it. `device` is a protective device of the vehicle.
[[nodiscard]] LogPlot curves_plot(const StudyInput& study, const Sizing& sizing, DeviceId device);

} // namespace loomwright
