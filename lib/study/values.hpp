// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "solve/circuit.hpp"
#include "tables/catalogue.hpp"

#include <array>
#include <optional>

namespace loomwright {

/// The law of one branch with its parameters, as solve::Circuit takes them.
struct Element {
    solve::Law law = solve::Law::conductance;
    double a = 1.0;
    double b = 0.0;
    double c = 0.0;
};

/// The defaults that a study uses, read once: the tables are not searched in inner loops.
struct StudyDefaults {
    explicit StudyDefaults(const Catalogue& catalogue, const Vehicle& vehicle);

    double scale = 1.0; ///< nominal voltage over 12 V
    double ground_bond_ohm, strap_ohm, connector_ohm, relay_contact_ohm, switch_contact_ohm;
    double starter_contact_ohm, flasher_contact_ohm, controller_output_ohm, fuse_holder_ohm;
    double contact_drop_v, output_drop_v;
    double fuse_cold_drop_v, link_length_m, air_c;
    double rated_v, motor_knee_v, led_knee_v, starter_knee_v, electronics_least_v, lamp_cold_ratio;
    double coil_temperature_c, coil_rise_k_per_w, relay_coil_ohm, relay_pull_in_v, relay_drop_out_v;
    double suppression_ohm, starter_solenoid_ohm, starter_pull_in_v, starter_drop_out_v;
    double alternator_ohm, alternator_idle_share, alternator_field_ohm, alternator_exciter_ohm;
    double alternator_cool_c, alternator_hot_c, alternator_hot_share;
    double charger_ohm, diode_drop_v, diode_a, diode_slope_v;
    double battery_open_v, battery_cranking_v, battery_cranking_c, battery_warm_share;
    double battery_warm_c, battery_c, battery_cranking_per_ah, battery_open_v_per_k;
    double battery_flat_share;
    double acceptance_full, acceptance_flat, acceptance_v;
    std::array<double, 5> charge_v; ///< open-circuit voltage at 0, 25, 50, 75 and 100 % charge

    /// A full battery at rest at the temperature of the cold cranking test.
    [[nodiscard]] double battery_cold_open_v() const;
    /// The same for a battery in a row of so many, which share the nominal voltage.
    [[nodiscard]] StudyDefaults in_row(int batteries) const;
};

/// A resistance as an element; nothing is below a millionth of an ohm.
[[nodiscard]] Element resistor_element(double ohm);

/// A closed contact of a switch, relay, flasher or starter, or a closed output of a controller.
struct ContactOhms {
    double ohm = 0.0;
    std::optional<Amps> by_rating; ///< that makes it less than its default; nothing: the default
};
/// `part` as in Branch: 1 is a relay's 30-87a; of a controller its terminal.
[[nodiscard]] ContactOhms contact_ohms(const Device& device, int part,
                                       const StudyDefaults& defaults);
/// What a contact of a relay is made for: 30-87a by its own rating, where it has one.
[[nodiscard]] std::optional<Amps> contact_rating(const Relay& relay, int part);

/// A battery's open-circuit voltage and its resistance while it delivers and while it is charged.
struct BatteryValues {
    double open_v = 0.0;
    double ohm = 0.0;
    double charging_ohm = 0.0;
};
[[nodiscard]] BatteryValues battery_values(const Battery& battery, const StudyDefaults& defaults,
                                           double charge, double temperature_c);
/// What a battery can give down to the voltage of the cold cranking test (SAE J537: 7.2 V of 12 V),
/// A: (E - U) / R; 0 when it stands below that voltage already.
[[nodiscard]] double battery_most_a(const BatteryValues& values, const StudyDefaults& defaults);
/// State of charge of a battery in a state, 0..1.
[[nodiscard]] double battery_charge(const Battery& battery, const State* state);
/// Temperature of a battery in a state: the state's, its own, the policy's, the default.
[[nodiscard]] double battery_temperature_c(const Battery& battery, const StudyDefaults& defaults,
                                           const Policy& policy, const State* state);

/// What an alternator can give at an engine condition in air of a temperature, A.
[[nodiscard]] double alternator_limit_a(const Alternator& alternator, const StudyDefaults& defaults,
                                        EngineCondition engine, double air_c);

/// The running resistance of a protective device at a rating.
[[nodiscard]] double protection_ohm(const Protection& device, std::optional<Amps> rating,
                                    const Catalogue& catalogue, const StudyDefaults& defaults);
/// The same cold, as a sudden short finds it.
[[nodiscard]] double cold_protection_ohm(const Protection& device, std::optional<Amps> rating,
                                         const Catalogue& catalogue, const StudyDefaults& defaults);

/// The voltage at which a demand is given: its own, else that of the defaults.
[[nodiscard]] double rated_volts(const Demand& draws, const StudyDefaults& defaults);

/// A load's law at full demand. `least_v` of electronics is where it lets go.
[[nodiscard]] Element load_element(const Load& load, const StudyDefaults& defaults);
/// The least voltage at which a load of this kind counts as working.
[[nodiscard]] double working_volts(const Load& load, const StudyDefaults& defaults);
/// Of a relay's coil at 20 C.
[[nodiscard]] double relay_coil_ohm(const Relay& relay, const StudyDefaults& defaults);
/// A load in the first moment after it is switched on: a cold filament, a motor at rest. A load
/// without a start of its own is as it runs.
[[nodiscard]] Element starting_element(const Load& load, const StudyDefaults& defaults);
[[nodiscard]] Element starting_element(const Starter& starter, const StudyDefaults& defaults);
/// A motor with permanent magnets that something else turns, at a share of its speed.
[[nodiscard]] Element turned_element(const Load& load, const StudyDefaults& defaults, double speed);
/// The running starter motor.
[[nodiscard]] Element starter_element(const Starter& starter, const StudyDefaults& defaults);
[[nodiscard]] Element diode_element(double drop_v, double at_a, const StudyDefaults& defaults);

} // namespace loomwright
