// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A sample is first solved with every relay and load standing as in the nominal car. That is its
// answer when
//   - every one of them then stands as its voltage asks. What goes by a sign turns over on the
//     way, a battery between charging and giving, a load that blocks the wrong way round: its
//     current goes through nothing there and does not fall with rising voltage on either side, so
//     that for given relays there is one balance, whatever the way to it; and
//   - the way to rest cannot have gone otherwise: of all voltages that turned a relay or load over
//     (or left it) on the nominal car's way, the nearest to its threshold was farther off than
//     twice what this sample's voltages differ from the nominal ones, each as a share.
// Else, and where a wire's heat cannot leave, it is settled from rest
// by the whole model, as the nominal car is.
//
// Temperatures of a sample: the heat model in the sample's air, begun from the nominal temperatures
// shifted by as much as the air. The model knows the standard's conductors only: each current I is
// taken for I sqrt(f), with f the sample's resistance of a metre over the nominal one.
#include "study/spread_sampler.hpp"

#include "study/results.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr int near_limit = 60; ///< rounds from the nominal state before it begins from rest
constexpr std::size_t stand_limit = 20; ///< on a straight way to rest; most have two or three
constexpr double times_as_far = 2.0;
/// Voltages below it differ by shares that say nothing: a coil without current.
constexpr double little_v = 1.0;

bool goes_by_sign(Trigger::Kind kind) {
    return kind == Trigger::Kind::charging || kind == Trigger::Kind::forward;
}

/// The voltage that a trigger goes by.
double decisive_v(const StudyPlan& plan, const StateCircuit& circuit, std::size_t trigger,
                  std::size_t& battery, const solve::OperatingPoint& point) {
    const Trigger& here = plan.triggers[trigger];
    const Branch& branch = plan.input.network.branches[static_cast<std::size_t>(here.branch)];
    const double volts = StateCircuit::volts_across(branch, point);
    switch (here.kind) {
    case Trigger::Kind::coil:
        return std::abs(volts);
    case Trigger::Kind::charging:
        return volts - circuit.batteries[battery++].open_v;
    case Trigger::Kind::supply:
    case Trigger::Kind::forward:
        break;
    }
    return volts;
}

std::vector<double> decisive_volts(const StudyPlan& plan, const StateCircuit& circuit,
                                   const solve::OperatingPoint& point) {
    std::vector<double> out(plan.triggers.size());
    std::size_t battery = 0; // they stand in the order of their triggers
    for (std::size_t i = 0; i < out.size(); ++i) {
        out[i] = decisive_v(plan, circuit, i, battery, point);
    }
    return out;
}

/// Notes how near the triggers that do not go by a sign are to turning over or staying.
void note_distances(const StudyPlan& plan, const StateCircuit& circuit,
                    const std::vector<double>& volts, RestPath& path) {
    for (std::size_t i = 0; i < volts.size(); ++i) {
        const double size = std::abs(volts[i]);
        if (size > 0.0 && !goes_by_sign(plan.triggers[i].kind)) {
            const double share = std::abs(volts[i] - circuit.threshold_v(i)) / size;
            path.least_share = std::min(path.least_share, share);
        }
    }
}

/// Turns over what does not stand as its voltage asks, all together, until nothing changes; false
/// when that does not come to rest.
bool go_on(const StudyPlan& plan, StateCircuit& circuit, RestPath& path) {
    solve::Solver solver;
    std::vector<double> start;
    for (std::size_t round = 0; round < stand_limit; ++round) {
        circuit.build();
        const solve::OperatingPoint point = solver.solve(circuit.circuit(), start);
        // A load that pulls its own feed down is turned off in the next round.
        const bool lets_go = point.worst_branch >= 0 &&
                             circuit.circuit().law[static_cast<std::size_t>(point.worst_branch)] ==
                                 solve::Law::constant_power;
        if (point.status != solve::Status::solved && !lets_go) {
            return false;
        }
        note_distances(plan, circuit, decisive_volts(plan, circuit, point), path);
        bool is_at_rest = true;
        std::vector<std::uint8_t> next = circuit.is_on;
        for (std::size_t i = 0; i < next.size(); ++i) {
            if (circuit.wants_change(i, point)) {
                next[i] ^= 1U;
                is_at_rest = false;
            }
        }
        if (is_at_rest) {
            return true;
        }
        circuit.is_on = std::move(next);
        start = point.volts;
    }
    return false;
}

/// Goes the nominal car's way from rest, first with cold wires and then with warm ones, and
/// compares where it ends with where the car stands.
RestPath find_path(const SpreadNominal& nominal) {
    const StudyPlan& plan = nominal.plan;
    const StateCircuit& settled = nominal.circuit;
    RestPath path{.is_straight = false, .least_share = HUGE_VAL};
    StateCircuit circuit = settled;
    nominal.begin(circuit);
    WireHeat(plan, circuit, nominal.state).begin(true, circuit);
    if (go_on(plan, circuit, path)) {
        circuit.wire_ohm = settled.wire_ohm;
        path.is_straight = go_on(plan, circuit, path) && circuit.is_on == settled.is_on;
    }
    return path;
}

} // namespace

SpreadNominal::SpreadNominal(const StudyPlan& study_plan, const SpreadTable& table, StateId which)
    : SettledState(study_plan, which), draws(study_plan, table, state),
      is_solved(settled.is_solved && settled.runaways.empty()) {
    if (!is_solved) {
        return;
    }
    volts = settled.point.volts;
    decisive = decisive_volts(plan, circuit, settled.point);
    path = find_path(*this);
}

SpreadSampler::SpreadSampler(const SpreadNominal& nominal)
    : nominal_(nominal), circuit_(nominal.circuit), from_rest_(nominal.plan.input),
      heat_(nominal.heat) {}

StateSolution SpreadSampler::nominal() {
    circuit_.variation.assign(nominal_.plan.elements.size(), {});
    circuit_.batteries = nominal_.circuit.batteries;
    circuit_.air_shift_k = 0.0;
    return solve();
}

StateSolution SpreadSampler::sample(std::uint64_t seed, std::uint64_t index) {
    Draws draws(seed, index);
    nominal_.draws.apply(draws, nominal_.circuit.batteries, circuit_);
    return solve();
}

StateSolution SpreadSampler::sample_from_rest(std::uint64_t seed, std::uint64_t index) {
    Draws draws(seed, index);
    nominal_.draws.apply(draws, nominal_.circuit.batteries, circuit_);
    return solve_from_rest();
}

StateSolution SpreadSampler::solve() {
    Settled settled;
    if (!nominal_.is_solved || !nominal_.path.is_straight || !settle_near(settled)) {
        return solve_from_rest();
    }
    return make_solution(nominal_.plan, circuit_, heat_, std::move(settled), nominal_.id);
}

bool SpreadSampler::settle_near(Settled& out) {
    circuit_.follow(nominal_.circuit); // coils as warm as there
    heat_.restart(nominal_.heat, circuit_.air_shift_k);
    heat_.begin(false, circuit_);
    circuit_.build();
    out.point = near_.solve(circuit_.circuit(), nominal_.volts);
    out.iterations = out.point.iterations;
    for (int round = 0; round < near_limit; ++round) {
        if (out.point.status != solve::Status::solved || !heat_.runaways().empty()) {
            return false;
        }
        const bool wires_moved = update_heat(out.point);
        const bool coils_moved = circuit_.update_coils(out.point);
        const bool is_at_rest = !wires_moved && !coils_moved;
        if (is_at_rest && !turn_by_sign(out.point)) {
            out.is_solved = stands(out.point);
            return out.is_solved;
        }
        if (is_at_rest) {
            circuit_.build();
        } else {
            circuit_.update_wires();
        }
        out.point = near_.solve(circuit_.circuit(), out.point.volts);
        out.iterations += out.point.iterations;
    }
    return false;
}

/// False when no conductor moved by more than the tolerance.
bool SpreadSampler::update_heat(const solve::OperatingPoint& point) {
    heating_amps_ = circuit_.branch_amps(point);
    for (const int branch : nominal_.plan.input.network.wire_branch) {
        const auto at = static_cast<std::size_t>(branch);
        heating_amps_[at] *= std::sqrt(circuit_.variation[at].per_metre);
    }
    return heat_.update(heating_amps_, circuit_);
}

/// False when all that goes by a sign stands as its voltage asks.
bool SpreadSampler::turn_by_sign(const solve::OperatingPoint& point) {
    const std::vector<Trigger>& triggers = nominal_.plan.triggers;
    bool is_turned = false;
    for (std::size_t i = 0; i < triggers.size(); ++i) {
        if (goes_by_sign(triggers[i].kind) && circuit_.wants_change(i, point)) {
            circuit_.is_on[i] ^= 1U;
            is_turned = true;
        }
    }
    return is_turned;
}

bool SpreadSampler::stands(const solve::OperatingPoint& point) const {
    const StudyPlan& plan = nominal_.plan;
    double farthest = 0.0;
    const std::vector<double> volts = decisive_volts(plan, circuit_, point);
    for (std::size_t i = 0; i < volts.size(); ++i) {
        if (circuit_.wants_change(i, point)) {
            return false;
        }
        const Trigger::Kind kind = plan.triggers[i].kind;
        if (goes_by_sign(kind)) {
            continue;
        }
        const double size = std::abs(nominal_.decisive[i]);
        double moved = std::abs(volts[i] - nominal_.decisive[i]);
        if (kind == Trigger::Kind::coil) { // its threshold moves with the air
            moved +=
                size * std::abs(circuit_.rest_warmth(i) / nominal_.circuit.rest_warmth(i) - 1.0);
        }
        farthest = std::max(farthest, moved / std::max(size, little_v));
    }
    return times_as_far * farthest <= nominal_.path.least_share;
}

StateSolution SpreadSampler::solve_from_rest() {
    ++from_rest_count_;
    nominal_.begin(circuit_);
    WireHeat heat(nominal_.plan, circuit_, nominal_.state); // in this sample's air
    heat.begin(true, circuit_);
    from_rest_.rewind();
    Settled settled = Settler(nominal_.plan, circuit_, heat, from_rest_).settle({});
    return make_solution(nominal_.plan, circuit_, heat, std::move(settled), nominal_.id);
}

} // namespace loomwright
