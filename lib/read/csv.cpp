// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Comma-separated values (RFC 4180). The packaged library for it (libcsv) gives the texts of the
// cells and not where they stand; a person with a bad file needs line and column of each, and of
// the quote that was left open. Hence a reader of our own.
#include "read/csv.hpp"

#include "base/input_limits.hpp"
#include "yaml/quantity_text.hpp"
#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

std::string_view first_line(std::string_view text) {
    std::string_view line = text.substr(0, text.find('\n'));
    while (line.ends_with('\r')) {
        line.remove_suffix(1);
    }
    return line;
}

/// What separates the cells of a head line: of those outside quotes the one that it has most of.
char separator_of(std::string_view line) {
    constexpr std::array<char, 3> known{'\t', ';', ','};
    std::array<int, 3> counts{};
    bool is_quoted = false;
    for (const char c : line) {
        is_quoted = is_quoted != (c == '"');
        for (std::size_t i = 0; i < known.size() && !is_quoted; ++i) {
            counts.at(i) += c == known.at(i) ? 1 : 0;
        }
    }
    const auto* const most = std::ranges::max_element(counts);
    return *most == 0 ? ',' : known.at(static_cast<std::size_t>(most - counts.begin()));
}

class CsvReader {
public:
    CsvReader(FileId file, std::string_view text, Findings& findings, const CsvWords& words)
        : file_(file), text_(text), findings_(findings), words_(words) {}

    std::optional<CsvTable> read() {
        skip_separator_line();
        std::vector<CsvRow> rows;
        while (at_ < text_.size() && !is_bad_) {
            CsvRow row = read_row();
            if (!row.is_blank()) {
                rows.push_back(std::move(row));
            }
            if (rows.size() > most_list_rows + 1) {
                complain(Rule::out_of_range, at_ - 1, 1,
                         fmt::format("there are more than {} lines", most_list_rows),
                         "make several lists of it");
            }
        }
        if (is_bad_) {
            return std::nullopt;
        }
        if (rows.empty()) {
            complain(Rule::missing_key, 0, 0, "the file is empty",
                     fmt::format("begin it with a line of column names: {}", words_.columns));
            return std::nullopt;
        }
        table_.head = std::move(rows.front());
        rows.erase(rows.begin());
        table_.rows = std::move(rows);
        return std::move(table_);
    }

private:
    void complain(Rule rule, std::size_t offset, std::size_t length, std::string message,
                  std::string remedy) {
        is_bad_ = true;
        findings_.add(rule, "", place_of(file_, text_, CsvCell{"", offset, length}),
                      std::move(message), std::move(remedy));
    }

    void skip_separator_line() {
        const std::string_view line = first_line(text_);
        if (line.size() == 5 && (line.starts_with("sep=") || line.starts_with("SEP="))) {
            table_.separator = line.back();
            at_ = std::min(text_.size(), text_.find('\n') + 1);
            ++line_;
            return;
        }
        table_.separator = separator_of(line);
    }

    [[nodiscard]] bool is_at_end_of_row() const {
        return at_ >= text_.size() || text_[at_] == '\n' || text_.substr(at_).starts_with("\r\n");
    }

    CsvRow read_row() {
        CsvRow row;
        row.line = line_;
        const std::size_t begin = at_;
        for (;;) {
            row.cells.push_back(read_cell());
            if (is_bad_ || is_at_end_of_row()) {
                break;
            }
            ++at_; // the separator
        }
        row.original = text_.substr(begin, at_ - begin);
        if (row.cells.size() > most_list_columns && !is_bad_) {
            complain(Rule::out_of_range, row.cells[most_list_columns].offset, 1,
                     fmt::format("there are more than {} columns", most_list_columns),
                     fmt::format("take out what is not about the {}", words_.about));
        }
        at_ += text_.substr(at_).starts_with("\r\n") ? 2 : 1;
        ++line_;
        return row;
    }

    CsvCell read_cell() {
        CsvCell cell;
        cell.offset = at_;
        if (at_ < text_.size() && text_[at_] == '"') {
            read_quoted(cell);
        } else {
            read_bare(cell);
        }
        cell.length = at_ - cell.offset;
        if (cell.text.size() > longest_list_cell && !is_bad_) {
            complain(Rule::out_of_range, cell.offset, 1,
                     fmt::format("a cell is longer than {} characters", longest_list_cell),
                     "shorten it; is a quote missing?");
        }
        return cell;
    }

    void read_bare(CsvCell& cell) {
        while (!is_at_end_of_row() && text_[at_] != table_.separator && !is_bad_) {
            if (text_[at_] == '"') {
                complain(Rule::wrong_shape, at_, 1, "a quote in the middle of a cell",
                         R"(write the whole cell in quotes and this one twice: "7"" lamp")");
            }
            cell.text += text_[at_++];
        }
    }

    void read_quoted(CsvCell& cell) {
        ++at_;
        for (;;) {
            if (at_ >= text_.size()) {
                complain(Rule::wrong_shape, cell.offset, 1, "this quote is never closed",
                         "write a quote at the end of the cell");
                return;
            }
            const char c = text_[at_++];
            if (c == '"' && at_ < text_.size() && text_[at_] == '"') {
                cell.text += text_[at_++];
            } else if (c == '"') {
                break;
            } else {
                line_ += c == '\n' ? 1 : 0;
                cell.text += c;
            }
        }
        if (!is_at_end_of_row() && text_[at_] != table_.separator) {
            complain(Rule::wrong_shape, at_, 1, "text after the quote that closes a cell",
                     R"(put it into the quotes, or write a quote inside twice: "")");
        }
    }

    FileId file_;
    std::string_view text_;
    Findings& findings_;
    CsvWords words_;
    CsvTable table_;
    std::size_t at_ = 0;
    int line_ = 1;
    bool is_bad_ = false;
};

} // namespace

bool CsvRow::is_blank() const {
    return std::ranges::all_of(cells,
                               [](const CsvCell& cell) { return trimmed(cell.text).empty(); });
}

const CsvCell& cell_at(const CsvRow& row, std::optional<std::size_t> column) {
    static const CsvCell no_cell;
    return column && *column < row.cells.size() ? row.cells[*column] : no_cell;
}

SourceRange place_of(FileId file, std::string_view text, const CsvCell& cell) {
    const TextPlace at = place_at(text, cell.offset);
    const std::string_view shown = text.substr(std::min(cell.offset, text.size()), cell.length);
    const TextPlace end =
        place_at(shown, shown.find('\n') == std::string_view::npos ? shown.size() : 1);
    return {file, at.line, at.column, at.column + end.column - 1};
}

std::string small_letters(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return out;
}

CsvHead csv_head(std::string_view text) {
    text = trimmed(text);
    const std::size_t open = text.find_first_of("([");
    if (open != std::string_view::npos && open > 0 && text.find_first_of(")]") == text.size() - 1) {
        return {small_letters(trimmed(text.substr(0, open))),
                std::string(trimmed(text.substr(open + 1, text.size() - open - 2)))};
    }
    return {small_letters(text), ""};
}

std::string with_decimal_point(std::string_view text) {
    const auto is_digit_at = [text](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
    std::string out(text);
    const std::size_t comma = out.find(',');
    if (comma != std::string::npos && comma > 0 && comma + 1 < out.size() &&
        is_digit_at(comma - 1) && is_digit_at(comma + 1) &&
        out.find(',', comma + 1) == std::string::npos && out.find('.') == std::string::npos) {
        out[comma] = '.';
    }
    return out;
}

std::optional<CsvTable> read_csv(FileId file, std::string_view text, Findings& findings,
                                 const CsvWords& words) {
    if (text.size() > most_list_bytes) {
        findings.add(Rule::bad_file, "", {file},
                     fmt::format("the list is larger than {} MiB", most_list_bytes >> 20U),
                     fmt::format("take out what is not about the {}", words.about));
        return std::nullopt;
    }
    if (const auto bad = find_bad_character(text)) {
        const TextPlace at = place_at(text, bad->offset);
        findings.add(Rule::bad_file, "", {file, at.line, at.column, at.column + 1}, bad->message,
                     bad->remedy);
        return std::nullopt;
    }
    return CsvReader(file, text, findings, words).read();
}

} // namespace loomwright
