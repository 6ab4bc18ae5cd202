// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/settle.hpp"

#include <optional>

namespace loomwright {

/// One state of a car brought to rest, with what studies of its neighbourhood start from. Const
/// once made, so that threads may share it. The plan outlives it.
struct SettledState {
    SettledState(const StudyPlan& study_plan, StateId which);

    /// Puts a circuit of this state where it begins.
    void begin(StateCircuit& from) const;

    const StudyPlan& plan;
    StateId id;
    const State* state = nullptr; ///< nullptr: a vehicle without states
    /// The state it follows, at rest; nothing: it begins from rest.
    std::optional<StateCircuit> before;
    StateCircuit circuit; ///< at rest
    WireHeat heat;        ///< at rest
    Settled settled;
};

} // namespace loomwright
