// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// One cell: its text without the quotes, and where it stands in the file.
struct CsvCell {
    std::string text;
    std::size_t offset = 0;
    std::size_t length = 0; ///< with the quotes
};

/// One record; a text in quotes may lead it over several lines.
struct CsvRow {
    std::vector<CsvCell> cells;
    int line = 0; ///< that it begins on, from 1
    std::string_view original;

    /// True when there is nothing in any cell.
    [[nodiscard]] bool is_blank() const;
};

struct CsvTable {
    char separator = ',';
    CsvRow head;
    std::vector<CsvRow> rows; ///< without blank ones
};

/// Reads a table by RFC 4180. The separator (comma, semicolon or tab) is the one that the first
/// line has most of, or what a first line `sep=;` says. Faults are findings with their place; the
/// table comes back when there is none. `text` is that of `file`, and must outlive the table.
[[nodiscard]] std::optional<CsvTable> read_csv(FileId file, std::string_view text,
                                               Findings& findings);

/// Where a cell stands.
[[nodiscard]] SourceRange place_of(FileId file, std::string_view text, const CsvCell& cell);

} // namespace loomwright
