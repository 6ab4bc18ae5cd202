// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The heat model is asked once for each of seven shares s of the nominal currents I0, all wires
// together. What a wire gives off for each kelvin it is warmer than its air,
//   G(s) = (s I0)^2 r20 (1 + a (T - 20 C)) / (T - T_air)                        W/K
// changes slowly, so that between the shares a straight line will do. A sample's rise at the
// current I and the resistance f r20 (its length apart, which sheds as much more as it makes) follows from I^2 f r20 (1 + a (T_air + rise - 20 C)) = G rise:
//   rise = q (1 + a (T_air - 20 C)) / (G(s) - q a),   q = I^2 f r20,   s = sqrt(f) I / I0
// and is taken as the difference from the same formula at the nominal current, so that nothing
// changed gives the nominal temperature to the last digit.
//
// The model is asked once more at the nominal currents in air 20 K warmer, for what G gains with each
// kelvin of air (about 0.3 %). Neighbours in a bundle are taken to change their currents in the same
// proportion. Valid to twice the nominal current.
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
constexpr double warmer_k = 20.0;

/// The model's temperatures at these currents, from rest.
void settle(WireHeat& model, const std::vector<double>& amps, StateCircuit& circuit) {
    model.begin(true, circuit);
    for (int round = 0; round < most_rounds && model.update(amps, circuit); ++round) {
    }
}

double watts(double amps, double r20_ohm, double conductor_c) {
    return amps * amps * resistance_at(r20_ohm, Celsius(conductor_c));
}

} // namespace

SpreadHeat::SpreadHeat(const StudyPlan& plan, const StateCircuit& circuit,
                       const std::vector<double>& amps, const std::vector<double>& conductor_c) {
    StateCircuit scratch = circuit;
    wires_.resize(plan.wires.size());
    const std::vector<int>& branches = plan.input.network.wire_branch;
    for (std::size_t i = 0; i < wires_.size(); ++i) {
        wires_[i].nominal_c = conductor_c[i];
        wires_[i].amps = std::abs(amps[static_cast<std::size_t>(branches[i])]);
        wires_[i].r20_ohm = plan.wires[i].r20_ohm;
        wires_[i].body = plan.bodies[static_cast<std::size_t>(plan.wires[i].body)].wire;
    }
    read(plan, scratch, amps);
    read_warmer_air(plan, scratch, amps);
    for (WireReading& wire : wires_) {
        wire.rise_k = wire.is_warm ? rise_of(wire, 1.0, 0.0) : 0.0;
    }
}

void SpreadHeat::read(const StudyPlan& plan, StateCircuit& circuit,
                      const std::vector<double>& amps) {
    WireHeat model(plan, circuit);
    std::vector<double> scaled(amps.size());
    for (std::size_t k = shares.size(); k-- > 0;) {
        std::ranges::transform(amps, scaled.begin(), [&](double a) { return a * shares.at(k); });
        settle(model, scaled, circuit);
        for (std::size_t i = 0; i < wires_.size(); ++i) {
            WireReading& wire = wires_[i];
            wire.air_c = model.air_c()[i];
            const double rise = model.conductor_c()[i] - wire.air_c;
            wire.is_warm = wire.is_warm || (rise > negligible_k && wire.amps > cold_a);
            if (rise > negligible_k) {
                wire.w_per_k.at(k) =
                    watts(shares.at(k) * wire.amps, wire.r20_ohm, wire.air_c + rise) / rise;
            } else if (k + 1 < shares.size()) {
                // Too little of a rise to divide by: as at the next share.
                wire.w_per_k.at(k) = wire.w_per_k.at(k + 1);
            }
        }
    }
}

void SpreadHeat::read_warmer_air(const StudyPlan& plan, StateCircuit& circuit,
                                 const std::vector<double>& amps) {
    circuit.air_shift_k += warmer_k;
    WireHeat model(plan, circuit);
    settle(model, amps, circuit);
    for (std::size_t i = 0; i < wires_.size(); ++i) {
        WireReading& wire = wires_[i];
        const double rise = model.conductor_c()[i] - model.air_c()[i];
        const double before = rise_of(wire, 1.0, 0.0);
        if (wire.is_warm && rise > negligible_k && before > 0.0) {
            const double nominal = watts(wire.amps, wire.r20_ohm, wire.air_c + before) / before;
            const double warmer =
                watts(wire.amps, wire.r20_ohm, model.conductor_c()[i]) / rise;
            wire.more_per_k = (warmer / nominal - 1.0) / warmer_k;
        }
    }
}

double SpreadHeat::rise_of(const WireReading& wire, double share, double air_shift_k) {
    const auto above = static_cast<std::size_t>(
        std::clamp<std::ptrdiff_t>(std::ranges::upper_bound(shares, share) - shares.begin(), 1,
                                   static_cast<std::ptrdiff_t>(shares.size()) - 1));
    const double low = shares.at(above - 1);
    const double between = std::max((share - low) / (shares.at(above) - low), 0.0);
    const double w_per_k =
        (wire.w_per_k.at(above - 1) +
         between * (wire.w_per_k.at(above) - wire.w_per_k.at(above - 1))) *
        (1.0 + wire.more_per_k * air_shift_k);
    const double q = share * wire.amps * share * wire.amps * wire.r20_ohm;
    const double left = w_per_k - q * alpha;
    return left > 0.0 ? q * (1.0 + alpha * (wire.air_c + air_shift_k - 20.0)) / left
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

double SpreadHeat::conductor_c(std::size_t index, double amps, double per_metre,
                               double air_shift_k) const {
    const WireReading& wire = wires_[index];
    const double size = std::sqrt(per_metre) * std::abs(amps);
    if (size > std::max(shares.back() * wire.amps, cold_a)) {
        return alone_c(wire, size, air_shift_k);
    }
    if (!wire.is_warm) {
        return wire.nominal_c + air_shift_k;
    }
    return wire.nominal_c + air_shift_k +
           (rise_of(wire, size / wire.amps, air_shift_k) - wire.rise_k);
}

} // namespace loomwright
