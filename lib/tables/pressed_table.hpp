// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

#include <span>
#include <string_view>

namespace loomwright {

// A data file as cells in the program's own read-only memory, written by cmake/press_tables.cpp at
// build time.

struct PressedSource {
    std::string_view key;
    Provenance provenance;
    std::string_view text;
};

struct PressedColumn {
    std::string_view name;
    std::string_view unit;
    double to_si;
    int source;        ///< index of the source of every cell; -1: none, or each row its own
    int origin_column; ///< the column of the row's own source; -1: none
    bool names_sources;
};

struct PressedCell {
    std::string_view text;
    int line;
    int column;
    int end_column;
};

struct PressedTable {
    std::string_view file; ///< its name without ".yaml"
    std::string_view name;
    std::string_view description;
    std::string_view edition;
    std::string_view licence;
    std::string_view validity;
    std::string_view rule;
    std::span<const PressedSource> sources;
    std::span<const PressedColumn> columns;
    std::span<const PressedCell> cells;
};

/// The carried tables by name of their files.
[[nodiscard]] std::span<const PressedTable> pressed_tables();

} // namespace loomwright
