// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/log_plot.hpp"
#include "sizing/device_curves.hpp"
#include "sizing/sizing.hpp"
#include "study/prospective.hpp"

#include <optional>
#include <vector>

namespace loomwright {

/// The time-current band of a protective device with what must stand on either side of it: the wire
/// it protects, the loads it carries and their starts, the currents of dead shorts, and the devices
/// that feed it. `device` is a protective device of the vehicle.
[[nodiscard]] LogPlot curves_plot(const StudyInput& study, const Sizing& sizing, DeviceId device);

/// The least and the greatest dead short that a protective device has to open.
struct ShortsToOpen {
    std::optional<LeastShort> least;
    Prospect greatest;
};
/// By the place of each device in `sizing.fuses`: worked out together, for many plots.
[[nodiscard]] std::vector<ShortsToOpen> shorts_to_open(const StudyInput& study,
                                                       const Sizing& sizing);
/// The same plot with these figures at hand.
[[nodiscard]] LogPlot curves_plot(const StudyInput& study, const Sizing& sizing, DeviceId device,
                                  const ShortsToOpen& shorts);

} // namespace loomwright
