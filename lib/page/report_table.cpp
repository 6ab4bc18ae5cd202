// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/report_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace loomwright::page {
namespace {

// Sizes of a bar in the units of its own picture; the page sets how large that is.
constexpr double bar_width = 100.0;
constexpr double bar_height = 12.0;
constexpr double beyond = 20.0; ///< room past the whole
constexpr double most_shown = (bar_width + beyond) / bar_width;

std::string bar_open() {
    return fmt::format(R"(<svg class="bar" viewBox="0 0 {} {}" aria-hidden="true">)",
                       bar_width + beyond + 1.0, bar_height);
}

/// The frame up to the whole, over what was filled in.
std::string bar_close(bool is_over) {
    return fmt::format(
        R"(<path class="frame" d="M0.5 0.5H{0}V{1}H0.5Z"/>{2}</svg>)", bar_width, bar_height - 0.5,
        is_over ? fmt::format(R"(<path class="over" d="M{0} 0V{1}"/>)", bar_width, bar_height)
                : std::string());
}

std::string filled(double from, double to, const char* kind) {
    return fmt::format("<rect class=\"{}\" x=\"{:.1f}\" y=\"0.5\" width=\"{:.1f}\" "
                       "height=\"{}\"/>",
                       kind, from * bar_width, (to - from) * bar_width, bar_height - 1.0);
}

double shown(double share) {
    return std::isfinite(share) ? std::clamp(share, 0.0, most_shown) : most_shown;
}

/// What is not there is not said: half of the time goes into what is handed over.
Data cell_data(const ReportCell& cell, const ReportColumn& column) {
    Data out;
    out.set("text", cell.text);
    if (column.is_number) {
        out.set("is_number", true);
    }
    if (cell.number && std::isfinite(*cell.number)) {
        out.set("has_sort", true);
        out.set("sort", fmt::format("{:.6g}", *cell.number));
    }
    if (!cell.link.empty()) {
        out.set("has_link", true);
        out.set("link", cell.link);
    }
    if (!cell.small.empty()) {
        out.set("has_small", true);
        out.set("small", cell.small);
    }
    if (!cell.picture.empty()) {
        out.set("picture", cell.picture);
    }
    return out;
}

} // namespace

ReportCell text_cell(std::string text, std::string link, std::string small) {
    return {std::move(text), std::move(link), std::nullopt, std::move(small), {}};
}

ReportCell number_cell(double number, int decimals, std::string link, std::string small) {
    const double rounded = std::abs(number) < 0.5 * std::pow(10.0, -decimals) ? 0.0 : number;
    return {std::isfinite(number) ? fmt::format("{:.{}f}", rounded, decimals) : std::string("-"),
            std::move(link),
            number,
            std::move(small),
            {}};
}

ReportCell no_cell(std::string text) {
    return {std::move(text), {}, std::nullopt, {}, {}};
}

ReportCell picture_cell(std::string picture, double sorts_by) {
    return {{}, {}, sorts_by, {}, std::move(picture)};
}

std::string render_table(const ReportTable& table, const std::string& running) {
    Data data;
    data.set("id", table.id);
    data.set("caption", table.caption);
    data.set("running", running);
    data.set("column_count", std::to_string(table.columns.size()));
    Data::List columns;
    for (const ReportColumn& column : table.columns) {
        Data head;
        head.set("title", column.title);
        head.set("is_number", column.is_number);
        columns.push_back(std::move(head));
    }
    data.set("columns", std::move(columns));
    // One at a time: a list would be copied as often as it is deep.
    Template line_of_row("report-row.html");
    std::string rows;
    for (const ReportRow& row : table.rows) {
        Data line;
        line.set("has_id", !row.id.empty());
        line.set("id", row.id);
        line.set("is_bad", row.is_bad);
        Data::List cells;
        cells.reserve(row.cells.size());
        for (std::size_t i = 0; i < row.cells.size(); ++i) {
            cells.push_back(cell_data(row.cells[i], table.columns[i]));
        }
        line.set("cells", std::move(cells));
        line_of_row.render(line, rows);
    }
    data.set("has_rows", !table.rows.empty());
    data.set("rows", std::move(rows));
    data.set("notes", text_rows("text", table.notes));
    return render("report-table.html", data);
}

ReportTable table_of(const Sheet& sheet, std::string id) {
    ReportTable table;
    table.id = std::move(id);
    table.caption = sheet.title;
    table.notes = sheet.notes;
    for (const Column& column : sheet.columns) {
        table.columns.push_back(
            {column.unit.empty() ? column.title : fmt::format("{} ({})", column.title, column.unit),
             column.alignment == Alignment::right});
    }
    for (const std::vector<Cell>& row : sheet.rows) {
        ReportRow line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            ReportCell cell = text_cell(cell_text(sheet.columns[i], row[i]));
            if (const auto* number = std::get_if<double>(&row[i])) {
                cell.number = *number;
            }
            line.cells.push_back(std::move(cell));
        }
        table.rows.push_back(std::move(line));
    }
    return table;
}

std::string share_bar(double share) {
    const double part = shown(share);
    return bar_open() + filled(0.0, part, "solid") + bar_close(share > 1.0);
}

std::string parts_bar(const std::vector<double>& shares) {
    constexpr std::array kinds = {"solid", "hatched", "open"};
    std::string out = bar_open();
    double sum = 0.0;
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double from = shown(sum);
        sum += std::max(0.0, shares[i]);
        if (shown(sum) > from) {
            out += filled(from, shown(sum), kinds.at(std::min(i, kinds.size() - 1)));
        }
    }
    return out + bar_close(sum > 1.0);
}

} // namespace loomwright::page
