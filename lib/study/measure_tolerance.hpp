// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/plan.hpp"
#include "tables/spread_table.hpp"

#include <vector>

namespace loomwright {

/// One thing whose figure in the vehicle file is not exact, with the branches that it moves.
struct Tolerance {
    struct Part {
        int branch = 0;
        /// Standard deviation: a share of the branch's resistance or of its load's demand; of a
        /// source's emf, V.
        double deviation = 0.0;
        bool is_emf = false;
    };
    std::vector<Part> parts; ///< all at once, each in proportion
};

/// Every tolerance of a car, in the order of its branches: lengths of wires, copper (one for all
/// wires of a size), contacts, grounds, fuses, coils, loads, sources. The figures are those of the
/// table `spreads`; air and temperatures are taken as they are.
[[nodiscard]] std::vector<Tolerance> tolerances(const StudyPlan& plan, const SpreadTable& spreads);

} // namespace loomwright
