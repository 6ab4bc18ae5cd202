// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The heat model is asked once for each of seven shares s of the nominal currents I0, all wires
// together. What a wire gives off for each kelvin it is warmer than its air,
//   G(s) = (s I0)^2 r20 (1 + a (T - 20 C)) / (T - T_air)                        W/K
// changes slowly, so that between the shares a straight line will do. A sample's rise at the
// current I and the resistance f r20 follows from I^2 f r20 (1 + a (T_air + rise - 20 C)) = G rise:
//   rise = q (1 + a (T_air - 20 C)) / (G(s) - q a),   q = I^2 f r20,   s = sqrt(f) I / I0
// and is taken as the difference from the same formula at the nominal current, so that nothing
// changed gives the nominal temperature to the last digit.
//
// Neighbours in a bundle are taken to change their currents in the same proportion; the air's own
// effect on G (about a hundredth for each 10 K) is left out. Valid to twice the nominal current.
// Beyond it, and for a wire that carried next to nothing, the wire's own balance in still air is
// added to what it had; where that comes to more than 2 K the whole model is asked.
#include "study/spread_heat.hpp"

#include "solve/heat.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright {
namespace {

constexpr double alpha = 0.00393; ///< IEC 60028, as in `resistance_at`
constexpr double negligible_k = 0.005;
/// A current that warms no wire: 0.22 mm2 of 85 mohm/m makes 0.2 mW/m, 2 mK at the most.
constexpr double cold_a = 0.05;
constexpr double most_alone_k = 2.0;
constexpr int most_rounds = 60;

} // namespace

SpreadHeat::SpreadHeat(const StudyPlan& plan, const StateCircuit& circuit,
                       const std::vector<double>& amps, const std::vector<double>& conductor_c) {
    StateCircuit scratch = circuit;
    WireHeat model(plan, scratch);
    wires_.resize(plan.wires.size());
    const std::vector<int>& branches = plan.input.network.wire_branch;
    for (std::size_t i = 0; i < wires_.size(); ++i) {
        wires_[i].nominal_c = conductor_c[i];
        wires_[i].air_c = model.air_c()[i];
        wires_[i].amps = std::abs(amps[static_cast<std::size_t>(branches[i])]);
        wires_[i].r20_ohm = plan.wires[i].r20_ohm;
        wires_[i].body = plan.bodies[static_cast<std::size_t>(plan.wires[i].body)].wire;
    }
    std::vector<double> scaled(amps.size());
    for (std::size_t k = shares.size(); k-- > 0;) {
        std::ranges::transform(amps, scaled.begin(), [&](double a) { return a * shares.at(k); });
        model.begin(true, scratch);
        for (int round = 0; round < most_rounds && model.update(scaled, scratch); ++round) {
        }
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            WireReading& wire = wires_[i];
            const double rise = model.conductor_c()[i] - wire.air_c;
            const double current = shares.at(k) * wire.amps;
            wire.is_warm = wire.is_warm || (rise > negligible_k && wire.amps > cold_a);
            // Too little of a rise to divide by: as at the next share.
            wire.w_per_k.at(k) = rise > negligible_k ? current * current * wire.r20_ohm *
                                                           (1.0 + alpha * (wire.air_c + rise - 20)) /
                                                           rise
                                 : k + 1 < shares.size() ? wire.w_per_k.at(k + 1)
                                                         : 0.0;
        }
    }
    for (WireReading& wire : wires_) {
        wire.rise_k = wire.is_warm ? rise_of(wire, 1.0, wire.air_c) : 0.0;
        if (!std::isfinite(wire.rise_k)) {
            wire.rise_k = std::numeric_limits<double>::quiet_NaN(); // a runaway: nothing to go by
        }
    }
}

double SpreadHeat::rise_of(const WireReading& wire, double share, double air_c) {
    const auto above = static_cast<std::size_t>(
        std::clamp<std::ptrdiff_t>(std::ranges::upper_bound(shares, share) - shares.begin(), 1,
                                   static_cast<std::ptrdiff_t>(shares.size()) - 1));
    const double low = shares.at(above - 1);
    const double between = std::max((share - low) / (shares.at(above) - low), 0.0);
    const double w_per_k =
        wire.w_per_k.at(above - 1) +
        between * (wire.w_per_k.at(above) - wire.w_per_k.at(above - 1));
    const double q = share * wire.amps * share * wire.amps * wire.r20_ohm;
    const double left = w_per_k - q * alpha;
    return left > 0.0 ? q * (1.0 + alpha * (air_c - 20.0)) / left
                      : std::numeric_limits<double>::quiet_NaN();
}

double SpreadHeat::alone_c(const WireReading& wire, double amps, double air_shift_k) {
    const double air = wire.air_c + air_shift_k;
    const double rise = solve::conductor_temperature_c(wire.body, amps, air) - air -
                        (solve::conductor_temperature_c(wire.body, wire.amps, wire.air_c) -
                         wire.air_c);
    return rise <= most_alone_k ? wire.nominal_c + air_shift_k + rise
                                : std::numeric_limits<double>::quiet_NaN();
}

double SpreadHeat::conductor_c(std::size_t index, double amps, double resistance,
                               double air_shift_k) const {
    const WireReading& wire = wires_[index];
    const double size = std::sqrt(resistance) * std::abs(amps);
    if (size > std::max(shares.back() * wire.amps, cold_a)) {
        return alone_c(wire, size, air_shift_k);
    }
    if (!wire.is_warm) {
        return wire.nominal_c + air_shift_k;
    }
    return wire.nominal_c + air_shift_k +
           (rise_of(wire, size / wire.amps, wire.air_c + air_shift_k) - wire.rise_k);
}

} // namespace loomwright
