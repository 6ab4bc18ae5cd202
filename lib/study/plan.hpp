// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/heat.hpp"
#include "study/bundles.hpp"
#include "study/operating.hpp"
#include "study/values.hpp"

#include <cstdint>
#include <map>
#include <utility>
#include <vector>

namespace loomwright {

/// Something that settles with the voltages: a coil that pulls in, a load that starts or lets go.
struct Trigger {
    /// Whose voltage decides, and which way.
    enum class Kind : std::uint8_t {
        coil,     ///< size of the voltage, with hysteresis
        supply,   ///< an electronic load or a controller's feed: its least voltage
        forward,  ///< a load that blocks the wrong way round
        charging, ///< a battery: terminal voltage above its open-circuit voltage
    };
    Kind kind = Kind::coil;
    DeviceId device;
    int branch = 0;
    double on_v = 0.0;  ///< on at this voltage and above
    double off_v = 0.0; ///< off below this
    bool starts_on = false;
};

/// A branch conducts only while its trigger is on (or off); no trigger: always.
struct Gate {
    int trigger = -1;
    bool when_on = true;
};

/// A coil whose resistance, and with it the voltages of its relay, follow its temperature.
struct CoilPlan {
    int branch = 0;
    double r20_ohm = 0.0;
    double rise_k_per_w = 0.0; ///< 0: it works for moments only and stays at its air's temperature
    ZoneId zone;               ///< invalid: at the default for coils
};

/// A controller's feeds and how they share its draw.
struct ControllerPlan {
    DeviceId device;
    std::vector<int> working;  ///< load branches of the feeds that bring the working current
    std::vector<int> memory;   ///< load branches of feeds that are live while it sleeps
    std::vector<int> triggers; ///< of `working`
    bool has_switched_feed = false;
    double power_w = 0.0;
    double least_v = 0.0;
    double sleeps_a = 0.0;
};

/// A wire's share of what never changes between states.
struct WirePlan {
    const Conductor* conductor = nullptr;
    const Insulation* insulation = nullptr;
    double r20_ohm = 0.0;
    int body = 0; ///< into StudyPlan::bodies
};

/// A kind of wire for the heat balance, with a bound on its rise: kelvin for each watt of a metre.
struct HeatBody {
    solve::WireBody wire;
    double most_k_m_per_w = 0.0;
};

/// Everything about a vehicle and its design that all states share, as plain arrays.
class StudyPlan {
public:
    explicit StudyPlan(const StudyInput& study_input);
    /// Takes another design. Says by `wire_changed` which wires are another conductor or
    /// insulation.
    void set_design(const Design& design);

    StudyInput input;
    StudyDefaults defaults;
    std::vector<Element>
        elements; ///< by branch; sources, wires, leads and controllers are filled in later
    std::vector<Gate> gates;       ///< by branch
    std::vector<Trigger> triggers; ///< in the order of the file
    std::vector<ControllerPlan> controllers;
    std::vector<CoilPlan> coils;
    std::vector<int> coil_of_trigger; ///< into `coils`; -1: none
    std::vector<int> battery_rows;    ///< by DeviceId (network/battery_rows.hpp)
    std::vector<int> battery_triggers;
    std::vector<int> protections; ///< branches whose resistance follows the design
    std::vector<WirePlan> wires;  ///< by WireId
    std::vector<HeatBody> bodies;
    Bundles bundles;
    std::vector<std::uint8_t> wire_changed; ///< by WireId: since the design before

private:
    [[nodiscard]] int body_of(const WireDesign& wire);
    void plan_branch(std::size_t index);
    void plan_joint(std::size_t index);
    void plan_coil(std::size_t index);
    void plan_contact(std::size_t index);
    void plan_load(std::size_t index);
    void plan_triggers();
    void plan_pull_in(DeviceId id, int coil);
    void plan_letting_go(DeviceId id, int index);
    void plan_controller(DeviceId id);
    [[nodiscard]] const Branch& branch(int index) const {
        return input.network.branches[static_cast<std::size_t>(index)];
    }
    [[nodiscard]] const Device& owner(const Branch& branch) const {
        return input.vehicle.device(branch.device);
    }

    std::map<std::pair<const Conductor*, const Insulation*>, int> known_bodies_; ///< looked up only
};

} // namespace loomwright
