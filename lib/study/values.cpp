// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What each device is to the circuit (docs/method/operating-point.md has the sources).
//
//   battery     E(charge) from the table of defaults + slope x (T - default T), or as given;
//               R(T) = R_cold at the cranking test's temperature, R_cold x warm share at the warm
//               temperature and above, on the line through both below it;
//               R_cold = (E_full - U_test) / cranking current, E_full at the test's temperature
//               (SAE J537)
//               x (1 + (flat share - 1)(1 - q)^2) at charge q
//               charged: (U_acceptance - E) / (acceptance x capacity), at least R(T)
//   alternator  limit x (1 - (1 - hot share) (T - T_cool) / (T_hot - T_cool)) above T_cool
//   contact     R = min(default, drop allowed / rating), where it has a rating: one that is made
//               for more current is no worse at its rating; one for less is as good as the usual
//   output      the same by its limit
//   fuse        R = cold x (hot over cold) + holder;  cold x rating in proportion between tabled
//               ratings
//   coil        R = R20 (1 + 0.00393 (T - 20 C))
//   diode       I = Is (exp(v / s) - 1),  Is = I0 / (exp(U0 / s) - 1)
//   motor       I0 above its knee; at rest, and so under the knee, V0 / I_start where that is given
//   turned      E = n (V0 - I0 R) behind R, the resistance that it has at rest; n its speed as a
//               share of that at V0: the equation of a direct-current motor with permanent magnets,
//               V = E + I R, E in proportion to the speed (textbooks of electrical machines)
#include "study/values.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double least_element_ohm = 1e-6;
constexpr double least_a = 1e-6;
constexpr double seconds_an_hour = 3600.0;
constexpr double working_share = 0.5; ///< of the rated voltage: the least that counts as working
/// Of what an alternator gives cool, however hot; or its `when-hot`, where that is less.
constexpr double least_output = 0.2;

/// Cold resistance x rating of a family at a rating: tabled, in proportion between tabled ratings,
/// that of the nearest tabled one outside; nothing when no rating of the family is tabled.
std::optional<double> cold_drop_v(const FuseFamily& family, double rating_a) {
    const FuseRating* below = nullptr;
    const FuseRating* above = nullptr;
    for (const FuseRating& row : family.ratings) {
        if (!row.cold) {
            continue;
        }
        if (row.rating.value() <= rating_a) {
            below = &row;
        } else if (above == nullptr) {
            above = &row;
        }
    }
    const auto drop = [](const FuseRating& row) { return row.cold->value() * row.rating.value(); };
    if (below == nullptr && above == nullptr) {
        return std::nullopt;
    }
    if (below == nullptr || above == nullptr) {
        return drop(below != nullptr ? *below : *above);
    }
    const double share =
        (rating_a - below->rating.value()) / (above->rating.value() - below->rating.value());
    return drop(*below) + share * (drop(*above) - drop(*below));
}

ContactOhms by_rating(double default_ohm, double drop_v, std::optional<Amps> rating) {
    if (rating && rating->value() > 0.0 && drop_v / rating->value() < default_ohm) {
        return {drop_v / rating->value(), rating};
    }
    return {default_ohm, std::nullopt};
}

double link_ohm(const ConductorSize& size, const Catalogue& catalogue,
                const StudyDefaults& defaults) {
    const Conductor* conductor = catalogue.find_conductor(size);
    return conductor != nullptr ? conductor->r20_ohm_per_m * defaults.link_length_m
                                : defaults.fuse_holder_ohm;
}

double battery_ohm(const Battery& battery, const StudyDefaults& defaults, double temperature_c) {
    if (battery.resistance) {
        return battery.resistance->value();
    }
    const double capacity_ah = battery.capacity.value() / seconds_an_hour;
    const double cranking_a = battery.cranking_amps
                                  ? battery.cranking_amps->value()
                                  : capacity_ah * defaults.battery_cranking_per_ah;
    const double cold_ohm =
        (defaults.battery_cold_open_v() - defaults.battery_cranking_v) / std::max(cranking_a, 1.0);
    const double warmth = std::min((temperature_c - defaults.battery_cranking_c) /
                                       (defaults.battery_warm_c - defaults.battery_cranking_c),
                                   1.0);
    return cold_ohm * (1.0 + warmth * (defaults.battery_warm_share - 1.0));
}

double open_circuit_v(const StudyDefaults& defaults, double charge) {
    const double quarters = 4.0 * std::clamp(charge, 0.0, 1.0);
    const auto low = std::min(static_cast<std::size_t>(quarters), std::size_t{3});
    const double share = quarters - static_cast<double>(low);
    return defaults.charge_v[low] + share * (defaults.charge_v[low + 1] - defaults.charge_v[low]);
}

/// Under its knee a motor stands still and is the resistance of its winding: that at which its
/// start pulse flows, where the file gives one.
double motor_knee_v(const Demand& draws, const std::optional<Inrush>& start, double rated_v,
                    double default_v) {
    const double amps = draws.current.value();
    if (!start || start->current.value() <= amps) {
        return default_v;
    }
    // A pulse of hardly more than the running current is a soft start, not a motor at rest.
    return std::min(amps / start->current.value(), working_share) * rated_v;
}

double knee_v(const Load& load, const StudyDefaults& defaults) {
    return load.word == "led-lamp"
               ? defaults.led_knee_v
               : motor_knee_v(load.draws, load.inrush, rated_volts(load.draws, defaults),
                              defaults.motor_knee_v);
}

/// Resistance of a protective device with its holder, cold or at its rated current.
double device_ohm(const Protection& device, std::optional<Amps> rating, const Catalogue& catalogue,
                  const StudyDefaults& defaults, bool is_running) {
    if (device.resistance) {
        return device.resistance->value();
    }
    if (device.link) {
        return link_ohm(*device.link, catalogue, defaults);
    }
    if (!rating || rating->value() <= 0.0) {
        return defaults.fuse_holder_ohm;
    }
    const FuseFamily* family = catalogue.find_fuse_family(device.family);
    const double rating_a = rating->value();
    std::optional<double> drop;
    if (family != nullptr) {
        drop = cold_drop_v(*family, rating_a);
    }
    if (!drop) {
        // A family without figures of its own: the usual blade fuses stand in for it.
        const FuseFamily* blades = catalogue.find_fuse_family("blade");
        drop = blades != nullptr ? cold_drop_v(*blades, rating_a) : std::nullopt;
        drop = std::max(drop.value_or(0.0), defaults.fuse_cold_drop_v);
    }
    const double hot = is_running && family != nullptr ? std::max(family->hot_over_cold, 1.0) : 1.0;
    return *drop / rating_a * hot + defaults.fuse_holder_ohm;
}

} // namespace

double rated_volts(const Demand& draws, const StudyDefaults& defaults) {
    return draws.at.value() > 0.0 ? draws.at.value() : defaults.rated_v;
}

StudyDefaults::StudyDefaults(const Catalogue& catalogue, const Vehicle& vehicle)
    : scale(vehicle.nominal.value() > 0.0 ? vehicle.nominal.value() / 12.0 : 1.0) {
    const auto get = [&](std::string_view name) { return catalogue.default_value(name).value; };
    const double nominal = 12.0 * scale;
    ground_bond_ohm = get("ground-bond");
    strap_ohm = get("strap-resistance");
    connector_ohm = get("connector-contact");
    relay_contact_ohm = get("relay-contact");
    switch_contact_ohm = get("switch-contact");
    starter_contact_ohm = get("starter-contact");
    flasher_contact_ohm = get("flasher-contact");
    controller_output_ohm = get("controller-output");
    contact_drop_v = get("contact-drop");
    output_drop_v = get("output-drop");
    fuse_holder_ohm = get("fuse-holder");
    fuse_cold_drop_v = get("fuse-cold-drop");
    link_length_m = get("fusible-link-length");
    air_c = get("air");
    rated_v = get("rated-voltage") * scale;
    motor_knee_v = get("motor-knee") * scale;
    led_knee_v = get("led-lamp-knee") * scale;
    starter_knee_v = get("starter-knee") * scale;
    electronics_least_v = get("electronics-least") * scale;
    lamp_cold_ratio = get("lamp-cold-ratio");
    coil_temperature_c = get("coil-temperature");
    coil_rise_k_per_w = get("coil-rise");
    relay_coil_ohm = get("relay-coil") * scale * scale;
    relay_pull_in_v = get("relay-pull-in") * nominal;
    relay_drop_out_v = get("relay-drop-out") * nominal;
    suppression_ohm = get("suppression-resistor") * scale * scale;
    starter_solenoid_ohm = get("starter-solenoid") * scale * scale;
    starter_pull_in_v = get("starter-pull-in") * nominal;
    starter_drop_out_v = get("starter-drop-out") * nominal;
    alternator_ohm = get("alternator-resistance");
    alternator_idle_share = get("alternator-idle-share");
    alternator_cool_c = get("alternator-cool");
    alternator_hot_c = get("alternator-hot");
    alternator_hot_share = get("alternator-hot-share");
    alternator_field_ohm = get("alternator-field");
    alternator_exciter_ohm = get("alternator-exciter");
    charger_ohm = get("charger-resistance");
    diode_drop_v = get("diode-drop");
    diode_a = get("diode-current");
    diode_slope_v = get("diode-slope");
    battery_open_v = get("battery-open-circuit") * scale;
    battery_cranking_v = get("battery-cranking-voltage") * scale;
    battery_cranking_c = get("battery-cranking-temperature");
    battery_warm_share = get("battery-warm-share");
    battery_warm_c = get("battery-warm-temperature");
    battery_c = get("battery-temperature");
    battery_cranking_per_ah = get("battery-cranking-per-ah");
    battery_flat_share = get("battery-flat-share");
    battery_open_v_per_k = get("battery-open-circuit-slope") * scale;
    acceptance_full = get("battery-acceptance-full");
    acceptance_flat = get("battery-acceptance-flat");
    acceptance_v = get("battery-acceptance-voltage") * scale;
    charge_v[0] = get("battery-charge-0") * scale;
    charge_v[1] = get("battery-charge-25") * scale;
    charge_v[2] = get("battery-charge-50") * scale;
    charge_v[3] = get("battery-charge-75") * scale;
    charge_v[4] = get("battery-charge-100") * scale;
}

double StudyDefaults::battery_cold_open_v() const {
    return battery_open_v + battery_open_v_per_k * (battery_cranking_c - battery_c);
}

StudyDefaults StudyDefaults::in_row(int batteries) const {
    StudyDefaults out = *this;
    const double share = 1.0 / std::max(batteries, 1);
    out.battery_open_v *= share;
    out.battery_cranking_v *= share;
    out.battery_open_v_per_k *= share;
    out.acceptance_v *= share;
    for (double& volts : out.charge_v) {
        volts *= share;
    }
    return out;
}

Element resistor_element(double ohm) {
    return {.law = solve::Law::conductance, .a = 1.0 / std::max(ohm, least_element_ohm)};
}

std::optional<Amps> contact_rating(const Relay& relay, int part) {
    return part == 1 && relay.contact_break ? relay.contact_break : relay.contact;
}

ContactOhms contact_ohms(const Device& device, int part, const StudyDefaults& defaults) {
    if (device.as<Starter>() != nullptr) {
        return {defaults.starter_contact_ohm, std::nullopt};
    }
    if (const auto* controller = device.as<Controller>()) {
        return by_rating(defaults.controller_output_ohm, defaults.output_drop_v,
                         controller->parts[static_cast<std::size_t>(part)].limit);
    }
    if (const auto* relay = device.as<Relay>()) {
        return by_rating(defaults.relay_contact_ohm, defaults.contact_drop_v,
                         contact_rating(*relay, part));
    }
    if (const auto* flasher = device.as<Flasher>()) {
        return by_rating(defaults.flasher_contact_ohm, defaults.contact_drop_v, flasher->contact);
    }
    const auto* hand = device.as<Switch>();
    return by_rating(defaults.switch_contact_ohm, defaults.contact_drop_v,
                     hand != nullptr ? hand->contact : std::nullopt);
}

double battery_charge(const Battery& battery, const State* state) {
    return state != nullptr && state->charge ? *state->charge : battery.charge;
}

double battery_temperature_c(const Battery& battery, const StudyDefaults& defaults,
                             const Policy& policy, const State* state) {
    if (state != nullptr && state->battery_temperature) {
        return state->battery_temperature->value();
    }
    if (battery.temperature) {
        return battery.temperature->value();
    }
    return policy.battery_temperature ? policy.battery_temperature->value.value()
                                      : defaults.battery_c;
}

BatteryValues battery_values(const Battery& battery, const StudyDefaults& defaults, double charge,
                             double temperature_c) {
    BatteryValues out;
    out.open_v = battery.open_voltage
                     ? battery.open_voltage->value()
                     : open_circuit_v(defaults, charge) +
                           defaults.battery_open_v_per_k * (temperature_c - defaults.battery_c);
    const double lacking = 1.0 - std::clamp(charge, 0.0, 1.0);
    const double drained =
        battery.resistance ? 1.0 : 1.0 + (defaults.battery_flat_share - 1.0) * lacking * lacking;
    out.ohm = std::max(battery_ohm(battery, defaults, temperature_c) * drained, least_element_ohm);
    const double acceptance =
        defaults.acceptance_flat +
        std::clamp(charge, 0.0, 1.0) * (defaults.acceptance_full - defaults.acceptance_flat);
    const double accepted_a = acceptance * battery.capacity.value() / seconds_an_hour;
    const double head_v = defaults.acceptance_v - out.open_v;
    out.charging_ohm = accepted_a > 0.0 ? std::max(head_v / accepted_a, out.ohm) : out.ohm;
    return out;
}

double battery_most_a(const BatteryValues& values, const StudyDefaults& defaults) {
    return std::max(0.0, (values.open_v - defaults.battery_cranking_v) / values.ohm);
}

double alternator_limit_a(const Alternator& alternator, const StudyDefaults& defaults,
                          EngineCondition engine, double air_c) {
    const double rated = alternator.rated.value();
    double limit = rated;
    if (engine == EngineCondition::idle) {
        limit = alternator.at_idle ? alternator.at_idle->value()
                                   : rated * defaults.alternator_idle_share;
    }
    const double hot_share = alternator.when_hot && rated > 0.0
                                 ? alternator.when_hot->value() / rated
                                 : defaults.alternator_hot_share;
    const double heat = (air_c - defaults.alternator_cool_c) /
                        (defaults.alternator_hot_c - defaults.alternator_cool_c);
    return limit * std::max(1.0 - (1.0 - hot_share) * std::max(heat, 0.0),
                            std::min(least_output, hot_share));
}

double protection_ohm(const Protection& device, std::optional<Amps> rating,
                      const Catalogue& catalogue, const StudyDefaults& defaults) {
    return device_ohm(device, rating, catalogue, defaults, true);
}

double cold_protection_ohm(const Protection& device, std::optional<Amps> rating,
                           const Catalogue& catalogue, const StudyDefaults& defaults) {
    return device_ohm(device, rating, catalogue, defaults, false);
}

Element load_element(const Load& load, const StudyDefaults& defaults) {
    const double amps = std::max(load.draws.current.value(), 0.0);
    const double volts = rated_volts(load.draws, defaults);
    switch (load.law) {
    case LoadLaw::resistance:
        return {.law = solve::Law::conductance, .a = amps / volts};
    case LoadLaw::constant_current:
        return {.law = solve::Law::constant_current, .a = amps, .b = knee_v(load, defaults)};
    case LoadLaw::constant_power:
        return {.law = solve::Law::constant_power,
                .a = amps * volts,
                .b = working_volts(load, defaults)};
    case LoadLaw::lamp: {
        const double pulse = load.inrush ? load.inrush->current.value() : 0.0;
        const double ratio = pulse > amps && amps > 0.0 ? pulse / amps : defaults.lamp_cold_ratio;
        return {.law = solve::Law::lamp, .a = amps, .b = volts, .c = ratio};
    }
    }
    return {};
}

Element starting_element(const Load& load, const StudyDefaults& defaults) {
    const Element running = load_element(load, defaults);
    if (running.law == solve::Law::lamp) {
        // Cold from end to end: the straight line at which the running law begins.
        return {.law = solve::Law::conductance, .a = running.a * running.c / running.b};
    }
    if (!load.inrush || load.inrush->current.value() <= load.draws.current.value()) {
        return running;
    }
    return {.law = solve::Law::conductance,
            .a = load.inrush->current.value() / rated_volts(load.draws, defaults)};
}

Element turned_element(const Load& load, const StudyDefaults& defaults, double speed) {
    const double amps = load.draws.current.value();
    const double volts = rated_volts(load.draws, defaults);
    const double ohm =
        std::max(knee_v(load, defaults) / std::max(amps, least_a), least_element_ohm);
    return {
        .law = solve::Law::source, .a = speed * std::max(volts - amps * ohm, 0.0), .b = 1.0 / ohm};
}

Element starter_element(const Starter& starter, const StudyDefaults& defaults) {
    return {.law = solve::Law::constant_current,
            .a = std::max(starter.draws.current.value(), 0.0),
            .b = motor_knee_v(starter.draws, starter.inrush, rated_volts(starter.draws, defaults),
                              defaults.starter_knee_v)};
}

Element starting_element(const Starter& starter, const StudyDefaults& defaults) {
    if (!starter.inrush || starter.inrush->current.value() <= starter.draws.current.value()) {
        return starter_element(starter, defaults);
    }
    return {.law = solve::Law::conductance,
            .a = starter.inrush->current.value() / rated_volts(starter.draws, defaults)};
}

double working_volts(const Load& load, const StudyDefaults& defaults) {
    if (load.least && load.least->value() > 0.0) {
        return load.least->value();
    }
    if (load.law == LoadLaw::constant_power) {
        return defaults.electronics_least_v;
    }
    if (load.word == "led-lamp") {
        return defaults.led_knee_v;
    }
    return working_share * rated_volts(load.draws, defaults);
}

double relay_coil_ohm(const Relay& relay, const StudyDefaults& defaults) {
    return relay.coil.value() > 0.0 ? relay.coil.value() : defaults.relay_coil_ohm;
}

Element diode_element(double drop_v, double at_a, const StudyDefaults& defaults) {
    const double slope = defaults.diode_slope_v;
    const double drop = drop_v > 0.0 ? drop_v : defaults.diode_drop_v;
    const double amps = at_a > 0.0 ? at_a : defaults.diode_a;
    return {.law = solve::Law::diode, .a = amps / std::expm1(drop / slope), .b = slope};
}

} // namespace loomwright
