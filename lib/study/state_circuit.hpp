// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/plan.hpp"

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// What a sample of an uncertain car has otherwise than planned at one branch.
struct BranchVariation {
    double resistance = 1.0; ///< factor on the resistance of a conductor, contact, coil or source
    double per_metre = 1.0;  ///< what of a wire's factor is not its length: it makes heat
    double demand = 1.0;     ///< factor on what a load takes, or on what a source can give
    double emf_v = 0.0;      ///< added to a regulator's set voltage
};

/// The circuit of one state: what the state sets, and how its triggers stand at the moment.
class StateCircuit {
public:
    /// `state` may be nullptr: every switch at rest, engine stopped.
    StateCircuit(const StudyPlan& plan, const State* state);

    /// Takes the ratings of the plan's design.
    void take_design();
    /// All relays released, all loads as before the battery was joined, coils as warm as their air.
    void put_to_rest();
    /// Relays and coils as another circuit of the same plan left them.
    void follow(const StateCircuit& before);
    /// Another state of charge (0..1) for a battery.
    void set_charge(DeviceId battery, double charge);
    /// A load, or a starter's motor, as in its first moment: a cold filament, a motor at rest.
    void set_starting(DeviceId device);

    /// Lays out the circuit for triggers and wire resistances as they are.
    void build();
    /// Writes wire resistances into the circuit laid out last.
    void update_wires();
    /// Takes controllers and batteries to triggers that were turned over; the circuit laid out last
    /// stays as it is.
    void follow_triggers();
    /// A branch of the network as triggers and wire resistances are; nothing where it does not
    /// conduct.
    [[nodiscard]] std::optional<Element> standing(std::size_t index) const;
    /// False: the state's switches and outputs keep it open, whatever the triggers do.
    [[nodiscard]] bool is_set(std::size_t branch) const { return is_set_[branch] != 0; }
    /// Takes the coils to the temperatures that these currents make of them and writes their
    /// resistances into the circuit laid out last. False when none moved by more than 0.01 K.
    [[nodiscard]] bool update_coils(const solve::OperatingPoint& point);

    [[nodiscard]] const solve::Circuit& circuit() const { return circuit_; }
    [[nodiscard]] const std::vector<int>& circuit_branch() const { return circuit_branch_; }
    /// Current of every branch of the network; 0 where open.
    [[nodiscard]] std::vector<double> branch_amps(const solve::OperatingPoint& point) const;
    /// Voltage across a branch of the network; 0 where an end floats.
    [[nodiscard]] static double volts_across(const Branch& branch,
                                             const solve::OperatingPoint& point);
    /// True when the trigger does not stand as these voltages ask.
    [[nodiscard]] bool wants_change(std::size_t trigger, const solve::OperatingPoint& point) const;
    /// The same by the voltage across its branch.
    [[nodiscard]] bool wants_change(std::size_t trigger, double volts) const;

    /// True for a motor that the state turns.
    [[nodiscard]] bool is_turned(DeviceId device) const;
    /// True when the controller is at work, not asleep or dead.
    [[nodiscard]] bool is_awake(const ControllerPlan& plan) const;
    /// Air round a wire in this state.
    [[nodiscard]] double air_c(ZoneId zone) const;
    /// Temperature of the coil that a trigger hangs on, and of its air.
    [[nodiscard]] double coil_c(std::size_t trigger) const;
    [[nodiscard]] double coil_air_c(std::size_t trigger) const;
    /// The voltage that turns a trigger over as it stands, its coil as warm as it is.
    [[nodiscard]] double threshold_v(std::size_t trigger) const;
    /// The voltage at which a coil comes in, as warm as it is.
    [[nodiscard]] double pull_in_v(std::size_t trigger) const;
    /// Resistance of a trigger's coil before it is fed, over that at 20 C; 1 for what has no coil.
    [[nodiscard]] double rest_warmth(std::size_t trigger) const;
    /// The most that an alternator can give in this state.
    [[nodiscard]] double alternator_most_a(DeviceId device) const;

    std::vector<std::uint8_t> is_on;        ///< by trigger
    std::vector<double> wire_ohm;           ///< by WireId
    std::vector<std::uint8_t> conducts;     ///< by network branch, as laid out last
    std::vector<double> level;              ///< by DeviceId: share of full demand
    std::vector<int> position;              ///< by DeviceId: of a switch
    std::vector<BranchVariation> variation; ///< by branch; empty: all as planned
    std::vector<BatteryValues> batteries;   ///< in the order of StudyPlan::battery_triggers
    double air_shift_k = 0.0;               ///< added to the air of every zone

private:
    /// True when nothing holds a branch open.
    [[nodiscard]] bool is_joined(std::size_t index) const;
    /// What a branch is while it is joined.
    [[nodiscard]] Element element(std::size_t index) const;
    void apply_settings();
    void apply_levels();
    void set_turned();
    void set_sources();
    void set_leads();
    void set_contacts();
    void set_controllers();
    void set_batteries();
    void set_coils();
    [[nodiscard]] double coil_warmth(std::size_t trigger) const;
    [[nodiscard]] BatteryValues values_of(DeviceId battery, double charge) const;
    [[nodiscard]] double place_air_c(DeviceId device) const;
    [[nodiscard]] double coil_air_of(const CoilPlan& coil) const;
    [[nodiscard]] int fed_count(const ControllerPlan& plan) const;
    [[nodiscard]] const Branch& branch(std::size_t index) const {
        return plan_.input.network.branches[index];
    }

    const StudyPlan& plan_;
    const State* state_;
    EngineCondition engine_;
    std::vector<Element> elements_;
    std::vector<std::uint8_t> is_set_; ///< by branch: the state lets it conduct
    std::vector<double> coil_c_;       ///< in the order of StudyPlan::coils
    std::vector<double> zone_air_c_;
    std::vector<int> place_; ///< circuit branch of each network branch; -1: open
    std::vector<int> circuit_branch_;
    solve::Circuit circuit_;
};

} // namespace loomwright
