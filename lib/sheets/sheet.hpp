// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/quantity.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace loomwright {

enum class Alignment : std::uint8_t { left, right };

/// A column of a table. Numbers are kept in SI; `per_si` turns one into the unit that people read.
struct Column {
    std::string key;   ///< stable name for machines: "length_m"
    std::string title; ///< for people, without the unit: "length"
    std::string unit;  ///< that people read: "mm"; "" for text and bare numbers
    Alignment alignment = Alignment::left;
    double per_si = 1.0;
    int decimals = -1;     ///< digits after the point; -1: four significant digits
    bool may_wrap = false; ///< long text may go on in the next line
};

/// Nothing, a text, or a number in SI.
using Cell = std::variant<std::monostate, std::string, double>;

/// A table with a title: the one form from which text, CSV and JSON are written.
struct Sheet {
    std::string name;  ///< for file names: "cut-list"
    std::string title; ///< for people: "Cut list"
    std::vector<Column> columns;
    std::vector<std::vector<Cell>> rows; ///< as many cells each as there are columns
    std::vector<std::string> notes;      ///< printed under the table
};

[[nodiscard]] Column text_column(std::string key, std::string title, bool may_wrap = false);
[[nodiscard]] Column number_column(std::string key, std::string title, std::string unit = "",
                                   int decimals = -1, double per_si = 1.0);

/// A length that may be unknown: then nothing.
[[nodiscard]] Cell length_cell(const std::optional<Metres>& length);

/// What a person reads in this cell, without the unit.
[[nodiscard]] std::string cell_text(const Column& column, const Cell& cell);

/// How wide a text is laid out.
struct TextWidth {
    int columns = 100;
    bool is_edge = false; ///< true for a terminal: nothing may be wider
};

/// What stands over a column: "length (m)".
[[nodiscard]] std::string column_heading(const Column& column);

/// The table with aligned columns; those that may wrap give way to the width. What is still too
/// wide becomes several tables, each with the first column, where the width is an edge.
[[nodiscard]] std::string sheet_text(const Sheet& sheet, TextWidth width = {});

/// RFC 4180, UTF-8, CRLF. A text that a spreadsheet would take for a formula is written with an
/// apostrophe before it; numbers stay numbers, with a point, in the unit of the column's title.
[[nodiscard]] std::string sheet_csv(const Sheet& sheet);

/// {"name","title","rows":[{key: value}]}: numbers in SI, nothing as null.
[[nodiscard]] std::string sheet_json(const Sheet& sheet);

} // namespace loomwright
