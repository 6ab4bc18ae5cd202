// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/sheet.hpp"

#include "base/display.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace loomwright {
namespace {

/// Spreadsheets run a text that begins like this as a formula; an apostrophe makes them show it.
bool looks_like_formula(std::string_view text) {
    if (text.empty()) {
        return false;
    }
    if (text.front() == '\t' || text.front() == '\r' || text.front() == '\n') {
        return true;
    }
    const std::size_t first = text.find_first_not_of(' ');
    return first != std::string_view::npos &&
           std::string_view("=+-@\t\r").find(text[first]) != std::string_view::npos;
}

std::string csv_text(std::string_view text) {
    std::string safe = plain_lines(text);
    if (looks_like_formula(safe)) {
        safe.insert(0, 1, '\'');
    }
    if (safe.find_first_of("\",;\t\r\n") == std::string::npos) {
        return safe;
    }
    std::string out = "\"";
    for (const char c : safe) {
        out += c == '"' ? "\"\"" : std::string(1, c);
    }
    return out + "\"";
}

/// A number too small for its column shows as 0, never as -0.
std::string fixed_text(double number, int decimals) {
    const std::string text = fmt::format("{:.{}f}", number, decimals);
    return text.find_first_not_of("-0.") == std::string::npos && text.front() == '-'
               ? text.substr(1)
               : text;
}

std::string csv_number(const Column& column, double number) {
    if (!std::isfinite(number)) {
        return {};
    }
    const double shown = number * column.per_si;
    if (column.decimals >= 0) {
        return fixed_text(shown, column.decimals);
    }
    // A number in SI is written whole. Of one in another unit fifteen digits hold all that anybody
    // wrote; after them stands what the change adds (25 mm2 would be 24.999999999999996).
    return column.per_si == 1.0 ? fmt::format("{}", shown) : fmt::format("{:.15g}", shown);
}

} // namespace

Column text_column(std::string key, std::string title, bool may_wrap) {
    return {std::move(key), std::move(title), "", Alignment::left, 1.0, -1, may_wrap};
}

Column number_column(std::string key, std::string title, std::string unit, int decimals,
                     double per_si) {
    return {std::move(key), std::move(title), std::move(unit), Alignment::right, per_si, decimals};
}

std::string column_heading(const Column& column) {
    return column.unit.empty() ? column.title : fmt::format("{} ({})", column.title, column.unit);
}

Cell length_cell(const std::optional<Metres>& length) {
    return length ? Cell(length->value()) : Cell();
}

std::string cell_text(const Column& column, const Cell& cell) {
    if (const auto* text = std::get_if<std::string>(&cell)) {
        return plain_text(*text);
    }
    const auto* number = std::get_if<double>(&cell);
    if (number == nullptr || !std::isfinite(*number)) {
        return "-";
    }
    const double shown = *number * column.per_si;
    if (column.decimals < 0) {
        return show_number(shown);
    }
    return fixed_text(shown, column.decimals);
}

std::string sheet_csv(const Sheet& sheet) {
    std::string out;
    for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
        out += (c > 0 ? "," : "") + csv_text(column_heading(sheet.columns[c]));
    }
    out += "\r\n";
    for (const auto& row : sheet.rows) {
        for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
            out += c > 0 ? "," : "";
            if (const auto* text = std::get_if<std::string>(&row[c])) {
                out += csv_text(*text);
            } else if (const auto* number = std::get_if<double>(&row[c])) {
                out += csv_number(sheet.columns[c], *number);
            }
        }
        out += "\r\n";
    }
    return out;
}

std::string sheet_json(const Sheet& sheet) {
    using Json = nlohmann::ordered_json;
    Json rows = Json::array();
    for (const auto& row : sheet.rows) {
        Json object = Json::object();
        for (std::size_t c = 0; c < sheet.columns.size(); ++c) {
            Json& value = object[sheet.columns[c].key];
            if (const auto* text = std::get_if<std::string>(&row[c])) {
                value = *text;
            } else if (const auto* number = std::get_if<double>(&row[c]);
                       number != nullptr && std::isfinite(*number)) {
                value = *number;
            }
        }
        rows.push_back(std::move(object));
    }
    Json out = {{"name", sheet.name}, {"title", sheet.title}, {"rows", std::move(rows)}};
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
