// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Fixed point of T = heat(I(R(T))) until no conductor moves by more than 0.01 K. For given currents
// a wire alone and the bundle of a run are balanced exactly (lib/solve); a bundle with each wire's
// heat at the temperature that it has there, so that no run waits for another. The wire then stands
// at the hottest of its places.
//
// A balance is not done again for a current that hardly changed: the rise goes at most with the
// square of the current near a balance found before, so that its change is below
// 2 (dI / I) (T - T_air) (1 + a (T - T_air)) and small against the tolerance; and a change of heat
// that radiation alone would turn into less than a thousandth of a kelvin is none. A wire whose
// rise is bounded so stands at the air's temperature.
//
// While the engine is cranked nothing comes to rest. A wire is then as hot as the lower of
//   - its temperature at rest with these currents, and
//   - what its own heat brings it to in that time, alone under each cover of its way
//     (lib/solve/warming.hpp), and what the others of a bundle would add if all their heat went
//     into the copper of that bundle and none left:
//     sum over others of C_j (T_j,adiabatic - T_air) / sum over all of C_j
// both of which are on the safe side.
#include "study/wire_heat.hpp"

#include "base/side_by_side.hpp"
#include "solve/heat.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace loomwright {
namespace {

constexpr double negligible_k = 0.001;
constexpr double same_heat_k = 0.0002;
constexpr double near_enough_k = 0.1; ///< a bound this near the air is taken for the answer
constexpr double alike = 1e-6;        ///< of wires that move so nearly the same the first is named
constexpr int undamped_rounds = 8;    ///< then half steps: wires may chase each other near runaway
/// Of the most heat that a wire of a bundle makes: from this share on it is named for its runaway.
constexpr double share_of_blame = 0.1;

/// Calls `work` for [0, count) in one piece, or in two side by side: no row asks for another's.
template <typename Work> void in_halves(std::size_t count, Work work) {
    if (count < rows_worth_a_thread) {
        work(std::size_t{0}, count);
        return;
    }
    side_by_side(1, [&](std::size_t half) {
        work(half == 0 ? 0 : count / 2, half == 0 ? count / 2 : count);
    });
}

} // namespace

WireHeat::WireHeat(const StudyPlan& plan, const StateCircuit& circuit, const State* state)
    : plan_(plan), warmings_(plan) {
    const std::vector<WireRoute>& routes = plan.input.routing.wires;
    air_c_.reserve(routes.size());
    for (const WireRoute& route : routes) {
        air_c_.push_back(circuit.air_c(route.hottest));
    }
    bundle_air_c_.reserve(plan.bundles.bundles.size());
    for (const Bundles::Bundle& bundle : plan.bundles.bundles) {
        bundle_air_c_.push_back(circuit.air_c(plan.input.routing.run_zones[bundle.run.index()]));
    }
    if (state != nullptr && state->engine == EngineCondition::cranking) {
        cranking_s_ = state->lasts ? state->lasts->value()
                                   : plan.input.catalogue.default_value("crank-time").value;
    }
}

void WireHeat::begin(bool from_rest, StateCircuit& circuit) {
    rounds_ = 0;
    if (from_rest) {
        conductor_c_ = air_c_;
        alone_c_ = air_c_;
        balance_c_ = air_c_;
        balance_amps_.assign(air_c_.size(), -1.0);
        bundles_.assign(plan_.bundles.bundles.size(), {});
        place_amps_.assign(plan_.bundles.places.size(), 0.0);
    }
    circuit.wire_ohm.resize(plan_.wires.size());
    for (std::size_t i = 0; i < circuit.wire_ohm.size(); ++i) {
        if (plan_.wire_changed[i] != 0) {
            balance_amps_[i] = -1.0;
        }
        circuit.wire_ohm[i] = resistance_at(plan_.wires[i].r20_ohm, Celsius(conductor_c_[i]));
    }
}

void WireHeat::restart(const WireHeat& settled, double air_shift_k) {
    const auto shift = [air_shift_k](std::vector<double>& to, const std::vector<double>& from) {
        to.resize(from.size());
        std::ranges::transform(from, to.begin(), [&](double c) { return c + air_shift_k; });
    };
    shift(air_c_, settled.air_c_);
    shift(bundle_air_c_, settled.bundle_air_c_);
    shift(conductor_c_, settled.conductor_c_);
    alone_c_ = conductor_c_;
    balance_c_ = conductor_c_;
    balance_amps_.assign(air_c_.size(), -1.0);
    bundles_ = settled.bundles_;
    place_amps_ = settled.place_amps_;
    air_shift_k_ = air_shift_k;
    near_ = &settled;
    rounds_ = 0;
}

/// A wire alone, from where it came to rest with another current.
double WireHeat::guess_c(std::size_t wire, double amps) const {
    if (near_ == nullptr || near_->balance_amps_[wire] <= 0.0) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    const double ratio = amps / near_->balance_amps_[wire];
    const double rise = near_->alone_c_[wire] - near_->air_c_[wire];
    return air_c_[wire] + std::min(rise * ratio * ratio, hottest_c);
}

/// Balances a wire by itself; false where the balance before still holds.
bool WireHeat::balance_alone(std::size_t wire, double amps) {
    const HeatBody& body = body_of(wire);
    const double air = air_c_[wire];
    const double before = balance_amps_[wire];
    if (before >= 0.0) {
        const double rise = balance_c_[wire] - air;
        const double hotter = 1.0 + solve::copper_alpha * rise;
        const double most = 2.0 * std::abs(amps - before) * rise * hotter;
        const double watts = std::abs(amps * amps - before * before) * body.wire.r20_ohm_per_m;
        if (most <= negligible_k * before ||
            watts * (1.0 + solve::copper_alpha * (balance_c_[wire] - 20.0)) * body.most_k_m_per_w <=
                same_heat_k) {
            return false;
        }
    }
    const double watts =
        amps * amps * body.wire.r20_ohm_per_m * (1.0 + solve::copper_alpha * (air - 20.0));
    double result = air;
    if (watts * body.most_k_m_per_w > negligible_k) {
        result = std::min(solve::conductor_temperature_c(body.wire, amps, air, guess_c(wire, amps)),
                          hottest_c);
    }
    balance_amps_[wire] = amps;
    alone_c_[wire] = result;
    return true;
}

void WireHeat::balance_bundle(std::size_t index) {
    const Bundles::Bundle& bundle = plan_.bundles.bundles[index];
    const double air = bundle_air_c_[index];
    bool is_moved = false;
    for (std::size_t p = bundle.first; p < bundle.last; ++p) {
        is_moved = is_moved || is_moved_[plan_.bundles.places[p].wire.index()] != 0;
    }
    if (!is_moved) {
        return;
    }
    double watts = 0.0;
    for (std::size_t p = bundle.first; p < bundle.last; ++p) {
        const double amps = balance_amps_[plan_.bundles.places[p].wire.index()];
        place_amps_[p] = amps;
        watts += amps * amps * plan_.bundles.bodies[p].r20_ohm_per_m;
    }
    watts *= 1.0 + solve::copper_alpha * (air - 20.0);
    const auto first = static_cast<std::ptrdiff_t>(bundle.first);
    const std::size_t count = bundle.last - bundle.first;
    bundles_[index] =
        watts * bundle.most_k_m_per_w <= negligible_k
            ? solve::BundleHeat{.surface_c = air, .w_per_m = 0.0}
            : solve::bundle_heat(bundle.skin, {plan_.bundles.bodies.begin() + first, count},
                                 {place_amps_.begin() + first, count}, air);
}

double WireHeat::at_rest_c(std::size_t wire) const {
    const Bundles& shared = plan_.bundles;
    double result = alone_c_[wire];
    for (std::size_t k = shared.first_of_wire[wire]; k < shared.first_of_wire[wire + 1]; ++k) {
        const std::size_t p = shared.place_of_wire[k];
        result = std::max(result, solve::bundled_wire_c(bundles_[shared.places[p].bundle],
                                                        shared.bodies[p], place_amps_[p]));
    }
    return std::min(result, hottest_c);
}

void WireHeat::take_up_cranking() {
    const Bundles& shared = plan_.bundles;
    adiabatic_c_.resize(air_c_.size());
    for (std::size_t i = 0; i < adiabatic_c_.size(); ++i) {
        const WirePlan& wire = plan_.wires[i];
        adiabatic_c_[i] =
            std::min(hottest_c, solve::adiabatic_temperature_c(
                                    body_of(i).wire.r20_ohm_per_m,
                                    solve::copper_j_per_m_k(wire.conductor->copper_area.value()),
                                    balance_amps_[i], air_c_[i], cranking_s_));
    }
    bundle_j_per_m_.assign(shared.bundles.size(), 0.0);
    for (const Bundles::Place& place : shared.places) {
        const std::size_t wire = place.wire.index();
        bundle_j_per_m_[place.bundle] += place.j_per_k_m * (adiabatic_c_[wire] - air_c_[wire]);
    }
}

double WireHeat::from_neighbours_k(std::size_t wire) const {
    const Bundles& shared = plan_.bundles;
    double most = 0.0;
    for (std::size_t k = shared.first_of_wire[wire]; k < shared.first_of_wire[wire + 1]; ++k) {
        const Bundles::Place& place = shared.places[shared.place_of_wire[k]];
        const double own = place.j_per_k_m * (adiabatic_c_[wire] - air_c_[wire]);
        most = std::max(most, (bundle_j_per_m_[place.bundle] - own) /
                                  shared.bundles[place.bundle].j_per_k_m);
    }
    return most;
}

double WireHeat::warmed_alone_c(std::size_t wire) {
    // In shifted air: the rise by the curve of the air as it was, for a current that makes there
    // the heat that this one makes here.
    const double air = air_c_[wire] - air_shift_k_;
    const double more =
        resistance_at(1.0, Celsius(air_c_[wire])) / resistance_at(1.0, Celsius(air));
    const double amps = balance_amps_[wire] * std::sqrt(more);
    double result = air;
    for (std::size_t k = 0; k < warmings_.cover_count(); ++k) {
        if (warmings_.meets(wire, k)) {
            result = std::max(
                result, warmings_.of(wire, k, air).temperature_after_c(amps, air, cranking_s_));
        }
    }
    return result + air_shift_k_;
}

double WireHeat::after_cranking_c(std::size_t wire) {
    const double at_rest = at_rest_c(wire);
    const double neighbours = from_neighbours_k(wire);
    const double most = std::min(at_rest, adiabatic_c_[wire] + neighbours);
    return most - air_c_[wire] <= near_enough_k
               ? most
               : std::min(at_rest, warmed_alone_c(wire) + neighbours);
}

void WireHeat::balance_all(const std::vector<double>& branch_amps) {
    const std::vector<int>& branches = plan_.input.network.wire_branch;
    const std::size_t count = conductor_c_.size();
    is_moved_.resize(count);
    in_halves(count, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            const double amps = std::abs(branch_amps[static_cast<std::size_t>(branches[i])]);
            is_moved_[i] = balance_alone(i, amps) ? 1 : 0;
        }
    });
    if (std::ranges::find(is_moved_, 1) == is_moved_.end()) {
        return;
    }
    in_halves(bundles_.size(), [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            balance_bundle(i);
        }
    });
    if (cranking_s_ > 0.0) {
        take_up_cranking();
        for (std::size_t i = 0; i < count; ++i) {
            balance_c_[i] = after_cranking_c(i);
        }
        return;
    }
    in_halves(count, [&](std::size_t first, std::size_t last) {
        for (std::size_t i = first; i < last; ++i) {
            balance_c_[i] = at_rest_c(i);
        }
    });
}

bool WireHeat::update(const std::vector<double>& branch_amps, StateCircuit& circuit) {
    balance_all(branch_amps);
    const double share = rounds_ < undamped_rounds ? 1.0 : 0.5;
    double greatest = 0.0;
    for (std::size_t i = 0; i < conductor_c_.size(); ++i) {
        const double moved = std::abs(balance_c_[i] - conductor_c_[i]);
        if (moved > greatest * (1.0 + alike)) {
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
    if (std::ranges::all_of(balance_c_, [](double c) { return c < hottest_c; })) {
        return out;
    }
    // To blame is a wire that burns by itself, or makes a good part of the heat of a bundle that
    // does.
    const Bundles& shared = plan_.bundles;
    std::vector<std::uint8_t> is_to_blame(balance_c_.size(), 0);
    for (std::size_t i = 0; i < is_to_blame.size(); ++i) {
        is_to_blame[i] = alone_c_[i] >= hottest_c ? 1 : 0;
    }
    const auto watts = [&](std::size_t p) {
        return place_amps_[p] * place_amps_[p] * shared.bodies[p].r20_ohm_per_m;
    };
    for (std::size_t b = 0; b < shared.bundles.size(); ++b) {
        double most = 0.0;
        for (std::size_t p = shared.bundles[b].first; p < shared.bundles[b].last; ++p) {
            most = std::max(most, watts(p));
        }
        for (std::size_t p = shared.bundles[b].first; p < shared.bundles[b].last; ++p) {
            if (watts(p) >= share_of_blame * most &&
                solve::bundled_wire_c(bundles_[b], shared.bodies[p], place_amps_[p]) >= hottest_c) {
                is_to_blame[shared.places[p].wire.index()] = 1;
            }
        }
    }
    for (std::size_t i = 0; i < balance_c_.size(); ++i) {
        if (balance_c_[i] >= hottest_c && is_to_blame[i] != 0) {
            out.emplace_back(i);
        }
    }
    return out;
}

} // namespace loomwright
