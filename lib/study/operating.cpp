// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/operating.hpp"

#include "base/side_by_side.hpp"
#include "study/plan.hpp"
#include "study/results.hpp"
#include "study/settle.hpp"
#include "study/state_circuit.hpp"
#include "study/wire_heat.hpp"

#include <algorithm>
#include <atomic>
#include <thread>

namespace loomwright {
namespace {

/// One state with what it keeps from call to call.
struct OneState {
    OneState(const StudyPlan& plan, StateId which)
        : id(which), circuit(plan, state_of(plan.input.vehicle, which)),
          heat(plan, circuit, state_of(plan.input.vehicle, which)), solvers(plan.input) {}

    /// From rest, or from where `before` left the relays; else from its own last answer.
    [[nodiscard]] StateSolution solve(const StudyPlan& plan, bool from_rest,
                                      const OneState* before) {
        const bool is_fresh = from_rest || volts.empty();
        circuit.take_design();
        if (is_fresh) {
            circuit.put_to_rest();
            if (before != nullptr && !before->volts.empty()) {
                circuit.follow(before->circuit);
            }
            solvers.rewind();
            volts.clear();
        }
        heat.begin(is_fresh, circuit);
        Settled settled = Settler(plan, circuit, heat, solvers).settle(std::move(volts));
        volts = settled.is_solved ? settled.point.volts : std::vector<double>();
        return make_solution(plan, circuit, heat, std::move(settled), id);
    }

    /// The first moment of some loads, from the answer of `solve`.
    [[nodiscard]] StateSolution start(const StudyPlan& plan, const std::vector<DeviceId>& loads) {
        StateCircuit moment = circuit;
        for (const DeviceId load : loads) {
            moment.set_starting(load);
        }
        Settled settled = Settler(plan, moment, heat, solvers).settle_cold(volts);
        return make_solution(plan, moment, heat, std::move(settled), id);
    }

    StateId id;
    StateCircuit circuit;
    WireHeat heat;
    SolverChain solvers;
    std::vector<double> volts; ///< of the last answer; empty: none
};

std::vector<StateId> all_states(const Vehicle& vehicle) {
    std::vector<StateId> states;
    for (std::size_t i = 0; i < vehicle.states.size(); ++i) {
        states.emplace_back(i);
    }
    if (states.empty()) {
        states.emplace_back();
    }
    return states;
}

} // namespace

struct StateStudy::Work {
    explicit Work(const StudyInput& input) : plan(input) {}

    StudyPlan plan;
    std::size_t asked = 0; ///< the first so many were asked for; the others come before them
    std::vector<std::unique_ptr<OneState>> states;
    std::vector<int> before; ///< by state: the one it follows; -1: it begins from rest
    std::vector<std::vector<std::size_t>> rounds; ///< states that may be solved side by side

    void add(const std::vector<StateId>& wanted) {
        asked = wanted.size();
        for (const StateId id : wanted) {
            states.push_back(std::make_unique<OneState>(plan, id));
        }
        const auto after = [this](const OneState& state) {
            return state.id.is_valid() ? plan.input.vehicle.state(state.id).after : StateId();
        };
        for (std::size_t i = 0; i < states.size(); ++i) {
            const StateId id = after(*states[i]);
            const auto same = [id](const auto& state) { return state->id == id; };
            before.push_back(-1);
            if (!id.is_valid()) {
                continue;
            }
            const auto found = std::ranges::find_if(states, same);
            before.back() = static_cast<int>(found - states.begin());
            if (found == states.end()) {
                states.push_back(std::make_unique<OneState>(plan, id));
            }
        }
        for (std::size_t i = 0; i < states.size(); ++i) {
            std::size_t round = 0;
            for (int at = before[i]; at >= 0; at = before[static_cast<std::size_t>(at)]) {
                ++round;
            }
            rounds.resize(std::max(rounds.size(), round + 1));
            rounds[round].push_back(i);
        }
    }

    [[nodiscard]] std::vector<StateSolution> solve(const Design& design, bool from_rest) {
        plan.set_design(design);
        std::vector<StateSolution> out(states.size());
        for (const std::vector<std::size_t>& round : rounds) {
            std::atomic<std::size_t> next{0};
            // No state of a round knows of another, so that it does not matter which thread takes
            // which.
            const auto work = [&](std::size_t /*thread*/) {
                for (std::size_t k = next++; k < round.size(); k = next++) {
                    const std::size_t i = round[k];
                    const OneState* first =
                        before[i] < 0 ? nullptr : states[static_cast<std::size_t>(before[i])].get();
                    out[i] = states[i]->solve(plan, from_rest, first);
                }
            };
            const std::size_t cores = std::max(std::thread::hardware_concurrency(), 1U);
            side_by_side(std::max<std::size_t>(std::min(cores, round.size()), 1) - 1, work);
        }
        out.resize(asked);
        return out;
    }
};

StateStudy::StateStudy(const StudyInput& input) : StateStudy(input, all_states(input.vehicle)) {}

StateStudy::StateStudy(const StudyInput& input, const std::vector<StateId>& states)
    : work_(std::make_unique<Work>(input)) {
    work_->add(states);
}

StateStudy::~StateStudy() = default;
StateStudy::StateStudy(StateStudy&&) noexcept = default;
StateStudy& StateStudy::operator=(StateStudy&&) noexcept = default;

std::vector<StateSolution> StateStudy::solve(const Design& design) {
    return work_->solve(design, true);
}

std::vector<StateSolution> StateStudy::solve_on(const Design& design) {
    return work_->solve(design, false);
}

void StateStudy::set_charge(DeviceId battery, double charge) {
    for (const auto& state : work_->states) {
        state->circuit.set_charge(battery, charge);
    }
}

std::vector<StateSolution> StateStudy::first_moment(const std::vector<DeviceId>& loads) const {
    std::vector<StateSolution> out(work_->asked);
    for (std::size_t i = 0; i < out.size(); ++i) {
        OneState& state = *work_->states[i];
        out[i].state = state.id;
        if (!state.volts.empty()) {
            out[i] = state.start(work_->plan, loads);
        }
    }
    return out;
}

StateSolution solve_state(const StudyInput& input, const Design& design, StateId state) {
    return std::move(StateStudy(input, {state}).solve(design).front());
}

std::vector<StateSolution> solve_states(const StudyInput& input, const Design& design) {
    return StateStudy(input).solve(design);
}

const State* state_of(const Vehicle& vehicle, StateId id) {
    return id.is_valid() && id.index() < vehicle.states.size() ? &vehicle.state(id) : nullptr;
}

std::string state_name(const Vehicle& vehicle, StateId id) {
    const State* state = state_of(vehicle, id);
    return state == nullptr ? "as built" : state->name;
}

std::string state_name(const Vehicle& vehicle, const StateSolution& solution) {
    return state_name(vehicle, solution.state);
}

} // namespace loomwright
