// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/ampacity.hpp"
#include "sizing/time_current.hpp"
#include "solve/warming.hpp"

#include <optional>
#include <string>

namespace loomwright {

/// Current that a wire's insulation stands when its device opens late, over its ampacity (IEC
/// 60364-4-43).
constexpr double conventional_factor = 1.45;

/// Ampacity that a wire needs behind a device of this rating: max(In, I2 / 1.45).
[[nodiscard]] double ampacity_behind(const FuseFamily& family, double rating_a);
/// Temperature of a conductor after so much I^2 t (A^2 s) when no heat leaves it: the adiabatic
/// equation of IEC 60949 solved for its end, copper; good for 5 s and less.
[[nodiscard]] double adiabatic_end_c(const Catalogue& catalogue, double start_c, double a2s,
                                     double copper_mm2);

/// A conductor that warms alone in still air; its copper alone holds heat.
[[nodiscard]] solve::Warming conductor_warming(const solve::WireBody& body, double copper_area_mm2,
                                               double air_c);
/// Temperature of a conductor after a steady current has run for a time, from `start_c`
/// (solve::Warming); what its surface gives off is less by the share that a bundle keeps back,
/// `bundle_factor` of its ampacity being left. 1000 C for all that is hotter.
[[nodiscard]] double temperature_after(const solve::WireBody& body, double copper_area_mm2,
                                       double bundle_factor, double amps, double seconds,
                                       double start_c, double air_c);

/// I^2 t (A^2 s) that brings a conductor from its insulation's class to its short-time limit, no
/// heat leaving: k^2 S^2, S the copper it is sure to hold.
[[nodiscard]] double withstand_a2s(const Conductor& conductor, const Insulation& insulation);

/// One gate of the device against the heat of the wire behind it.
struct GateHeat {
    double multiple = 0.0;
    double amps = 0.0;
    double seconds = 0.0;
    double peak_c = 0.0;
    bool is_between = false; ///< two gates
};

/// Whether a device protects a wire, with every figure of the proof.
struct ProtectionProof {
    double rating_a = 0.0;
    double sure_multiple = 0.0; ///< I2 / In
    double sure_a = 0.0;        ///< I2
    double ampacity_a = 0.0;    ///< Iz
    double needed_ampacity_a = 0.0;
    bool carries = false;       ///< In <= Iz
    bool opens_in_time = false; ///< I2 <= 1.45 Iz
    std::optional<LetThrough> let_through;
    double k = 0.0;
    double copper_mm2 = 0.0;
    double withstand_a2s = 0.0; ///< k^2 S^2
    bool stands_short = false;
    std::vector<GateHeat> slow_gates; ///< slower than 5 s, from I2 on, and between them
    double short_time_c = 0.0;        ///< limit of the peak
    bool stands_slow_gates = false;
    bool has_band = false; ///< the family's gates are known
    [[nodiscard]] bool holds() const {
        return carries && opens_in_time && stands_short && stands_slow_gates;
    }
};
[[nodiscard]] ProtectionProof prove_protection(const StudyInput& input, const DeviceBand& band,
                                               const Conductor& conductor,
                                               const Insulation& insulation,
                                               const Ampacity& ampacity);
/// The same verdict without the figures: the heat over time is not followed where something else
/// fails or where even without any cooling the conductor stays under its limit.
[[nodiscard]] bool is_protected(const StudyInput& input, const DeviceBand& band,
                                const Conductor& conductor, const Insulation& insulation,
                                const Ampacity& ampacity);

/// SAE J156 practice: a fusible link is four AWG numbers thinner than the wire it protects, that is
/// its area times 2.53. A size that is just four numbers away may be rounded a little below that.
constexpr double link_area_ratio = 2.53;
[[nodiscard]] inline bool suits_link(const Conductor& wire, const Conductor& link) {
    return wire.area.value() >= 0.97 * link_area_ratio * link.area.value();
}
/// The conductor of a fusible link that says its size; nullptr for any other device.
[[nodiscard]] const Conductor* link_conductor(const StudyInput& input, DeviceId device);

/// The family of a protective device; nullptr when the tables do not have it.
[[nodiscard]] const FuseFamily* family_of(const StudyInput& input, DeviceId device);

/// What a protective device is made to break.
struct BreakingCapacity {
    std::optional<Amps> amps; ///< nothing: not known
    std::string source;
};
/// Its own, else that of the shop's stock at its rating in the design, else its family's.
[[nodiscard]] BreakingCapacity breaking_capacity_of(const StudyInput& input, const Design& design,
                                                    DeviceId device);

} // namespace loomwright
