// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <vector>

namespace loomwright {

/// What a check finds now, against what it found before: places in the two lists. A finding is the
/// same as one before when rule and subject are; of several with both, in their order.
struct FindingChanges {
    struct Changed {
        std::size_t before = 0;
        std::size_t now = 0;
    };
    std::vector<std::size_t> fresh; ///< into the findings of now
    std::vector<Changed> changed;   ///< the message, the severity or the waiver is another
    std::vector<std::size_t> gone;  ///< into the findings of before
    [[nodiscard]] bool is_empty() const { return fresh.empty() && changed.empty() && gone.empty(); }
};

[[nodiscard]] FindingChanges compare_findings(const Findings& before, const Findings& now);

} // namespace loomwright
