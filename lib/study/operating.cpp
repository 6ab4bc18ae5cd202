// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/operating.hpp"

#include "study/plan.hpp"
#include "study/results.hpp"
#include "study/settle.hpp"
#include "study/state_circuit.hpp"

#include <algorithm>
#include <atomic>
#include <thread>

namespace loomwright {
namespace {

StateSolution solve_planned(const StudyPlan& plan, solve::Solver& solver, StateId state) {
    const State* named = state.is_valid() ? &plan.input.vehicle.state(state) : nullptr;
    StateCircuit circuit(plan, named);
    return make_solution(plan, circuit, Settler(plan, circuit, solver).settle(), state);
}

} // namespace

StateSolution solve_state(const StudyInput& input, const Design& design, StateId state) {
    const StudyPlan plan(input, design);
    solve::Solver solver;
    return solve_planned(plan, solver, state);
}

std::vector<StateSolution> solve_states(const StudyInput& input, const Design& design) {
    const StudyPlan plan(input, design);
    std::vector<StateId> states;
    for (std::size_t i = 0; i < input.vehicle.states.size(); ++i) {
        states.emplace_back(i);
    }
    if (states.empty()) {
        states.emplace_back();
    }
    std::vector<StateSolution> out(states.size());
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        // A solver of its own for each thread; what it keeps from one state to the next is only the
        // order of elimination, which depends on the circuit alone.
        solve::Solver solver;
        for (std::size_t i = next++; i < states.size(); i = next++) {
            out[i] = solve_planned(plan, solver, states[i]);
        }
    };
    const std::size_t helpers =
        std::min<std::size_t>(std::max(std::thread::hardware_concurrency(), 1U), states.size()) - 1;
    std::vector<std::jthread> threads;
    threads.reserve(helpers);
    for (std::size_t i = 0; i < helpers; ++i) {
        threads.emplace_back(work);
    }
    work();
    threads.clear();
    return out;
}

std::string state_name(const Vehicle& vehicle, const StateSolution& solution) {
    return solution.state.is_valid() ? vehicle.state(solution.state).name : "as built";
}

} // namespace loomwright
