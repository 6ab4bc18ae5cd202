// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/time_current.hpp"

#include <optional>
#include <vector>

namespace loomwright {

/// Where a device above another may open before it.
struct LostSelectivity {
    double amps = 0.0;             ///< least current through both
    std::optional<double> lower_s; ///< the lower has opened by then; nothing: it may stay closed
    double upper_s = 0.0;          ///< the upper may open then
};

/// The least current, up to `most_a`, at which the lower device's longest opening time is not
/// shorter than the upper's shortest: there the upper may open first. Nothing: it never may.
[[nodiscard]] std::optional<LostSelectivity>
find_lost_selectivity(const TimeCurrentBand& lower, const TimeCurrentBand& upper, double most_a);

/// The currents at which a race between the two is told: the gates of both at which the upper may
/// open, and `most_a`.
[[nodiscard]] std::vector<double> compared_currents(const TimeCurrentBand& lower,
                                                    const TimeCurrentBand& upper, double most_a);

} // namespace loomwright
