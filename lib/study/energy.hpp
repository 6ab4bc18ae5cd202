// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <optional>
#include <string>
#include <vector>

namespace loomwright {

/// What a device gets while the engine is cranked.
struct CrankReading {
    DeviceId device;
    double volts = 0.0; ///< a starter: at its motor; a controller: its best working feed
    double amps = 0.0;  ///< a starter: of its motor
    bool on = false;    ///< a starter: pulled in and turning; a controller: awake
    std::optional<double> first_volts; ///< in the first moment; nothing: no rest is found then
    bool first_on = false;
};

/// One cranking state at one temperature.
struct CrankPoint {
    StateId state;
    std::string condition; ///< "as written", "warm", "cold"
    double battery_c = 0.0;
    bool converged = false;
    std::string failure;
    std::vector<CrankReading> starters;
    std::vector<CrankReading> controllers;
    bool starts = false; ///< see `engine_starts`
};

/// Every cranking state as written, with a warm battery (25 C) and with battery and air at -18 C,
/// the temperature of the cold cranking test (SAE J537).
[[nodiscard]] std::vector<CrankPoint> crank_points(const StudyInput& input, const Design& design);

/// Must the controller be awake in this state: one it names, else any in which the engine turns.
[[nodiscard]] bool is_needed(const Controller& controller, const State& state);

/// What an alternator, a charger or a battery does in one state.
struct SourceLoad {
    DeviceId device;
    double amps = 0.0;   ///< delivered; negative: a battery on charge
    double most_a = 0.0; ///< what it can give there; 0: not limited
    double volts = 0.0;
    /// Until a battery is flat at this current, s; nothing when it is not drained.
    std::optional<double> lasts_s;
};

/// In a cranking state: every starter turns, and every controller needed then is awake.
[[nodiscard]] bool engine_starts(const Vehicle& vehicle, const StateSolution& solution);

/// The balance of one state.
struct StateBalance {
    StateId state;
    std::vector<SourceLoad> sources; ///< in the order of the file
    double battery_a = 0.0;          ///< what all batteries deliver, those in a row as one
    bool has_generator = false;      ///< an alternator that turns is there
    std::string failure;             ///< why the state has no answer; empty: it has
    /// Until the first battery is flat, s; nothing when all together are not drained.
    std::optional<double> lasts_s;
};
[[nodiscard]] std::vector<StateBalance> state_balances(const StudyInput& input,
                                                       const std::vector<StateSolution>& states);

/// A battery that is drained while the car goes on starting: the engine does not need it.
struct LowBattery {
    DeviceId device;
    double amps = 0.0;    ///< that it delivers
    double charge = 0.0;  ///< at which it is low: `battery-valid-charge`
    double after_s = 0.0; ///< until it is
};

/// A state that a car stands in, and how long until it no longer starts.
struct ParkedDrain {
    StateId state;
    double drain_a = 0.0; ///< of all batteries, those in a row as one
    std::optional<double> lasts_s;
    /// Until it no longer starts, s; nothing: it never drains that far.
    std::optional<double> starts_until_s;
    bool starts_at_all = true; ///< with the batteries as they are at the beginning
    double least_charge = 0.0; ///< of the battery drained furthest, at that moment; of those needed
    StateId cranked_by;        ///< the cranking state it was tried with; invalid: by the default
    /// Of the batteries that the start does not need the first that is low; nothing: none is
    /// drained, or it is low from the beginning.
    std::optional<LowBattery> low;
};
/// Whether a car that starts at the end of a state's time is followed further.
enum class ParkedTrial : std::uint8_t {
    to_the_end,  ///< until it no longer starts
    for_its_time ///< no further than the state lasts: `starts_until_s` is nothing for one that does
};
/// Every state with the engine stopped that says how long it lasts; where none does, the first one.
/// The drain is taken as steady; self-discharge is counted.
[[nodiscard]] std::vector<ParkedDrain> parked_drains(const StudyInput& input, const Design& design,
                                                     const std::vector<StateSolution>& states,
                                                     ParkedTrial how_far);

/// One moment of a drive.
struct DrivePoint {
    double time_s = 0.0;
    int leg = 0; ///< counted over all rounds
    StateId state;
    std::vector<double> charge; ///< by battery, 0..1
    std::vector<double> amps;   ///< by battery, delivered
    std::vector<double> volts;  ///< by battery, at its terminals
};

/// The charge of the batteries over a drive.
struct DriveCourse {
    std::string drive;
    std::vector<DeviceId> batteries;
    std::vector<DrivePoint> points;
    std::string failure;      ///< why it ends before its end; empty: it does not
    bool is_unsolved = false; ///< because a state has no operating point then
};
/// dq/dt of each battery from the operating point at its charge, by the midpoint rule.
[[nodiscard]] DriveCourse drive_course(const StudyInput& input, const Design& design,
                                       const Drive& drive);

} // namespace loomwright
