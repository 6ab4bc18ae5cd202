// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "checks/state_zones.hpp"
#include "sizing/selectivity.hpp"
#include "study/prospective.hpp"

#include <vector>

namespace loomwright {

/// fuse-inrush: what starts behind a protective device.
void check_fuse_starts(const CheckInput& input, Findings& findings);

/// breaking-capacity: the greatest short behind a protective device. `prospects` by DeviceId.
void check_breaking(const CheckInput& input, const std::vector<ProspectPair>& prospects,
                    Findings& findings);

/// Two protective devices in series.
struct SeriesPair {
    DeviceId lower;
    DeviceId upper;
    double most_a = 0.0; ///< that a fault sends through both, in any state, from any source
    /// The first loads, in the order of the network, that hang on the upper and not on the lower;
    /// none: whichever opens, the same goes dead.
    std::vector<DeviceId> others;
};
/// Every pair, by the lower in the order of the file, the nearest first.
[[nodiscard]] std::vector<SeriesPair> series_pairs(const CheckInput& input,
                                                   const SourceZonesByState& zones,
                                                   const std::vector<ProspectPair>& prospects);
/// At its rating in the design; empty for a device without one.
[[nodiscard]] TimeCurrentBand device_band(const CheckInput& input, DeviceId device);
/// Both have ratings, and the side of its band that counts is known of each.
[[nodiscard]] bool can_be_compared(const TimeCurrentBand& lower, const TimeCurrentBand& upper);

/// selectivity: of every two protective devices in series, which opens first.
void check_selectivity(const CheckInput& input, const SourceZonesByState& zones,
                       const std::vector<ProspectPair>& prospects, Findings& findings);

} // namespace loomwright
