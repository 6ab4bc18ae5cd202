// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <vector>

namespace loomwright {

/// Where a splice is built: so far along a run from the point that the file gives it.
struct SplicePlace {
    DeviceId splice;
    PointId point;         ///< invalid: nowhere
    RunId along;           ///< that most of its wires take; invalid: none takes a run
    Metres offset;         ///< from the point
    bool is_given = false; ///< the file says the offset
    bool has_room = true;  ///< false: no place in the run is far enough from the others
};

struct WireRoute;

/// Places of all splices, in the order of the file. `ways` are the wires' ways by WireId,
/// `run_lengths` by RunId. An offset of the file is kept; the others of a run are set apart from
/// them and from one another by `stagger`, the first at its point.
[[nodiscard]] std::vector<SplicePlace> place_splices(const Vehicle& vehicle,
                                                     const std::vector<WireRoute>& ways,
                                                     const std::vector<Metres>& run_lengths,
                                                     Metres stagger);

/// What the places of splices add to the way of a wire (negative: take off it). The run in which a
/// splice is built comes to it that much sooner, every other way that much later.
[[nodiscard]] Metres splice_detour(const Wire& wire, const WireRoute& way,
                                   const std::vector<SplicePlace>& places,
                                   const std::vector<int>& place_of_device);

/// By DeviceId: index into `places`; -1 for what is no splice.
[[nodiscard]] std::vector<int> places_by_device(const Vehicle& vehicle,
                                                const std::vector<SplicePlace>& places);

/// Position of a splice in its run, from the run's `from`.
[[nodiscard]] Metres position_in_run(const Vehicle& vehicle, const SplicePlace& place,
                                     Metres run_length);

} // namespace loomwright
