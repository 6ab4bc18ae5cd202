// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/shelf.hpp"
#include "solve/factor.hpp"
#include "solve/pattern.hpp"

#include <memory>
#include <vector>

namespace loomwright::solve {

/// A pattern with its matrix analysed.
struct AnalysedPattern : Pattern {
    Factor factor; ///< of no values yet

    /// A factor to be filled.
    void begin(Factor& own) const { own.analyse_as(factor, column_start, row); }
};

/// Patterns by who is joined to whom. Several threads may use one shelf.
class PatternShelf {
public:
    [[nodiscard]] std::shared_ptr<const AnalysedPattern>
    of(const Circuit& circuit, const std::vector<Role>& roles, Unknowns wanted);

private:
    static constexpr std::size_t most_branches = 500'000; ///< about 100 MB

    Shelf<std::vector<Index>, const AnalysedPattern> known_{most_branches};
};

/// From a shelf, if there is one.
[[nodiscard]] std::shared_ptr<const AnalysedPattern> find_pattern(PatternShelf* shelf,
                                                                  const Circuit& circuit,
                                                                  const std::vector<Role>& roles,
                                                                  Unknowns wanted);

} // namespace loomwright::solve
