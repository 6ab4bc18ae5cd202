// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <array>
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

/// What a list is about, for messages: "loads", and the columns that its first line names.
struct CsvWords {
    std::string_view about;
    std::string_view columns;
};
constexpr CsvWords loads_list{"loads", "device, place, watts, fuse, length"};
constexpr CsvWords readings_list{"readings", "place, state, reading, to, accuracy, note"};

/// Reads a table by RFC 4180. The separator (comma, semicolon or tab) is the one that the first
/// line has most of, or what a first line `sep=;` says. Faults are findings with their place; the
/// table comes back when there is none. `text` is that of `file`, and must outlive the table.
[[nodiscard]] std::optional<CsvTable> read_csv(FileId file, std::string_view text,
                                               Findings& findings,
                                               const CsvWords& words = loads_list);

/// Faults of one list that are told before its reading stops.
constexpr std::size_t most_list_faults = 100;

/// A name that a column may have in a head line, and what the column is about.
template <typename Topic> struct CsvColumn {
    std::string_view name;
    Topic column;
    bool is_leading = false; ///< named to people; the others are understood as well
};
/// The names that people are told of.
template <typename Topic, std::size_t count>
[[nodiscard]] std::vector<std::string_view>
leading_names(const std::array<CsvColumn<Topic>, count>& columns) {
    std::vector<std::string_view> out;
    for (const CsvColumn<Topic>& column : columns) {
        if (column.is_leading) {
            out.push_back(column.name);
        }
    }
    return out;
}

/// The head of a column in its parts: "Length (mm)" is "length" in mm.
struct CsvHead {
    std::string name; ///< small letters
    std::string unit; ///< as written; "" for none
};
[[nodiscard]] CsvHead csv_head(std::string_view text);
/// A name with the letters A to Z made small.
[[nodiscard]] std::string small_letters(std::string_view text);
/// A number with one comma between digits and no point has a decimal comma: with a point instead.
[[nodiscard]] std::string with_decimal_point(std::string_view text);

/// The cell in this column; an empty one where the list has no such column, or the row ends before.
[[nodiscard]] const CsvCell& cell_at(const CsvRow& row, std::optional<std::size_t> column);
/// Where a cell stands.
[[nodiscard]] SourceRange place_of(FileId file, std::string_view text, const CsvCell& cell);

} // namespace loomwright
