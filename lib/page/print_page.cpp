// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/print_page.hpp"

#include "page/page_data.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::page {
namespace {

constexpr std::string_view tick_key = "done";
// Letters a column gets in the share of the page: a short one room to breathe, a long one no more
// than its text needs over a few lines.
constexpr int least_letters = 4;
constexpr int most_letters_in_line = 30;
constexpr int most_letters_wrapped = 26;
constexpr int letters_of_padding = 2;

/// The widest word of a text: what a column must hold without breaking inside a word.
int widest_word(const std::string& text) {
    int widest = 0;
    for (std::size_t first = 0; first < text.size();) {
        const std::size_t end = std::min(text.find(' ', first), text.size());
        widest = std::max(widest, display_width(text.substr(first, end - first)));
        first = end + 1;
    }
    return widest;
}

std::string heading_of(const Column& column) {
    return column.unit.empty() ? column.title : column.title + " " + column.unit;
}

/// How many letters wide a column wants to be.
int wanted_letters(const Sheet& sheet, std::size_t column) {
    const Column& about = sheet.columns[column];
    if (about.key == tick_key) {
        return least_letters + letters_of_padding;
    }
    int letters = std::max(least_letters, widest_word(heading_of(about)));
    for (const auto& row : sheet.rows) {
        letters = std::max(letters, display_width(cell_text(about, row[column])));
    }
    return std::min(letters, about.may_wrap ? most_letters_wrapped : most_letters_in_line) +
           letters_of_padding;
}

Data::List columns_data(const Sheet& sheet) {
    std::vector<int> letters;
    int total = 0;
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        letters.push_back(wanted_letters(sheet, c));
        total += letters.back();
    }
    Data::List out;
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        Data& column = out.emplace_back();
        column.set("name", heading_of(sheet.columns[c]));
        column.set("width", fmt::format("{:.2f}", 100.0 * letters[c] / total));
        column.set("is_tick", sheet.columns[c].key == tick_key);
    }
    return out;
}

Data row_data(const Sheet& sheet, const std::vector<Cell>& row) {
    Data::List cells;
    for (std::size_t c = 0; c < row.size(); ++c) {
        const Column& column = sheet.columns[c];
        const bool is_tick = column.key == tick_key;
        const bool is_number = !is_tick && column.alignment == Alignment::right;
        Data& cell = cells.emplace_back();
        cell.set("text", cell_text(column, row[c]));
        cell.set("is_tick", is_tick);
        cell.set("is_number", is_number);
        cell.set("is_text", !is_tick && !is_number);
    }
    Data out;
    out.set("cells", std::move(cells));
    return out;
}

Data section_data(const PrintSection& section) {
    Data out;
    out.set("has_heading", !section.heading.empty());
    out.set("heading", section.heading);
    out.set("has_pictures", !section.pictures.empty());
    out.set("pictures", text_rows("svg", section.pictures));
    out.set("columns", columns_data(section.sheet));
    out.set("column_count", std::to_string(section.sheet.columns.size()));
    Data::List rows;
    for (const auto& row : section.sheet.rows) {
        rows.push_back(row_data(section.sheet, row));
    }
    out.set("has_rows", !rows.empty());
    out.set("rows", std::move(rows));
    out.set("notes", text_rows("text", section.sheet.notes));
    return out;
}

} // namespace

std::string print_page(const Vehicle& vehicle, const Findings& findings, Paper paper,
                       const PageHead& head, const std::vector<PrintSection>& sections) {
    Data data = page_data(vehicle, findings, paper);
    data.set("paper_title", head.title);
    data.set("summary", head.summary);
    Data::List parts;
    for (const PrintSection& section : sections) {
        parts.push_back(section_data(section));
    }
    data.set("sections", std::move(parts));
    data.set("signatures", text_rows("text", head.signatures));
    return render("tables.html", data);
}

} // namespace loomwright::page
