// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/settled_state.hpp"

#include <utility>

namespace loomwright {
namespace {

/// The circuit of the state that this one follows, as it comes to rest; nothing for a state that
/// begins from rest, or follows one that finds none.
std::optional<StateCircuit> circuit_before(const StudyPlan& plan, const State* state) {
    if (state == nullptr || !state->after.is_valid()) {
        return std::nullopt;
    }
    SettledState first(plan, state->after);
    return first.settled.is_solved ? std::optional(std::move(first.circuit)) : std::nullopt;
}

} // namespace

SettledState::SettledState(const StudyPlan& study_plan, StateId which)
    : plan(study_plan), id(which), state(state_of(study_plan.input.vehicle, which)),
      before(circuit_before(study_plan, state)), circuit(study_plan, state),
      heat(study_plan, circuit, state) {
    circuit.take_design();
    begin(circuit);
    heat.begin(true, circuit);
    SolverChain solvers(plan.input);
    settled = Settler(plan, circuit, heat, solvers).settle({});
}

void SettledState::begin(StateCircuit& from) const {
    from.put_to_rest();
    if (before) {
        from.follow(*before);
    }
}

} // namespace loomwright
