// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/finding_counts.hpp"

namespace loomwright {

FindingCounts count_findings(const Findings& findings) {
    FindingCounts out;
    for (const Finding& finding : findings.all()) {
        ++(finding.waived.empty() ? out.open.at(static_cast<std::size_t>(finding.severity))
                                  : out.waived);
    }
    return out;
}

} // namespace loomwright
