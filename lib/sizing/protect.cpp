// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Does a protective device protect a wire (docs/method/protection.md)?
//
//   overload        In <= Iz and I2 <= 1.45 Iz                      IEC 60364-4-43, 433.1
//                   In rating, Iz ampacity in place, I2 = m In the current that is sure to open it
//                   (m = 1.35 for blade fuses, ISO 8820-3)
//   short circuit   k^2 S^2 >= I^2 t, t <= 5 s                      IEC 60364-5-54, IEC 60949
//                   I^2 t the most that the slow side of the time-current band lets through at any
//                   current that opens it within 5 s; k from the insulation's class to its
//                   short-time limit
//   in between      gates slower than 5 s: c S dT/dt = I^2 r(T) - f^2 Q(T) from the class limit,
//   peak
//                   under the short-time limit; Q by the heat balance, f the bundle's share
//
// The band itself: lib/sizing/time_current.hpp.
#include "sizing/protect.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace loomwright {
namespace {

constexpr double copper_heat_j_per_k_mm3 = 3.45e-3; // IEC 60949, copper
constexpr std::size_t heat_points = 17;
constexpr double hopeless_c = 1000.0;

/// Heat given off (W/m) by conductor temperature, tabled once for a run in time: the surface steps
/// evenly, the conductor's temperature follows from the heat that passes the insulation.
class HeatTable {
public:
    HeatTable(const solve::WireBody& body, double air_c, double top_c) {
        const double through = body.outside_diameter_m > body.conductor_diameter_m
                                   ? std::log(body.outside_diameter_m / body.conductor_diameter_m) /
                                         (2.0 * std::numbers::pi * body.insulation_w_per_m_k)
                                   : 0.0;
        for (std::size_t i = 1; i < heat_points; ++i) {
            const double surface_c =
                air_c + (top_c - air_c) * static_cast<double>(i) / (heat_points - 1);
            watts_[i] = solve::surface_heat_w_per_m(body.outside_diameter_m, surface_c, air_c,
                                                    body.emissivity);
            conductor_c_[i] = surface_c + watts_[i] * through;
        }
        conductor_c_[0] = air_c;
    }
    [[nodiscard]] double at(double conductor_c) const {
        std::size_t high = 1;
        while (high + 1 < heat_points && conductor_c_[high] < conductor_c) {
            ++high;
        }
        const double span = conductor_c_[high] - conductor_c_[high - 1];
        const double part = std::max(0.0, (conductor_c - conductor_c_[high - 1]) / span);
        return watts_[high - 1] + part * (watts_[high] - watts_[high - 1]);
    }

private:
    std::array<double, heat_points> conductor_c_{};
    std::array<double, heat_points> watts_{};
};

double withstand_a2s(const Conductor& conductor, const Insulation& insulation) {
    return std::pow(insulation.k_a_sqrt_s_per_mm2 * conductor.copper_area.value() * 1e6, 2);
}

double slow_peak_c(const StudyInput& input, const DeviceBand& band, const SlowGate& gate,
                   const Conductor& conductor, const Insulation& insulation,
                   const Ampacity& ampacity) {
    const double share = ampacity.free_air_a > 0.0 ? ampacity.amps / ampacity.free_air_a : 0.0;
    return temperature_after(
        wire_body(input.catalogue, conductor, insulation), conductor.copper_area.value() * 1e6,
        share, gate.multiple * band.rating_a, gate.seconds, ampacity.limit_c, ampacity.air_c);
}

} // namespace

double ampacity_behind(const FuseFamily& family, double rating_a) {
    const auto sure = family.sure_to_open();
    return sure ? std::max(rating_a, sure->multiple * rating_a / conventional_factor) : rating_a;
}

double adiabatic_end_c(const Catalogue& catalogue, double start_c, double a2s, double copper_mm2) {
    const double k = catalogue.default_value("adiabatic-copper").value;
    const double beta = catalogue.default_value("adiabatic-copper-beta").value;
    return (beta + start_c) * std::exp(a2s / std::pow(k * copper_mm2, 2)) - beta;
}

double temperature_after(const solve::WireBody& body, double copper_area_mm2, double bundle_factor,
                         double amps, double seconds, double start_c, double air_c) {
    const double store = copper_heat_j_per_k_mm3 * copper_area_mm2 * 1e3; // J/(K m)
    // Above the short-time limit the answer is "too hot" whatever the number.
    const double top = std::max(start_c, air_c) + 300.0;
    const HeatTable given_off(body, air_c, top);
    const double kept = bundle_factor * bundle_factor;
    constexpr int steps = 100;
    const double dt = seconds / steps;
    double conductor_c = start_c;
    const auto rate = [&](double at_c) {
        return (amps * amps * resistance_at(body.r20_ohm_per_m, Celsius(at_c)) -
                kept * given_off.at(at_c)) /
               store;
    };
    for (int i = 0; i < steps; ++i) {
        // Heun's step; a stiff thin wire is held at its steady state instead of overshooting it.
        const double first = rate(conductor_c);
        const double guess = conductor_c + dt * first;
        const double second = rate(guess);
        if (first > 0.0 && second < 0.0) {
            double low = conductor_c;
            double high = guess;
            for (int half = 0; half < 40; ++half) {
                const double middle = 0.5 * (low + high);
                (rate(middle) > 0.0 ? low : high) = middle;
            }
            return low;
        }
        conductor_c += 0.5 * dt * (first + second);
        if (conductor_c > hopeless_c) {
            return conductor_c;
        }
    }
    return conductor_c;
}

ProtectionProof prove_protection(const StudyInput& input, const DeviceBand& band,
                                 const Conductor& conductor, const Insulation& insulation,
                                 const Ampacity& ampacity) {
    ProtectionProof proof;
    proof.rating_a = band.rating_a;
    proof.ampacity_a = ampacity.amps;
    proof.has_band = band.is_known();
    proof.sure_multiple = band.sure_multiple;
    proof.sure_a = band.sure_multiple * band.rating_a;
    proof.needed_ampacity_a = std::max(band.rating_a, proof.sure_a / conventional_factor);
    proof.carries = band.rating_a <= ampacity.amps;
    proof.opens_in_time = proof.has_band && proof.sure_a <= conventional_factor * ampacity.amps;
    proof.k = insulation.k_a_sqrt_s_per_mm2;
    proof.copper_mm2 = conductor.copper_area.value() * 1e6;
    proof.withstand_a2s = withstand_a2s(conductor, insulation);
    proof.let_through = band.let_through;
    proof.stands_short = proof.let_through && proof.let_through->a2s <= proof.withstand_a2s;
    proof.short_time_c = insulation.short_time.value();
    proof.stands_slow_gates = true;
    for (const SlowGate& gate : band.slow_gates) {
        const double peak = slow_peak_c(input, band, gate, conductor, insulation, ampacity);
        proof.stands_slow_gates = proof.stands_slow_gates && peak <= proof.short_time_c;
        proof.slow_gates.push_back(
            {gate.multiple, gate.multiple * band.rating_a, gate.seconds, peak});
    }
    return proof;
}

bool is_protected(const StudyInput& input, const DeviceBand& band, const Conductor& conductor,
                  const Insulation& insulation, const Ampacity& ampacity) {
    if (band.rating_a > ampacity.amps) {
        return false;
    }
    if (!band.is_known()) {
        return true; // nothing more can be said of a family without opening times
    }
    const double withstand = withstand_a2s(conductor, insulation);
    if (band.sure_multiple * band.rating_a > conventional_factor * ampacity.amps ||
        !band.let_through || band.let_through->a2s > withstand) {
        return false;
    }
    return std::ranges::all_of(band.slow_gates, [&](const SlowGate& gate) {
        const double a2s = std::pow(gate.multiple * band.rating_a, 2) * gate.seconds;
        return a2s <= withstand || slow_peak_c(input, band, gate, conductor, insulation,
                                               ampacity) <= insulation.short_time.value();
    });
}

const Conductor* link_conductor(const StudyInput& input, DeviceId device) {
    const auto* protection = input.vehicle.device(device).as<Protection>();
    return protection == nullptr || !protection->link
               ? nullptr
               : input.catalogue.find_conductor(*protection->link);
}

const FuseFamily* family_of(const StudyInput& input, DeviceId device) {
    const auto* protection = input.vehicle.device(device).as<Protection>();
    return protection == nullptr ? nullptr : input.catalogue.find_fuse_family(protection->family);
}

} // namespace loomwright
