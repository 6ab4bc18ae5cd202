// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// Pieces of one length. Lengths are whole steps of any unit; those of a plan share it.
struct CutSize {
    int length = 0; ///< > 0
    int count = 0;  ///< > 0
};

/// How a spool is cut: so many pieces of each size, and so many spools alike.
struct SpoolPattern {
    int spools = 1;
    std::vector<int> pieces; ///< by index of the sizes
    [[nodiscard]] long used(std::span<const CutSize> sizes) const;
};

struct CuttingPlan {
    std::vector<SpoolPattern> patterns; ///< fullest first; the rest on the last is the longest
    int spools = 0;
    int at_least = 0; ///< no plan needs fewer: proved
    /// The least number of spools, and not only near it.
    [[nodiscard]] bool is_least() const { return spools == at_least; }
};

/// Cuts the pieces from as few spools of `spool` steps as it can. Nothing: a piece is longer than a
/// spool. The same input gives the same plan.
[[nodiscard]] std::optional<CuttingPlan> plan_cutting(std::span<const CutSize> sizes, int spool);

} // namespace loomwright
