// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/spread_table.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <utility>
#include <vector>

namespace loomwright::testing {

/// The built-in table.
inline SpreadTable spreads() {
    SourceFiles files;
    Findings findings;
    SpreadTable table = load_spreads(files, findings);
    REQUIRE(findings.empty());
    return table;
}

/// The table with nothing spread but what is named.
inline SpreadTable only(const std::vector<Spread>& wanted) {
    std::vector<Spread> rows = spreads().without_spread().rows();
    for (const Spread& spread : wanted) {
        const auto found = std::ranges::find(rows, spread.name, &Spread::name);
        REQUIRE(found != rows.end());
        found->kind = spread.kind;
        found->middle = found->is_factor ? 1.0 : 0.0;
        found->width = spread.width;
    }
    return SpreadTable(std::move(rows));
}

} // namespace loomwright::testing
