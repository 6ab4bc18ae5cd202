// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/shelf.hpp"
#include "solve/pattern.hpp"

#include <memory>
#include <vector>

namespace loomwright::solve {

/// Patterns by who is joined to whom. Several threads may use one shelf.
class PatternShelf {
public:
    [[nodiscard]] std::shared_ptr<const Pattern>
    of(const Circuit& circuit, const std::vector<Role>& roles, Unknowns wanted);

private:
    static constexpr std::size_t most_branches = 500'000; ///< about 100 MB

    Shelf<std::vector<Index>, const Pattern> known_{most_branches};
};

/// From a shelf, if there is one.
[[nodiscard]] std::shared_ptr<const Pattern> find_pattern(PatternShelf* shelf,
                                                          const Circuit& circuit,
                                                          const std::vector<Role>& roles,
                                                          Unknowns wanted);

} // namespace loomwright::solve
