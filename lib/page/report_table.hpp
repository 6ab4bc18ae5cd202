// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "page/page_data.hpp"
#include "sheets/sheet.hpp"

#include <optional>
#include <string>
#include <vector>

// Inside the room only: the tables of the report.

namespace loomwright::page {

/// One cell of a table on the screen and on paper.
struct ReportCell {
    std::string text;
    std::string link;             ///< id that the text leads to; "" for none
    std::optional<double> number; ///< sorts by it and stands at the right
    std::string small;            ///< a second, smaller line
    std::string picture;          ///< an element that is put in as it is: a bar
};

struct ReportColumn {
    std::string title; ///< with its unit
    bool is_number = false;
};

struct ReportRow {
    std::string id; ///< that links lead to; "" for none
    std::vector<ReportCell> cells;
    bool is_bad = false; ///< marked at its left edge
};

struct ReportTable {
    std::string id;
    std::string caption;
    std::vector<ReportColumn> columns;
    std::vector<ReportRow> rows;
    std::vector<std::string> notes;
};

[[nodiscard]] ReportCell text_cell(std::string text, std::string link = {}, std::string small = {});
/// A number with `decimals` digits after the point; with a unit where the column has none.
[[nodiscard]] ReportCell number_cell(double number, int decimals, std::string link = {},
                                     std::string small = {});
/// Nothing is known.
[[nodiscard]] ReportCell no_cell(std::string text = "-");
[[nodiscard]] ReportCell picture_cell(std::string picture, double sorts_by);

/// The table as HTML. `running` stands over its head on every printed page.
[[nodiscard]] std::string render_table(const ReportTable& table, const std::string& running);

/// A sheet as a table of the report.
[[nodiscard]] ReportTable table_of(const Sheet& sheet, std::string id);

/// A share as a bar: full at `whole`, with a mark there where it goes beyond.
[[nodiscard]] std::string share_bar(double share);
/// Parts that together are compared with a whole: black, hatched, white, in this order.
[[nodiscard]] std::string parts_bar(const std::vector<double>& shares);

} // namespace loomwright::page
