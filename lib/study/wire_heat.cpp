// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Fixed point of T = heat(I(R(T))), wire by wire, until no conductor moves by more than 0.01 K.
//
// The heat balance is not done again for a wire whose current hardly changed: the rise goes at most
// with the square of the current near a balance found before, so that its change is below
// 2 (dI / I) (T - T_air) (1 + a (T - T_air)) and small against the tolerance. A wire whose rise is
// bounded by radiation alone to less than a thousandth of a kelvin stands at the air's temperature.
#include "study/wire_heat.hpp"

#include "base/side_by_side.hpp"
#include "solve/heat.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double negligible_k = 0.001;
constexpr int undamped_rounds = 8; ///< then half steps: two wires may chase each other near runaway
constexpr double copper_alpha = 0.00393;

} // namespace

WireHeat::WireHeat(const StudyPlan& plan, const StateCircuit& circuit) : plan_(plan) {
    const std::vector<WireRoute>& routes = plan.input.routing.wires;
    air_c_.reserve(routes.size());
    for (const WireRoute& route : routes) {
        air_c_.push_back(circuit.air_c(route.hottest));
    }
}

void WireHeat::begin(bool from_rest, StateCircuit& circuit) {
    rounds_ = 0;
    if (from_rest) {
        conductor_c_ = air_c_;
        balance_c_ = air_c_;
        balance_amps_.assign(air_c_.size(), -1.0);
    }
    circuit.wire_ohm.resize(plan_.wires.size());
    for (std::size_t i = 0; i < circuit.wire_ohm.size(); ++i) {
        if (plan_.wire_changed[i] != 0) {
            balance_amps_[i] = -1.0;
        }
        circuit.wire_ohm[i] = resistance_at(plan_.wires[i].r20_ohm, Celsius(conductor_c_[i]));
    }
}

void WireHeat::balance(std::size_t wire, double amps) {
    const HeatBody& body = plan_.bodies[static_cast<std::size_t>(plan_.wires[wire].body)];
    const double air = air_c_[wire];
    const double before = balance_amps_[wire];
    if (before >= 0.0) {
        const double rise = balance_c_[wire] - air;
        const double most = 2.0 * std::abs(amps - before) * rise * (1.0 + copper_alpha * rise);
        if (most <= negligible_k * before) {
            return;
        }
    }
    const double watts =
        amps * amps * body.wire.r20_ohm_per_m * (1.0 + copper_alpha * (air - 20.0));
    double result = air;
    if (watts * body.most_k_m_per_w > negligible_k) {
        result = std::min(solve::conductor_temperature_c(body.wire, amps, air), hottest_c);
    }
    balance_amps_[wire] = amps;
    balance_c_[wire] = result;
}

bool WireHeat::update(const std::vector<double>& branch_amps, StateCircuit& circuit) {
    const std::vector<int>& branches = plan_.input.network.wire_branch;
    const double share = rounds_ < undamped_rounds ? 1.0 : 0.5;
    const auto balance_from = [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            balance(i, std::abs(branch_amps[static_cast<std::size_t>(branches[i])]));
        }
    };
    // No wire asks for another's temperature.
    const std::size_t count = conductor_c_.size();
    if (count >= rows_worth_a_thread) {
        side_by_side(1, [&](std::size_t half) {
            balance_from(half == 0 ? 0 : count / 2, half == 0 ? count / 2 : count);
        });
    } else {
        balance_from(0, count);
    }
    double greatest = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const double moved = std::abs(balance_c_[i] - conductor_c_[i]);
        if (moved > greatest) {
            greatest = moved;
            most_moved_ = WireId(i);
        }
    }
    if (greatest <= tolerance_k) {
        return false;
    }
    ++rounds_;
    for (std::size_t i = 0; i < conductor_c_.size(); ++i) {
        if (balance_c_[i] != conductor_c_[i]) {
            conductor_c_[i] += share * (balance_c_[i] - conductor_c_[i]);
            circuit.wire_ohm[i] = resistance_at(plan_.wires[i].r20_ohm, Celsius(conductor_c_[i]));
        }
    }
    return true;
}

std::vector<WireId> WireHeat::runaways() const {
    std::vector<WireId> out;
    for (std::size_t i = 0; i < balance_c_.size(); ++i) {
        if (balance_c_[i] >= hottest_c) {
            out.emplace_back(i);
        }
    }
    return out;
}

} // namespace loomwright
