// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/plan.hpp"

#include <cstdint>
#include <span>
#include <vector>

namespace loomwright {

/// The circuit of one state: what the state sets, and how its triggers stand at the moment.
class StateCircuit {
public:
    /// `state` may be nullptr: every switch at rest, engine stopped.
    StateCircuit(const StudyPlan& plan, const State* state);

    /// Takes the ratings of the plan's design.
    void take_design();
    /// All relays released, all loads as before the battery was joined.
    void put_to_rest();

    /// Lays out the circuit for triggers and wire resistances as they are.
    void build();
    /// Writes wire resistances into the circuit laid out last.
    void update_wires();

    [[nodiscard]] const solve::Circuit& circuit() const { return circuit_; }
    [[nodiscard]] const std::vector<int>& circuit_branch() const { return circuit_branch_; }
    /// Current of every branch of the network; 0 where open.
    [[nodiscard]] std::vector<double> branch_amps(const solve::OperatingPoint& point) const;
    /// Voltage across a branch of the network; 0 where an end floats.
    [[nodiscard]] static double volts_across(const Branch& branch,
                                             const solve::OperatingPoint& point);
    /// True when the trigger does not stand as these voltages ask.
    [[nodiscard]] bool wants_change(std::size_t trigger, const solve::OperatingPoint& point) const;

    /// True when the controller is at work, not asleep or dead.
    [[nodiscard]] bool is_awake(const ControllerPlan& plan) const;
    /// Air round a wire in this state.
    [[nodiscard]] double air_c(ZoneId zone) const;

    std::vector<std::uint8_t> is_on;    ///< by trigger
    std::vector<double> wire_ohm;       ///< by WireId
    std::vector<std::uint8_t> conducts; ///< by network branch, as laid out last
    std::vector<double> level;          ///< by DeviceId: share of full demand
    std::vector<int> position;          ///< by DeviceId: of a switch

private:
    void apply_settings();
    void apply_levels();
    void set_sources();
    void set_leads();
    void set_contacts();
    void set_controllers();
    void set_batteries();
    [[nodiscard]] int fed_count(const ControllerPlan& plan) const;
    [[nodiscard]] const Branch& branch(std::size_t index) const {
        return plan_.input.network.branches[index];
    }

    const StudyPlan& plan_;
    const State* state_;
    EngineCondition engine_;
    std::vector<Element> elements_;
    std::vector<std::uint8_t> is_set_;     ///< by branch: the state lets it conduct
    std::vector<BatteryValues> batteries_; ///< in the order of StudyPlan::battery_triggers
    std::vector<double> zone_air_c_;
    std::vector<int> place_; ///< circuit branch of each network branch; -1: open
    std::vector<int> circuit_branch_;
    solve::Circuit circuit_;
};

} // namespace loomwright
