// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/opening.hpp"
#include "study/operating.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace loomwright {

/// What a sweep of faults is asked for.
struct FaultOrder {
    bool shorts = true;
    bool opens = true;
    std::vector<WireId> wires;        ///< only these; empty: every conductor, contact and joint
    std::vector<OpeningCurve> curves; ///< by DeviceId: when each protective device opens
    unsigned threads = 0;             ///< 0: as many as there are processors
    /// Called now and then on the calling thread with the cases done so far and all of them; may be
    /// empty.
    std::function<void(std::uint64_t, std::uint64_t)> progress;
};

/// A protective device that opens in the course of a short.
struct FaultOpening {
    DeviceId device;
    double amps = 0.0;       ///< that open it
    double after_s = 0.0;    ///< from the short on: surely open by then
    double earliest_s = 0.0; ///< and not open before
    /// Devices that may open before it: their bands overlap. What then goes on may be otherwise.
    std::vector<DeviceId> or_else;
};

/// How a short ends, the worst last.
enum class ShortOutcome : std::uint8_t {
    harmless,  ///< no current, or one that no conductor minds and that turns nothing over
    carried,   ///< the current flows for good; no conductor passes its insulation's class
    cleared,   ///< devices opened, the current is gone, no conductor passed its short-time limit
    cycles,    ///< a breaker opens and closes again and again; no conductor passes its class
    too_late,  ///< cleared, but a conductor had passed its short-time limit
    overheats, ///< flows for good (or in cycles), a conductor passes its class: it ages and fails
    fire,      ///< flows for good (or in cycles), a conductor passes its short-time limit
};

/// A conductor that a fault takes past its insulation's class.
struct HotConductor {
    WireId wire;
    double peak_c = 0.0;       ///< infinite: over 1000 C
    double class_c = 0.0;      ///< what its insulation stands for good
    double short_time_c = 0.0; ///< and for the time of a short
    /// When it passes the short-time limit; infinite: it does not.
    double too_hot_after_s = std::numeric_limits<double>::infinity();
    double amps = 0.0; ///< in it, with something opened; those of a short change on the way
};

/// One place shorted to the metal of the car in one state, and what follows.
struct ShortEvent {
    std::size_t state = 0; ///< into FaultSweep::states
    int node = 0;
    bool is_solved = true;           ///< false: no operating point was found; the rest says nothing
    double fault_a = 0.0;            ///< through the short in the first moment
    double first_a = 0.0;            ///< once relays and loads have settled
    double last_a = 0.0;             ///< when all that opens has opened
    std::vector<FaultOpening> opens; ///< in the order of time
    ShortOutcome outcome = ShortOutcome::harmless;
    double over_after_s = 0.0; ///< infinite: never
    WireId hottest;            ///< invalid: none grows hotter than it was
    double hottest_c = 0.0;
    std::vector<HotConductor> overheated; ///< the hottest first
    std::vector<DeviceId> dead;           ///< at work in the state, and no longer at the end
    std::vector<DeviceId> unexpected;     ///< at work at the end, and not in the state
    std::vector<DeviceId> resets; ///< electronics that let go on the way and are back at the end
    /// Relays that would let go with the fault's current in their contacts, or go on and off as the
    /// supply breaks down: taken for welded.
    std::vector<DeviceId> welded;

    [[nodiscard]] bool is_cleared() const {
        return outcome != ShortOutcome::overheats && outcome != ShortOutcome::fire &&
               outcome != ShortOutcome::cycles;
    }
};

/// An end of a wire that was shorted. Ends at one node share an event.
struct ShortCase {
    WireId wire;
    bool is_from_end = true;
    std::size_t event = 0; ///< into FaultSweep::events
};

/// A device that wakes, or that current passes the wrong way, when something opens.
struct UnexpectedDevice {
    DeviceId device;
    double volts = 0.0; ///< from its inlet to its outlet
    double amps = 0.0;
    double volts_before = 0.0;
    bool is_on = false;       ///< it works
    bool is_reversed = false; ///< the current passes it from outlet to inlet
    /// The way of the current from a source through the device and home: branches of the network.
    std::vector<int> way;
};

/// A controller's supply after a fault.
struct ControllerVolts {
    DeviceId device;
    double volts = 0.0;
    double volts_before = 0.0;
    double needs_v = 0.0;
    bool is_on = false;
};

/// One branch opened in one state.
struct OpenCase {
    std::size_t state = 0; ///< into FaultSweep::states
    int branch = 0;        ///< of the network
    bool is_solved = true; ///< false: no operating point was found; the rest says nothing
    double amps_before = 0.0;
    std::vector<DeviceId> dead;
    std::vector<UnexpectedDevice> unexpected;
    std::vector<ControllerVolts> controllers; ///< those whose voltage moved
    std::vector<DeviceId> chattering;         ///< relays that go on and off for good
    /// Conductors that the current which now goes another way takes past their insulation's class
    /// (while cranking: its short-time limit) before a protective device opens; the hottest first.
    std::vector<HotConductor> overheated;
};

/// A state of the sweep.
struct FaultState {
    StateId state;
    bool is_solved = true; ///< false: it has no operating point, and so no cases
    std::string failure;
};

/// How the sweep found its operating points.
struct FaultCounts {
    std::uint64_t cases = 0;
    std::uint64_t points = 0;       ///< operating points, those of what follows included
    std::uint64_t rounds = 0;       ///< solutions with factors at hand
    std::uint64_t refactored = 0;   ///< points that took new factors
    std::uint64_t from_nothing = 0; ///< points that took the full solver
};

/// Everything a sweep found, in the order of the file: states, then wires and branches.
struct FaultSweep {
    std::vector<FaultState> states;
    std::vector<ShortEvent> events;
    std::vector<ShortCase> shorts;
    std::vector<OpenCase> opens;
    double short_ohm = 0.0; ///< of each short
    int metal = -1;         ///< node that conductors are shorted to; -1: the car has none
    FaultCounts counts;

    [[nodiscard]] const ShortEvent& event(const ShortCase& which) const {
        return events[which.event];
    }
};

/// An operating point with a fault in it.
struct FaultPoint {
    bool is_solved = false;
    double fault_a = 0.0;           ///< through the short
    std::vector<double> node_volts; ///< by node of the network
    std::vector<std::uint8_t> floating;
};

/// Faults of a car and design, state by state. The vehicle, catalogue, routing and network outlive
/// it.
class FaultStudy {
public:
    /// Brings these states to rest, in this order.
    FaultStudy(const StudyInput& input, const Design& design, const std::vector<StateId>& states);
    ~FaultStudy();
    FaultStudy(FaultStudy&&) noexcept;
    FaultStudy& operator=(FaultStudy&&) noexcept;
    FaultStudy(const FaultStudy&) = delete;
    FaultStudy& operator=(const FaultStudy&) = delete;

    /// The same answer whatever the number of threads.
    [[nodiscard]] FaultSweep sweep(const FaultOrder& order) const;

    /// The first operating point of a case: the state with a node shorted to metal, or a branch
    /// opened, relays and loads as they stand before anything turns over. The state is given by its
    /// number in the list and has an operating point.
    [[nodiscard]] FaultPoint short_point(std::size_t state, int node) const;
    [[nodiscard]] FaultPoint open_point(std::size_t state, int branch) const;

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

} // namespace loomwright
