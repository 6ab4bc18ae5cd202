// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/cutting_stock.hpp"

namespace loomwright {

/// What the linear programme says of a cutting plan, and the best that is made of its patterns.
struct PatternSearch {
    int at_least = 0;                   ///< whole spools that no plan undercuts
    std::vector<SpoolPattern> patterns; ///< fewer than `known` spools; empty: none was found
};

/// Fewer spools than `known`, if whole numbers of the linear programme's patterns give them.
[[nodiscard]] PatternSearch search_patterns(std::span<const CutSize> sizes, int spool,
                                            const std::vector<SpoolPattern>& known);

} // namespace loomwright
