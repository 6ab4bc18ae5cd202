// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/print_page.hpp"

#include "page/page_data.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace loomwright::page {
namespace {

constexpr std::string_view tick_key = "done";
// Letters a column gets in the share of the page: a short one room to breathe, a long one no more
// than its text needs over a few lines.
constexpr int least_letters = 4;
constexpr int most_letters_in_line = 30;
constexpr int most_letters_wrapped = 26;
constexpr int least_letters_wrapped = 10;
constexpr int letters_of_padding = 2;
/// Of the pages' own type at its full size; a wide table is set smaller, down to the least that
/// reads.
constexpr double mm_a_letter = 1.95;
constexpr double full_pt = 9.0;
constexpr double least_pt = 6.0;

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

/// How many letters wide a column is.
struct ColumnWidth {
    int wanted = 0; ///< so that its longest text, as far as that goes, stands in one line
    int least = 0;  ///< so that no word breaks
};

ColumnWidth width_of(const Sheet& sheet, std::size_t column) {
    const Column& about = sheet.columns[column];
    if (about.key == tick_key) {
        return {least_letters + letters_of_padding, least_letters + letters_of_padding};
    }
    const int head = std::max(least_letters, widest_word(heading_of(about)));
    int longest = head;
    int word = head;
    for (const auto& row : sheet.rows) {
        const std::string text = cell_text(about, row[column]);
        longest = std::max(longest, display_width(text));
        word = std::max(word, widest_word(text));
    }
    const int wanted =
        std::min(longest, about.may_wrap ? most_letters_wrapped : most_letters_in_line);
    const int least =
        about.may_wrap ? std::min(wanted, std::max(word, least_letters_wrapped)) : wanted;
    return {wanted + letters_of_padding, least + letters_of_padding};
}

/// Widths of all columns for a line of so many letters: those that may wrap give way first, the
/// widest of them before the others.
std::vector<int> widths_of(const Sheet& sheet, int room) {
    std::vector<ColumnWidth> columns;
    std::vector<int> out;
    int total = 0;
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        columns.push_back(width_of(sheet, c));
        out.push_back(columns.back().wanted);
        total += out.back();
    }
    for (; total > room; --total) {
        std::size_t widest = out.size();
        for (std::size_t c = 0; c < out.size(); ++c) {
            const bool gives = out[c] > columns[c].least;
            if (gives && (widest == out.size() || out[c] > out[widest])) {
                widest = c;
            }
        }
        if (widest == out.size()) {
            break;
        }
        --out[widest];
    }
    return out;
}

/// Columns with their shares of the page's width, and the size of type at which they hold.
void set_columns(Data& out, const Sheet& sheet, Paper paper) {
    const double room = text_width_mm(paper) / mm_a_letter;
    const std::vector<int> letters = widths_of(sheet, static_cast<int>(room));
    const int total = std::max(1, std::accumulate(letters.begin(), letters.end(), 0));
    Data::List columns;
    for (std::size_t c = 0; c < letters.size(); ++c) {
        Data& column = columns.emplace_back();
        column.set("name", heading_of(sheet.columns[c]));
        column.set("width", fmt::format("{:.2f}", 100.0 * letters[c] / total));
        column.set("is_tick", sheet.columns[c].key == tick_key);
    }
    out.set("columns", std::move(columns));
    out.set("type_size",
            fmt::format("{:.1f}", std::clamp(full_pt * room / total, least_pt, full_pt)));
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

Data section_data(const PrintSection& section, Paper paper) {
    Data out;
    out.set("has_heading", !section.heading.empty());
    out.set("heading", section.heading);
    out.set("has_pictures", !section.pictures.empty());
    out.set("pictures", text_rows("svg", section.pictures));
    set_columns(out, section.sheet, paper);
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
        parts.push_back(section_data(section, paper));
    }
    data.set("sections", std::move(parts));
    data.set("signatures", text_rows("text", head.signatures));
    return render("tables.html", data);
}

} // namespace loomwright::page
