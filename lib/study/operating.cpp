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
        : id(which), circuit(plan, which.is_valid() ? &plan.input.vehicle.state(which) : nullptr),
          heat(plan, circuit), solvers(plan.input.network.node_count()) {}

    [[nodiscard]] StateSolution solve(const StudyPlan& plan, bool from_rest) {
        const bool is_fresh = from_rest || volts.empty();
        circuit.take_design();
        if (is_fresh) {
            circuit.put_to_rest();
            solvers.rewind();
            volts.clear();
        }
        heat.begin(is_fresh, circuit);
        Settled settled = Settler(plan, circuit, heat, solvers).settle(std::move(volts));
        volts = settled.is_solved ? settled.point.volts : std::vector<double>();
        return make_solution(plan, circuit, heat, std::move(settled), id);
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
    std::vector<std::unique_ptr<OneState>> states;

    [[nodiscard]] std::vector<StateSolution> solve(const Design& design, bool from_rest) {
        plan.set_design(design);
        std::vector<StateSolution> out(states.size());
        std::atomic<std::size_t> next{0};
        // No state knows of another, so that it does not matter which thread takes which.
        const auto work = [&](std::size_t /*thread*/) {
            for (std::size_t i = next++; i < states.size(); i = next++) {
                out[i] = states[i]->solve(plan, from_rest);
            }
        };
        const std::size_t cores = std::max(std::thread::hardware_concurrency(), 1U);
        side_by_side(std::max<std::size_t>(std::min(cores, states.size()), 1) - 1, work);
        return out;
    }
};

StateStudy::StateStudy(const StudyInput& input) : StateStudy(input, all_states(input.vehicle)) {}

StateStudy::StateStudy(const StudyInput& input, const std::vector<StateId>& states)
    : work_(std::make_unique<Work>(input)) {
    for (const StateId state : states) {
        work_->states.push_back(std::make_unique<OneState>(work_->plan, state));
    }
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

StateSolution solve_state(const StudyInput& input, const Design& design, StateId state) {
    return std::move(StateStudy(input, {state}).solve(design).front());
}

std::vector<StateSolution> solve_states(const StudyInput& input, const Design& design) {
    return StateStudy(input).solve(design);
}

std::string state_name(const Vehicle& vehicle, const StateSolution& solution) {
    return solution.state.is_valid() ? vehicle.state(solution.state).name : "as built";
}

} // namespace loomwright
