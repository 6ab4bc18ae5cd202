// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <limits>
#include <span>
#include <string>
#include <vector>

namespace loomwright {

/// How far a fixed lead of a supplied harness comes on its way to what it feeds.
struct LeadReach {
    int harness = -1; ///< into Vehicle::supplied
    int lead = -1;
    PointId from;       ///< where the harness comes out
    PointId to;         ///< of the far end of what is joined to it; invalid: nothing with a place
    std::string joined; ///< "F21.out": that far end; "" for none
    double length_m = 0.0; ///< of the lead, which is not cut
    /// Of the way through the runs and what one end takes to be made; infinite: no way.
    double needed_m = 0.0;
    [[nodiscard]] double slack_m() const { return length_m - needed_m; } ///< < 0: it falls short
    [[nodiscard]] bool is_joined() const { return to.is_valid(); }
    [[nodiscard]] bool reaches() const { return is_joined() && slack_m() >= 0.0; }
};

/// Every lead of the supplied harnesses, in the order of the file.
[[nodiscard]] std::vector<LeadReach> lead_reaches(const Vehicle& vehicle,
                                                  const Catalogue& catalogue);

/// A point of the body as the place of something.
struct PlaceChoice {
    PointId point;
    bool is_now = false;    ///< where it is in the file
    int unrouted = 0;       ///< its wires to which no way leads from there
    int leads_reaching = 0; ///< of its supplied harnesses, where their trunks reach
    int leads = 0;          ///< of those that are joined to something with a place
    /// Of the supplied harness with the least to spare: its trunk less the way from the point to
    /// where its leads come out; infinite: it has none, or they come out where it is.
    double trunk_slack_m = std::numeric_limits<double>::infinity();
    double wire_m = 0.0;     ///< of all its wires, as cut
    double copper_m3 = 0.0;  ///< in them
    double counted_m3 = 0.0; ///< the same with what is set against hot, wet, moving and seen runs
    double air_c = 0.0;      ///< at the point
    double hottest_c = 0.0;  ///< that its wires meet
    bool is_wet = false;     ///< the point's zone
    double seen_m = 0.0;     ///< of its wires in runs that are in view
};

/// Every point as the place of these devices, all moved together, the best first: all wires have a
/// way, the trunks of their harnesses reach, most leads reach, least copper counted, then the order
/// of the file. `area_m2` by WireId is
/// the copper of each wire; wires with a length of their own in the file keep it.
[[nodiscard]] std::vector<PlaceChoice> place_choices(const Vehicle& vehicle,
                                                     const Catalogue& catalogue,
                                                     std::span<const DeviceId> devices,
                                                     const std::vector<double>& area_m2);

/// The devices that a name means: a device, or all that are at a point (a fuse panel).
[[nodiscard]] std::vector<DeviceId> devices_at(const Vehicle& vehicle, std::string_view name);

} // namespace loomwright
