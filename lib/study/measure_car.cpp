// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A joint of resistance R0 that has R more is a branch of R0 + R; a source that gives dU more has
// its emf or set voltage moved by as much; a load that takes a share p less has (1 - p) of its
// demand. The whole network is solved anew with them, by its own laws, with conductors and coils as
// warm as in the prediction: a watt more in a joint warms the joint, not the metres of wire beside
// it.
//
// Relays: as in the prediction where all of them then stand as their voltage asks and each coil
// that holds its contact also has what it needs to pull it in; else settled from rest, so that a
// coil that the bad joint robs of its pull-in voltage stays out.
#include "study/measure_car.hpp"

#include "base/at.hpp"
#include "base/side_by_side.hpp"
#include "study/black_lead.hpp"
#include "study/results.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// A meter's accuracy is a limit: evenly within it, its standard deviation is this much smaller
/// (JCGM 100:2008, 4.3.7: a^2 / 3).
const double even_deviations = std::sqrt(3.0);
constexpr double most_joint_ohm = 1e9; ///< more is not told from an open one

StudyPlan planned(const StudyInput& input, const Design& design) {
    StudyPlan out(input);
    out.set_design(design);
    return out;
}

/// The far side of a connector's cavity, or the far end of a supplied lead, where it has one.
int far_side(const Network& network, TerminalRef terminal) {
    for (const int index : network.device_branches[terminal.device.index()]) {
        const Branch& branch = network.branches[at(index)];
        const bool has_sides = branch.kind == BranchKind::joint || branch.kind == BranchKind::lead;
        if (has_sides && branch.part == terminal.terminal) {
            return branch.other_end(network.node(terminal));
        }
    }
    return network.node(terminal);
}

std::vector<std::uint8_t> rest_of(const SettledState& state) {
    StateCircuit circuit = state.circuit;
    state.begin(circuit);
    return circuit.is_on;
}

} // namespace

struct MeasuredCar::Solvers {
    struct One {
        solve::Solver near;
        std::vector<SolverChain> from_rest;
        std::vector<WireHeat> heat;
    };
    std::vector<One> by_state;
};

MeasuredCar::MeasuredCar(const StudyInput& input, const Design& design,
                         std::span<const MeterReading> readings)
    : plan_(planned(input, design)), solvers_(std::make_unique<Solvers>()) {
    std::vector<StateId> ids;
    for (const MeterReading& reading : readings) {
        if (std::ranges::find(ids, reading.state) == ids.end()) {
            ids.push_back(reading.state);
        }
    }
    states_.resize(ids.size());
    side_by_side(ids.size() > 1 ? 1 : 0, [&](std::size_t thread) {
        for (std::size_t i = thread; i < ids.size(); i += 2) { // of one state there is one thread
            states_[i] = std::make_unique<SettledState>(plan_, ids[i]);
        }
    });
    for (const auto& state : states_) {
        rest_.push_back(rest_of(*state));
        auto& solvers = solvers_->by_state.emplace_back();
        solvers.from_rest.emplace_back(plan_.input);
        solvers.heat.push_back(state->heat);
    }
    place_probes(readings);
}

MeasuredCar::~MeasuredCar() = default;

int MeasuredCar::node_of(const ProbePlace& place) const {
    const Network& network = plan_.input.network;
    if (place.body >= 0) {
        return network.body_nodes[at(place.body)];
    }
    return place.is_far_side ? far_side(network, place.terminal) : network.node(place.terminal);
}

void MeasuredCar::place_probes(std::span<const MeterReading> readings) {
    std::vector<StateSolution> solved;
    for (const auto& state : states_) {
        solved.push_back(
            make_solution(plan_, state->circuit, state->heat, state->settled, state->id));
    }
    black_lead_ = black_lead_node(plan_.input, solved);
    for (const MeterReading& reading : readings) {
        const auto state = std::ranges::find_if(
            states_, [&](const auto& known) { return known->id == reading.state; });
        probes_.push_back(
            {.state = static_cast<std::size_t>(state - states_.begin()),
             .node = node_of(reading.at),
             .against = reading.to ? node_of(*reading.to) : black_lead_,
             .volts = reading.shown.value(),
             .meter_v = reading.accuracy.at(reading.shown).value() / even_deviations});
    }
}

bool MeasuredCar::apply(std::size_t state, const Change& change, StateCircuit& circuit) const {
    if (change.what.kind == Suspect::Kind::reading) {
        return true;
    }
    const std::optional<Element> element = circuit.standing(at(change.what.index));
    if (!element) {
        return true; // nothing flows through it in this state
    }
    BranchVariation& here = circuit.variation[at(change.what.index)];
    const Branch& branch = plan_.input.network.branches[at(change.what.index)];
    switch (change.what.kind) {
    case Suspect::Kind::joint: {
        const double siemens = element->law == solve::Law::conductance ? element->a : element->b;
        here.resistance = 1.0 + std::min(change.value, most_joint_ohm) * siemens;
        break;
    }
    case Suspect::Kind::source:
        here.emf_v = change.value;
        if (branch.kind == BranchKind::battery) {
            for (std::size_t k = 0; k < circuit.batteries.size(); ++k) {
                const Trigger& trigger = plan_.triggers[at(plan_.battery_triggers[k])];
                circuit.batteries[k].open_v +=
                    trigger.branch == change.what.index ? change.value : 0.0;
            }
        }
        break;
    case Suspect::Kind::load:
        here.demand = std::max(1.0 - change.value, 0.0);
        break;
    case Suspect::Kind::reading:
        break;
    }
    return states_[state]->settled.is_solved;
}

bool MeasuredCar::stands(std::size_t state, const StateCircuit& circuit,
                         const solve::OperatingPoint& point) const {
    const StateCircuit& nominal = states_[state]->circuit;
    for (std::size_t i = 0; i < plan_.triggers.size(); ++i) {
        if (circuit.wants_change(i, point)) {
            return false;
        }
        if (plan_.triggers[i].kind != Trigger::Kind::coil || circuit.is_on[i] == 0) {
            continue;
        }
        const Branch& coil = plan_.input.network.branches[at(plan_.triggers[i].branch)];
        const double volts = std::abs(StateCircuit::volts_across(coil, point));
        const double before =
            std::abs(StateCircuit::volts_across(coil, states_[state]->settled.point));
        // One that the prediction holds below its pull-in voltage came in before the load did.
        if (volts < std::min(before, nominal.pull_in_v(i))) {
            return false;
        }
    }
    return true;
}

ChangedState MeasuredCar::solve(std::size_t state, std::span<const Change> changes) const {
    ChangedState out;
    const SettledState& base = *states_[state];
    StateCircuit circuit = base.circuit;
    circuit.variation.assign(plan_.elements.size(), {});
    for (const Change& change : changes) {
        if (!apply(state, change, circuit)) {
            return out;
        }
    }
    circuit.build();
    auto& solvers = solvers_->by_state[state];
    out.point = solvers.near.solve(circuit.circuit(), base.settled.point.volts);
    out.is_solved = out.point.status == solve::Status::solved;
    if (!out.is_solved || !stands(state, circuit, out.point)) {
        circuit.is_on = rest_[state];
        solvers.from_rest.front().rewind();
        Settled settled = Settler(plan_, circuit, solvers.heat.front(), solvers.from_rest.front())
                              .settle_cold({});
        out.is_solved = settled.is_solved;
        out.point = std::move(settled.point);
    }
    out.circuit = circuit.circuit();
    out.place.assign(plan_.input.network.branches.size(), -1);
    for (std::size_t k = 0; k < circuit.circuit_branch().size(); ++k) {
        out.place[at(circuit.circuit_branch()[k])] = static_cast<int>(k);
    }
    out.stand = circuit.is_on;
    return out;
}

} // namespace loomwright
