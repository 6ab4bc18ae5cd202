// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/design.hpp"
#include "network/network.hpp"
#include "solve/circuit.hpp"

#include <memory>
#include <string>
#include <vector>

namespace loomwright {

class Shelves;

/// Everything a study needs; all of it outlives the results.
struct StudyInput {
    const Vehicle& vehicle;
    const Catalogue& catalogue;
    const Routing& routing;
    const Network& network;
    Shelves* shelves = nullptr; ///< what need not be worked out again; nullptr: none
};

struct WireState {
    double amps = 0.0;   ///< from `from` to `to`
    double drop_v = 0.0; ///< from `from` to `to`
    double ohm = 0.0;    ///< at the conductor's temperature
    /// In its hottest place: alone in still air, or in the bundle and under the cover of a run on
    /// its way. At rest; of a state that cranks the engine after the time that takes, from the
    /// temperature of the air.
    double conductor_c = 0.0;
    double air_c = 0.0; ///< the hottest on its way
};

/// A device is on when: a load has the least voltage it works at (electronics and LED lamps:
/// `least` or the table's; others: half the rated voltage) and is not set to 0; a controller is
/// awake; a relay or starter is pulled in; a switch is off its rest; a source delivers; a unit has
/// an inner device on.
struct DeviceState {
    double volts = 0.0; ///< across it: inlet to outlet; a controller: the best of its working feeds
    double amps = 0.0;  ///< through it, from inlet to outlet; a source: delivered
    double coil_volts = 0.0; ///< of a relay or a starter solenoid
    double coil_amps = 0.0;
    double coil_c = 0.0; ///< temperature of its winding
    /// The voltage at which it would pull in as warm as it is.
    double pull_in_v = 0.0;
    double most_a = 0.0; ///< an alternator: what it can give in this state
    bool on = false;
};

/// The operating point of one state.
struct StateSolution {
    StateId state; ///< invalid: the one state of a vehicle that names none
    /// Electrically at rest. False: all voltages and currents below are 0 and `failure` says why.
    bool converged = false;
    std::string failure; ///< what went wrong and where, for people; also of a runaway wire
    int failure_node = -1;
    /// Devices that never settle: loops that do not need one another, each in its own order.
    std::vector<std::vector<DeviceId>> chattering;
    /// Wires with no steady temperature: their heat cannot leave. They are taken at 1000 C, which
    /// is as good as a fire; the state still counts as converged.
    std::vector<WireId> runaways;
    double imbalance_a = 0.0; ///< largest of any node
    double power_error = 0.0;
    double source_current_a = 0.0;
    int iterations = 0;                 ///< Newton steps in all
    std::vector<double> node_volts;     ///< by node of the network
    std::vector<std::uint8_t> floating; ///< by node
    std::vector<double> branch_amps;    ///< by branch of the network; 0 where open
    std::vector<std::uint8_t> closed;   ///< by branch: conducts in this state
    std::vector<WireState> wires;       ///< by WireId
    std::vector<DeviceState> devices;   ///< by DeviceId
    solve::Circuit circuit; ///< as solved last: branches in network order, open ones absent
    std::vector<int> circuit_branch; ///< network branch of each circuit branch
};

/// Solves states again and again while a design is being settled: what depends on the vehicle alone
/// is worked out once. The vehicle, catalogue, routing and network outlive it.
class StateStudy {
public:
    /// Of every state of the vehicle, or of these.
    explicit StateStudy(const StudyInput& input);
    StateStudy(const StudyInput& input, const std::vector<StateId>& states);
    ~StateStudy();
    StateStudy(StateStudy&&) noexcept;
    StateStudy& operator=(StateStudy&&) noexcept;
    StateStudy(const StateStudy&) = delete;
    StateStudy& operator=(const StateStudy&) = delete;

    /// The states from rest: relays released, conductors at the temperature of their air.
    [[nodiscard]] std::vector<StateSolution> solve(const Design& design);
    /// The states from where the last call left them, several times quicker when the design changed
    /// little. A relay that is in stays in while its coil holds it: the last word on a design is
    /// `solve`.
    [[nodiscard]] std::vector<StateSolution> solve_on(const Design& design);

    /// Another state of charge (0..1) of a battery in all states, from the next call on.
    void set_charge(DeviceId battery, double charge);
    /// The states as last solved, in the first moment after these loads (or starters) are switched
    /// on: each a cold filament or a motor at rest, every relay as it stands when they run,
    /// conductors as warm. A relay or controller that the dip lets go is so in the answer; a state
    /// that had no answer has none here.
    [[nodiscard]] std::vector<StateSolution> first_moment(const std::vector<DeviceId>& loads) const;

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

/// Solves one state: contacts settled by coils, wire heat and R(T) iterated to 0.01 K.
[[nodiscard]] StateSolution solve_state(const StudyInput& input, const Design& design,
                                        StateId state);

/// Solves every state of the vehicle, in the order of the file, on both cores; the answer does not
/// depend on the number of threads. A vehicle without states has one, "as built", with every switch
/// at rest.
[[nodiscard]] std::vector<StateSolution> solve_states(const StudyInput& input,
                                                      const Design& design);

/// The state, or nullptr for a vehicle without states.
[[nodiscard]] const State* state_of(const Vehicle& vehicle, StateId id);
/// Its name, or "as built".
[[nodiscard]] std::string state_name(const Vehicle& vehicle, StateId id);
/// The name of the state that was solved: "as built" where the vehicle names none.
[[nodiscard]] std::string state_name(const Vehicle& vehicle, const StateSolution& solution);

/// Drop of a load's whole path in a state: the voltage between its source's terminals less its own.
/// The source is the battery wherever one is joined to the car, whoever gives the current; the way
/// from the alternator to a battery that is being charged is a path of its own, with the battery as
/// its load. So is the way to the solenoid of a starter that is in, of which only the way there
/// counts: it comes home with the motor's current.
struct PathDrop {
    DeviceId load;
    int solenoid = -1; ///< the branch of it that the way leads to; -1: the way is not to a solenoid
    DeviceId source;   ///< the source it is judged against: the one at whose plus the way begins
    DeviceId home;     ///< the one at whose minus it ends: `source`, but for batteries in a row
    double supply_v = 0.0; ///< from the plus of `source` to the minus of `home`
    double load_v = 0.0;
    double drop_v = 0.0;
    std::vector<int> feed; ///< network branches from the source to the load, by the largest current
    std::vector<int> back; ///< and from the load back to the source
};
[[nodiscard]] std::vector<PathDrop> path_drops(const StudyInput& input,
                                               const StateSolution& solution);

/// The state as a SPICE deck (any general circuit simulator of that family), commented, wires at
/// their settled temperature; node n<k> is network node k, and a comment says its name. The design
/// is the one that was solved.
[[nodiscard]] std::string spice_deck(const StudyInput& input, const Design& design,
                                     const StateSolution& solution);

} // namespace loomwright
