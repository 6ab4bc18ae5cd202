// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/section_table.hpp"

#include <algorithm>

namespace loomwright::draw {
namespace {

constexpr double between_columns = 3.0;
constexpr double between_blocks = 8.0;
constexpr double line_mm = 0.25;
constexpr double hair_mm = 0.1;

std::string fitted(const TextTable& table, const std::string& text, bool is_bold) {
    const std::vector<std::string> lines =
        fit_text(text, table.most_width, table.text_size, 1, is_bold);
    return lines.empty() ? std::string() : lines.front();
}

std::vector<double> column_widths(const TextTable& table) {
    std::vector<double> out;
    for (std::size_t column = 0; column < table.head.size(); ++column) {
        double width = text_width(fitted(table, table.head[column], true), table.text_size, true);
        for (const std::vector<std::string>& row : table.rows) {
            width = std::max(width, text_width(fitted(table, row[column], false), table.text_size));
        }
        out.push_back(width + between_columns);
    }
    return out;
}

} // namespace

TableSize draw_table(Drawing& sheet, const TextTable& table, Spot corner) {
    const std::vector<double> widths = column_widths(table);
    double block_width = 0.0;
    for (const double width : widths) {
        block_width += width;
    }
    TableSize size;
    const auto draw_row = [&](const std::vector<std::string>& cells, Spot at, bool is_bold) {
        for (std::size_t column = 0; column < cells.size(); ++column) {
            sheet.text(at, fitted(table, cells[column], is_bold), table.text_size, Anchor::start,
                       is_bold);
            at.x += widths[column];
        }
    };
    for (std::size_t first = 0; first < table.rows.size(); first += table.most_rows) {
        const std::size_t last = std::min(first + table.most_rows, table.rows.size());
        const double left = corner.x + size.width + (first == 0 ? 0.0 : between_blocks);
        double y = corner.y + 0.75 * table.pitch;
        draw_row(table.head, {left, y}, true);
        const double under_head = y + 0.35 * table.pitch;
        sheet.line({left, under_head}, {left + block_width, under_head}, line_mm);
        for (std::size_t row = first; row < last; ++row) {
            y += row == first ? 1.3 * table.pitch : table.pitch;
            draw_row(table.rows[row], {left, y}, false);
            const double foot = y + 0.3 * table.pitch;
            sheet.line({left, foot}, {left + block_width, foot}, hair_mm);
        }
        size.width = left + block_width - corner.x;
        size.height = std::max(size.height, y + 0.5 * table.pitch - corner.y);
    }
    return size;
}

} // namespace loomwright::draw
