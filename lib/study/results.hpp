// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/settle.hpp"

namespace loomwright {

/// Names the results of a settled state: voltages, wires, devices, proof.
[[nodiscard]] StateSolution make_solution(const StudyPlan& plan, const StateCircuit& circuit,
                                          const WireHeat& heat, Settled settled, StateId state);

} // namespace loomwright
