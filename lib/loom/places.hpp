// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <vector>

namespace loomwright {

/// Where the ends of wires are.
class Places {
public:
    explicit Places(const Vehicle& vehicle);
    /// The device's place, its housing's, or where its supplied harness comes out; invalid:
    /// nowhere.
    [[nodiscard]] PointId of(TerminalRef end) const;

private:
    std::vector<PointId> device_; ///< by DeviceId
    std::vector<std::vector<PointId>>
        lead_terminal_; ///< by DeviceId, by terminal; empty: no harness
};

/// The device's place, or that of its housing; invalid: nowhere.
[[nodiscard]] PointId device_place(const Vehicle& vehicle, DeviceId id);

/// What is cut beyond the way itself.
struct Allowances {
    Metres both_ends;  ///< take-out, service loop and strip of both ends together
    Metres same_place; ///< least length between two devices at one point
    Metres assumed;    ///< length of a wire with an end that has no place
};
[[nodiscard]] Allowances wire_allowances(const Vehicle& vehicle, const Catalogue& catalogue);

/// Length of every run: as written, or its ends' straight distance and something over.
[[nodiscard]] std::vector<Metres> estimate_run_lengths(const Vehicle& vehicle,
                                                       const Catalogue& catalogue);
/// Zone of every run: as written, or the hotter of its ends' zones.
[[nodiscard]] std::vector<ZoneId> run_zones(const Vehicle& vehicle);

} // namespace loomwright
