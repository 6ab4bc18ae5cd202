// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/spread_random.hpp"
#include "study/state_circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// The nominal voltage of the cars that the table `spreads` gives its volts for.
inline constexpr double spread_nominal_v = 12.0;

/// The row of the table `spreads` that speaks of a device's contact, or of a load's demand.
[[nodiscard]] const char* contact_spread_row(const Device& device);
[[nodiscard]] const char* load_spread_row(const Device& device);

/// What is drawn for each sample of a car in one state, and where it goes. Everything drawn has a
/// number of its own, so that no draw depends on another.
class SpreadPlan {
public:
    /// All of it outlives this. `state` may be nullptr.
    SpreadPlan(const StudyPlan& plan, const SpreadTable& table, const State* state);

    /// Gives the circuit the variation, the batteries and the air of a sample. `nominal` holds the
    /// batteries as planned.
    void apply(Draws& draws, const std::vector<BatteryValues>& nominal,
               StateCircuit& circuit) const;

private:
    /// What a number changes.
    enum class Target : std::uint8_t { resistance, demand, emf };
    struct Item {
        const Spread* spread = nullptr;
        std::uint32_t number = 0;
        int branch = 0;
        Target target = Target::resistance;
        double share = 1.0; ///< of the branch's resistance that it speaks of; scale of volts
    };
    /// The wires or leads of one size: off one spool.
    struct Spool {
        const Conductor* conductor = nullptr;
        bool is_supplied = false;
        std::uint32_t number = 0;
        std::vector<int> branches;
    };
    /// A lead of a supplied harness: its resistance follows the air.
    struct Lead {
        int branch = 0;
        double air_c = 0.0; ///< nominal
    };
    struct BatteryPlan {
        const Battery* battery = nullptr;
        StudyDefaults defaults; ///< of its row
        double charge = 1.0;
        double temperature_c = 0.0;
        double volts_scale = 1.0;
        std::uint32_t number = 0; ///< the first of four
    };

    [[nodiscard]] std::uint32_t next() { return count_++; }
    void add(int branch, Target target, const char* name, double share = 1.0);
    void plan_branch(int branch);
    void plan_protection(int branch);
    void plan_load(int branch);
    void plan_lead(int branch);
    void add_to_spool(const Conductor* conductor, bool is_supplied, int branch);
    void plan_battery(int branch);
    [[nodiscard]] BatteryValues battery_of(const BatteryPlan& plan, const BatteryValues& nominal,
                                           Draws& draws) const;
    [[nodiscard]] const Branch& branch_of(int index) const {
        return plan_.input.network.branches[static_cast<std::size_t>(index)];
    }

    const StudyPlan& plan_;
    const SpreadTable& table_;
    const State* state_;
    std::vector<Item> items_;
    std::vector<Spool> spools_;
    std::vector<Lead> leads_;
    std::vector<BatteryPlan> batteries_; ///< in the order of StateCircuit::batteries
    std::uint32_t count_ = 0;
    std::uint32_t air_ = 0;
    const Spread* conductor_;
    const Spread* battery_volts_;
    const Spread* battery_charge_;
    const Spread* battery_resistance_;
    const Spread* battery_temperature_;
    const Spread* air_spread_;
};

} // namespace loomwright
