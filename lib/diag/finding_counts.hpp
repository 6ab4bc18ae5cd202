// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <array>
#include <cstddef>

namespace loomwright {

/// How many findings stand open of each severity, and how many somebody has accepted.
struct FindingCounts {
    std::array<std::size_t, 4> open{}; ///< by severity
    std::size_t waived = 0;

    [[nodiscard]] std::size_t of(Severity severity) const {
        return open.at(static_cast<std::size_t>(severity));
    }
};
[[nodiscard]] FindingCounts count_findings(const Findings& findings);

/// From the worst to the least.
inline constexpr std::array severities_from_worst = {Severity::danger, Severity::fault,
                                                     Severity::caution, Severity::note};

} // namespace loomwright
