// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/data_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

namespace loomwright {

std::string_view provenance_name(Provenance provenance) {
    switch (provenance) {
    case Provenance::read:
        return "read";
    case Provenance::memory:
        return "memory";
    case Provenance::derived:
        return "derived";
    }
    return "memory";
}

std::optional<Origin> DataTable::find_origin(std::string_view text) const {
    for (const auto& [key, origin] : sources) {
        if (key == text) {
            return origin;
        }
    }
    for (const Provenance provenance :
         {Provenance::read, Provenance::memory, Provenance::derived}) {
        const std::string mark = fmt::format("{}: ", provenance_name(provenance));
        if (text.starts_with(mark)) {
            return Origin{provenance, std::string(text.substr(mark.size()))};
        }
    }
    return std::nullopt;
}

Origin DataTable::origin(std::size_t row, std::size_t column) const {
    const DataColumn& head = columns[column];
    if (head.origin) {
        return *head.origin;
    }
    if (head.origin_column < 0) {
        return {};
    }
    const DataCell& named = cell(row, static_cast<std::size_t>(head.origin_column));
    return find_origin(named.text).value_or(Origin{});
}

std::optional<std::size_t> RowReader::find(std::string_view column) const {
    const auto found = std::ranges::find(table_.columns, column, &DataColumn::name);
    if (found == table_.columns.end()) {
        findings_.add(Rule::missing_key, table_.name, {},
                      fmt::format("table {} has no column {}", table_.name, column));
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - table_.columns.begin());
}

std::string RowReader::text(std::string_view column) const {
    const auto index = find(column);
    return index ? table_.cell(row_, *index).text : "";
}

SourceRange RowReader::where(std::string_view column) const {
    const auto index = find(column);
    return index ? table_.cell(row_, *index).where : SourceRange{};
}

Origin RowReader::origin(std::string_view column) const {
    const auto index = find(column);
    return index ? table_.origin(row_, *index) : Origin{};
}

void RowReader::complain(std::string_view column, std::string message) const {
    findings_.add(Rule::bad_number, table_.name, where(column), std::move(message),
                  fmt::format("Correct the data file of the table {}.", table_.name));
}

std::optional<double> RowReader::read_number(std::size_t column, std::string_view text) const {
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value)) {
        complain(table_.columns[column].name, fmt::format("\"{}\" is not a number", text));
        return std::nullopt;
    }
    return value * table_.columns[column].to_si;
}

std::optional<double> RowReader::number(std::string_view column) const {
    const auto index = find(column);
    if (!index || !table_.cell(row_, *index).is_given()) {
        return std::nullopt;
    }
    return read_number(*index, table_.cell(row_, *index).text);
}

std::vector<double> RowReader::numbers(std::string_view column) const {
    std::vector<double> out;
    const auto index = find(column);
    std::string_view rest = index ? table_.cell(row_, *index).text : std::string_view{};
    while (!rest.empty()) {
        const std::size_t blank = std::min(rest.find(' '), rest.size());
        if (const auto value = read_number(*index, rest.substr(0, blank))) {
            out.push_back(*value);
        }
        rest.remove_prefix(std::min(blank + 1, rest.size()));
    }
    return out;
}

double RowReader::needed(std::string_view column) const {
    const auto value = number(column);
    const auto index = find(column);
    if (!value && index && !table_.cell(row_, *index).is_given()) {
        complain(column, fmt::format("the column {} needs a number", column));
    }
    return value.value_or(0.0);
}

} // namespace loomwright
