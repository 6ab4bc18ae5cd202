// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <string>

namespace loomwright {

/// Which states have an operating point: of the others nothing may be said, least of all that a
/// limit holds.
struct AnsweredStates {
    bool is_any = false;
    std::string every; ///< "every state", "every state but lit, which has no operating point"

    /// Where nothing was found in them: "none", or that nothing is known.
    [[nodiscard]] std::string none() const;
};

[[nodiscard]] AnsweredStates answered_states(const StudyInput& input, const Sizing& sizing);

} // namespace loomwright
