// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <vector>

namespace loomwright {

/// One line of a proof that can be redone with a pocket calculator.
struct ProofStep {
    std::string formula; ///< "R = r20 x L x (1 + 0.00393 (T - 20))"
    std::string with;    ///< the numbers put in
    std::string gives;   ///< the answer with its unit
    std::string source;  ///< where formula and figures come from
};

/// A headed group of steps.
struct ProofSection {
    std::string title;
    std::vector<ProofStep> steps;
};

} // namespace loomwright
