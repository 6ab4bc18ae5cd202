// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Each conductor by itself in its insulation and covers (solve/warming.hpp), from its temperature
// in the state at rest. The others of its bundle keep it as much warmer as they did before the
// fault, and its resistance with it:
//
//   T(t) = T_alone(t; I sqrt(r(T0) / r(T0 - dT))) + dT,   dT = T0 - T_alone(rest; I0)
//
//   T0, I0 temperature and current in the state at rest, r resistance of copper
//
// For a short time that is the adiabatic equation of IEC 60949, for a long one the heat balance of
// heat.cpp.
#include "study/fault_heat.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double warmed_k = 5.0;     ///< less is not the short's doing
constexpr double loaded_share = 0.1; ///< of what brings it to its class: as in sizing

} // namespace

FaultHeat::FaultHeat(const FaultBase& base, WireWarmings& warmings) {
    const std::size_t count = base.plan.wires.size();
    wires_.resize(count);
    for (std::size_t i = 0; i < count; ++i) {
        const WireState& state = base.solution.wires[i];
        const Insulation& insulation = *base.plan.wires[i].insulation;
        Wire& wire = wires_[i];
        wire.class_c = insulation.limit.value();
        wire.short_time_c = insulation.short_time.value();
        wire.start_c = state.conductor_c;
        wire.base_a = std::abs(state.amps);
        double alone_c = state.air_c;
        for (std::size_t k = 0; k < warmings.cover_count(); ++k) {
            if (warmings.meets(i, k)) {
                wire.warmings.push_back(&warmings.of(i, k, state.air_c));
                alone_c = std::max(alone_c, wire.warmings.back()->steady_c(wire.base_a));
            }
        }
        wire.neighbours_k = std::max(0.0, wire.start_c - alone_c);
        wire.current_factor =
            std::sqrt(resistance_at(1.0, Celsius(wire.start_c)) /
                      resistance_at(1.0, Celsius(wire.start_c - wire.neighbours_k)));
        wire.calm_a = OpeningCurve::never;
        for (const solve::Warming* warming : wire.warmings) {
            wire.calm_a =
                std::min(wire.calm_a, warming->steady_amps(wire.class_c - wire.neighbours_k) /
                                          wire.current_factor);
        }
    }
}

void HeatRun::begin() {
    hot_.clear();
    time_s_ = 0.0;
    is_any_loaded_ = false;
    passes_short_time_ = false;
    passes_class_ = false;
    ever_passed_short_time_ = false;
}

HeatRun::Hot& HeatRun::hot(std::size_t wire) {
    const auto found = std::ranges::find(hot_, wire, &Hot::wire);
    if (found != hot_.end()) {
        return *found;
    }
    const double start_c = heat_.wires()[wire].start_c;
    return hot_.emplace_back(Hot{.wire = wire, .now_c = start_c, .peak_c = start_c});
}

void HeatRun::warm(Hot& hot, double amps, double seconds) {
    const FaultHeat::Wire& wire = heat_.wires()[hot.wire];
    const double current = amps * wire.current_factor;
    const double alone_c = hot.now_c - wire.neighbours_k;
    double end_c = hot.now_c;
    bool is_first = true;
    for (const solve::Warming* warming : wire.warmings) {
        const double reached =
            wire.neighbours_k + (std::isinf(seconds)
                                     ? warming->steady_c(current)
                                     : warming->temperature_after_c(current, alone_c, seconds));
        if (is_first || reached > end_c) {
            is_first = false;
            end_c = reached;
            if (reached > wire.short_time_c && std::isinf(hot.too_hot_after_s)) {
                hot.too_hot_after_s =
                    time_s_ +
                    warming->seconds_until(current, alone_c, wire.short_time_c - wire.neighbours_k);
            }
        }
    }
    hot.now_c = end_c;
    hot.peak_c = std::max(hot.peak_c, end_c);
    const bool is_warmed = end_c > wire.start_c + warmed_k;
    passes_class_ = passes_class_ || (is_warmed && end_c > wire.class_c);
    passes_short_time_ = passes_short_time_ || (is_warmed && end_c > wire.short_time_c);
}

void HeatRun::advance(const FaultCircuit& circuit, const std::vector<int>& wire_branch,
                      double seconds, double duty) {
    passes_class_ = passes_short_time_ = false;
    const std::vector<FaultHeat::Wire>& wires = heat_.wires();
    const double effective = std::sqrt(duty); // of a current that comes and goes
    std::size_t nearest = wires.size();
    double nearest_share = 0.0;
    for (std::size_t i = 0; i < wires.size(); ++i) {
        const double amps = std::abs(circuit.amps(wire_branch[i]));
        if (!is_raised_from(amps, wires[i].base_a)) {
            continue;
        }
        const double share = amps * effective / std::max(wires[i].calm_a, 1e-9);
        is_any_loaded_ = is_any_loaded_ || share > loaded_share;
        if (share > nearest_share) {
            nearest_share = share;
            nearest = i;
        }
        if (share > 1.0) {
            warm(hot(i), amps * effective, seconds);
        }
    }
    if (nearest < wires.size() && nearest_share <= 1.0) {
        const double amps = std::abs(circuit.amps(wire_branch[nearest]));
        warm(hot(nearest), amps * effective, seconds);
    }
    time_s_ += seconds;
    ever_passed_short_time_ = ever_passed_short_time_ || passes_short_time_;
}

std::vector<HeatRun::Hot> HeatRun::hottest_first() const {
    std::vector<Hot> order = hot_;
    // Of those that burn, the one that is the first to pass its limit.
    std::ranges::stable_sort(order, [](const Hot& a, const Hot& b) {
        return a.peak_c != b.peak_c ? a.peak_c > b.peak_c : a.too_hot_after_s < b.too_hot_after_s;
    });
    return order;
}

std::vector<HotConductor> HeatRun::overheated(const std::vector<Hot>& order) const {
    std::vector<HotConductor> out;
    for (const Hot& hot : order) {
        const FaultHeat::Wire& wire = heat_.wires()[hot.wire];
        if (hot.peak_c > wire.class_c && hot.peak_c > wire.start_c + warmed_k) {
            out.push_back({.wire = WireId(hot.wire),
                           .peak_c = hot.peak_c,
                           .class_c = wire.class_c,
                           .short_time_c = wire.short_time_c,
                           .too_hot_after_s = hot.too_hot_after_s});
        }
    }
    return out;
}

void HeatRun::tell(ShortEvent& event) const {
    const std::vector<Hot> order = hottest_first();
    event.hottest = order.empty() ? WireId() : WireId(order.front().wire);
    event.hottest_c = order.empty() ? 0.0 : order.front().peak_c;
    event.overheated = overheated(order);
}

} // namespace loomwright
