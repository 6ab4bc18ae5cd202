// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "loom/splice_places.hpp"
#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// How a wire's length came about.
enum class LengthSource : std::uint8_t {
    measured,   ///< `measured:` on the wire
    written,    ///< `length:` on the wire
    routed,     ///< runs + allowances
    estimated,  ///< runs + allowances, and a run's length is from coordinates
    same_place, ///< both ends at one point: allowances only
    assumed,    ///< an end has no place: the default of the tables
};

/// The way of one wire through the body and what it meets there.
struct WireRoute {
    std::vector<RunId> runs; ///< in order from the wire's `from` end
    PointId start;           ///< invalid where the device has no place
    PointId end;
    Metres runs_length; ///< sum over `runs`
    Metres allowance;   ///< take-out, service loop, strip: both ends together
    Metres detour;      ///< to splices that are set apart along their run; may be negative
    Metres length;      ///< what is cut
    LengthSource source = LengthSource::assumed;
    ZoneId hottest; ///< zone with the hottest air on the way; invalid: default air
    bool is_wet = false;
};

/// Routes of every wire and the wires of every run.
struct Routing {
    std::vector<WireRoute> wires;               ///< by WireId
    std::vector<std::vector<WireId>> run_wires; ///< by RunId, in the order of the file; once a pass
    std::vector<Metres> run_lengths;  ///< by RunId: as written, or estimated from the ends' places
    std::vector<ZoneId> run_zones;    ///< by RunId: as written, or the hotter of the ends' zones
    std::vector<SplicePlace> splices; ///< in the order of the file
};

/// Cheapest ways (Dijkstra, Boost.Graph) for every wire whose ends have places; `via` and `avoid`
/// are kept. No way between two points: finding no-route. A device inside a unit is where the unit
/// is; a wire to a terminal with a supplied lead ends where the harness comes out.
[[nodiscard]] Routing route_wires(const Vehicle& vehicle, const Catalogue& catalogue,
                                  Findings& findings);

/// Air round a wire in a state: the state's own air, else that of the hottest zone on its way, else
/// the default of the tables.
[[nodiscard]] Celsius air_of(const Vehicle& vehicle, const Catalogue& catalogue,
                             const WireRoute& route, const State* state);

/// Where a wire's end is: the device's place, its housing's, or where its supplied harness comes
/// out.
[[nodiscard]] PointId place_of(const Vehicle& vehicle, TerminalRef end);

/// Index of the lead of a supplied harness that is made on to this terminal.
struct LeadRef {
    int harness = -1; ///< into Vehicle::supplied; -1: none
    int lead = -1;
};
[[nodiscard]] LeadRef supplied_lead(const Vehicle& vehicle, TerminalRef end);

} // namespace loomwright
