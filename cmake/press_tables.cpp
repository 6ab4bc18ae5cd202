// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A program of the build: reads the data files of the tables as a user's file is read and writes
// their cells as a C++ source. A fault in a data file is shown with its place and ends the build.
//   press_tables OUTPUT.cpp FILE.yaml...
#include "tables/data_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>

namespace loomwright {
namespace {

std::string literal(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\' || c == '?') {
            out += '\\';
            out += c;
        } else if (byte < 0x20 || byte >= 0x7F) {
            out += fmt::format("\\{:03o}", byte);
        } else {
            out += c;
        }
    }
    return out + '"';
}

std::string_view provenance_word(Provenance provenance) {
    switch (provenance) {
    case Provenance::read:
        return "Provenance::read";
    case Provenance::memory:
        return "Provenance::memory";
    case Provenance::derived:
        return "Provenance::derived";
    }
    return "Provenance::memory";
}

/// Index of the listed source that a column's origin is; -1 for none. An origin written out in full
/// at its column joins the list.
int source_index(DataTable& table, const std::optional<Origin>& origin) {
    if (!origin) {
        return -1;
    }
    const auto same = [&](const std::pair<std::string, Origin>& row) {
        return row.second.provenance == origin->provenance && row.second.source == origin->source;
    };
    auto found = std::ranges::find_if(table.sources, same);
    if (found == table.sources.end()) {
        table.sources.emplace_back("", *origin);
        found = std::prev(table.sources.end());
    }
    return static_cast<int>(found - table.sources.begin());
}

std::string arrays_of(std::size_t index, DataTable& table) {
    std::string columns;
    for (const DataColumn& column : table.columns) {
        columns +=
            fmt::format("    {{{}, {}, {:a}, {}, {}, {}}},\n", literal(column.name),
                        literal(column.unit), column.to_si, source_index(table, column.origin),
                        column.origin_column, column.names_sources);
    }
    std::string out = fmt::format("constexpr PressedSource sources_{}[] = {{\n", index);
    for (const auto& [key, origin] : table.sources) {
        out += fmt::format("    {{{}, {}, {}}},\n", literal(key),
                           provenance_word(origin.provenance), literal(origin.source));
    }
    out += fmt::format("}};\nconstexpr PressedColumn columns_{}[] = {{\n{}}};\n", index, columns);
    out += fmt::format("constexpr PressedCell cells_{}[] = {{\n", index);
    for (const DataCell& cell : table.cells) {
        out += fmt::format("    {{{}, {}, {}, {}}},\n", literal(cell.text), cell.where.line,
                           cell.where.column, cell.where.end_column);
    }
    return out + "};\n";
}

std::optional<std::string> text_of(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        return std::nullopt;
    }
    return std::string(std::istreambuf_iterator<char>(in), {});
}

int press(const std::filesystem::path& output, std::vector<std::filesystem::path> inputs) {
    std::ranges::sort(inputs);
    SourceFiles files;
    Findings findings;
    std::string arrays;
    std::string rows;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        const auto text = text_of(inputs[i]);
        if (!text) {
            std::cerr << inputs[i].string() << ": cannot be read\n";
            return 1;
        }
        auto table = read_data_text(inputs[i].string(), *text, files, findings);
        if (!table) {
            continue;
        }
        arrays += arrays_of(i, *table);
        rows += fmt::format("    {{{}, {}, {},\n     {}, {},\n     {}, {},\n     sources_{}, "
                            "columns_{}, cells_{}}},\n",
                            literal(inputs[i].stem().string()), literal(table->name),
                            literal(table->description), literal(table->edition),
                            literal(table->licence), literal(table->validity), literal(table->rule),
                            i, i, i);
    }
    for (const Finding& finding : findings.all()) {
        std::cerr << describe(finding, files);
    }
    if (!findings.empty()) {
        return 1;
    }
    std::ofstream out(output, std::ios::binary);
    out << "#include \"tables/pressed_table.hpp\"\n\nnamespace loomwright {\nnamespace {\n"
        << arrays << "constexpr PressedTable tables[] = {\n"
        << rows << "};\n} // namespace\n\n"
        << "std::span<const PressedTable> pressed_tables() { return tables; }\n"
        << "} // namespace loomwright\n";
    return out.flush() ? 0 : 1;
}

} // namespace
} // namespace loomwright

int main(int count, char** words) {
    if (count < 3) {
        std::cerr << "usage: press_tables OUTPUT.cpp FILE.yaml...\n";
        return 2;
    }
    return loomwright::press(words[1], {words + 2, words + count});
}
