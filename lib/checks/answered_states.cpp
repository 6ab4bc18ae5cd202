// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/answered_states.hpp"

#include "checks/wording.hpp"
#include "sizing/judged.hpp"

#include <fmt/format.h>

#include <vector>

namespace loomwright {

std::string AnsweredStates::none() const {
    return is_any ? "none" : "not known: no state has an operating point";
}

AnsweredStates answered_states(const StudyInput& input, const Sizing& sizing) {
    AnsweredStates out;
    out.is_any = has_answer(sizing);
    std::vector<std::string> without;
    for (const StateSolution* state : judged_states(sizing)) {
        if (!state->converged) {
            without.push_back(state_name(input.vehicle, *state));
        }
    }
    out.every = without.empty()
                    ? "every state"
                    : fmt::format("every state but {}, which {} no operating point",
                                  list_of(without), without.size() > 1 ? "have" : "has");
    return out;
}

} // namespace loomwright
