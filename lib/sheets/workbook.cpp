// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/workbook.hpp"

#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace loomwright {
namespace {

/// Documents bear the first day that a ZIP archive can name, so that the same car gives the same
/// file.
constexpr time_t no_date = 315532800;
constexpr std::size_t most_letters_of_a_name = 31;
constexpr std::size_t most_letters_of_a_cell = 32767;
constexpr std::size_t most_letters_of_a_title = 255;
constexpr double most_width = 60.0;

constexpr std::uint8_t paper_a4 = 9;

/// Whole characters of UTF-8 that can be seen, no longer than the format allows.
std::string cell_string(const std::string& written, std::size_t most = most_letters_of_a_cell) {
    std::string text = plain_lines(written);
    if (text.size() <= most) {
        return text;
    }
    std::size_t end = most - 3;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) {
        --end;
    }
    return text.substr(0, end) + "...";
}

/// The tables of one workbook, one after the other.
class WorkbookWriter {
public:
    explicit WorkbookWriter(lxw_workbook* book) : book_(book) {
        head_ = workbook_add_format(book);
        format_set_bold(head_);
        format_set_text_wrap(head_);
        format_set_bottom(head_, LXW_BORDER_THIN);
        format_set_align(head_, LXW_ALIGN_VERTICAL_TOP);
        text_ = workbook_add_format(book);
        format_set_text_wrap(text_);
        format_set_align(text_, LXW_ALIGN_VERTICAL_TOP);
    }

    /// LXW_NO_ERROR, or the first error.
    lxw_error add(const Sheet& sheet) {
        const std::string name = sheet.name.substr(0, most_letters_of_a_name);
        lxw_worksheet* const page = workbook_add_worksheet(book_, name.c_str());
        if (page == nullptr) {
            return LXW_ERROR_SHEETNAME_ALREADY_USED;
        }
        const auto columns = static_cast<lxw_col_t>(sheet.columns.size());
        worksheet_set_landscape(page);
        worksheet_set_paper(page, paper_a4);
        worksheet_fit_to_pages(page, 1, 0);
        worksheet_repeat_rows(page, 0, 0);
        worksheet_freeze_panes(page, 1, 0);
        for (lxw_col_t c = 0; c < columns; ++c) {
            worksheet_set_column(page, c, c, width_of(sheet, c), nullptr);
            worksheet_write_string(page, 0, c, column_heading(sheet.columns[c]).c_str(), head_);
        }
        lxw_error error = add_rows(page, sheet);
        auto row = static_cast<lxw_row_t>(sheet.rows.size() + 2);
        for (const std::string& note : sheet.notes) {
            const lxw_error wrong =
                worksheet_write_string(page, row++, 0, cell_string(note).c_str(), nullptr);
            error = error == LXW_NO_ERROR ? wrong : error;
        }
        if (columns > 0 && !sheet.rows.empty()) {
            worksheet_autofilter(page, 0, 0, static_cast<lxw_row_t>(sheet.rows.size()),
                                 static_cast<lxw_col_t>(columns - 1));
        }
        return error;
    }

private:
    lxw_error add_rows(lxw_worksheet* page, const Sheet& sheet) {
        for (std::size_t r = 0; r < sheet.rows.size(); ++r) {
            for (std::size_t c = 0; c < sheet.rows[r].size(); ++c) {
                const lxw_error error =
                    add_cell(page, static_cast<lxw_row_t>(r + 1), static_cast<lxw_col_t>(c),
                             sheet.columns[c], sheet.rows[r][c]);
                if (error != LXW_NO_ERROR) {
                    return error;
                }
            }
        }
        return LXW_NO_ERROR;
    }

    lxw_error add_cell(lxw_worksheet* page, lxw_row_t row, lxw_col_t column, const Column& about,
                       const Cell& cell) {
        if (const auto* text = std::get_if<std::string>(&cell)) {
            return text->empty() ? LXW_NO_ERROR
                                 : worksheet_write_string(page, row, column,
                                                          cell_string(*text).c_str(), text_);
        }
        const auto* number = std::get_if<double>(&cell);
        if (number != nullptr && std::isfinite(*number)) {
            return worksheet_write_number(page, row, column, *number * about.per_si,
                                          number_format(about.decimals));
        }
        return LXW_NO_ERROR;
    }

    lxw_format* number_format(int decimals) {
        lxw_format*& format = numbers_[decimals];
        if (format == nullptr) {
            format = workbook_add_format(book_);
            format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
            if (decimals >= 0) {
                const std::string shape =
                    decimals == 0 ? "0"
                                  : "0." + std::string(static_cast<std::size_t>(decimals), '0');
                format_set_num_format(format, shape.c_str());
            }
        }
        return format;
    }

    static double width_of(const Sheet& sheet, std::size_t column) {
        int letters = 6;
        for (const auto& row : sheet.rows) {
            letters =
                std::max(letters, display_width(cell_text(sheet.columns[column], row[column])));
        }
        const std::string head = column_heading(sheet.columns[column]);
        letters = std::max(letters, std::min(display_width(head), 14));
        return std::min(most_width, letters + 2.0);
    }

    lxw_workbook* book_;
    lxw_format* head_ = nullptr;
    lxw_format* text_ = nullptr;
    std::map<int, lxw_format*> numbers_; ///< by decimals
};

} // namespace

bool write_workbook(std::span<const Sheet> sheets, const std::string& title,
                    const std::string& path, std::string& why_not) {
    lxw_workbook_options options{};
    lxw_workbook* const book = workbook_new_opt(path.c_str(), &options);
    if (book == nullptr) {
        why_not = "there is no memory for a workbook";
        return false;
    }
    std::string name = cell_string(title, most_letters_of_a_title);
    lxw_doc_properties properties{};
    properties.title = name.data();
    properties.created = no_date;
    workbook_set_properties(book, &properties);
    WorkbookWriter writer(book);
    lxw_error error = LXW_NO_ERROR;
    for (const Sheet& sheet : sheets) {
        const lxw_error wrong = writer.add(sheet);
        error = error == LXW_NO_ERROR ? wrong : error;
    }
    const lxw_error closing = workbook_close(book);
    error = error == LXW_NO_ERROR ? closing : error;
    if (error != LXW_NO_ERROR) {
        why_not = fmt::format("the workbook could not be written: {}", lxw_strerror(error));
        return false;
    }
    return true;
}

} // namespace loomwright
