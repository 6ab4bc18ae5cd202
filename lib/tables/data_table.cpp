// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The data files are read when the program is built (cmake/press_tables.cpp) and carried as cells,
// each with its place in the file: no start of the program reads YAML for them again.
#include "tables/data_table.hpp"

#include "tables/pressed_table.hpp"

#include <fmt/format.h>

namespace loomwright {
namespace {

DataTable unpress(const PressedTable& pressed, FileId file) {
    DataTable table;
    table.name = pressed.name;
    table.description = pressed.description;
    table.edition = pressed.edition;
    table.licence = pressed.licence;
    table.validity = pressed.validity;
    table.rule = pressed.rule;
    table.sources.reserve(pressed.sources.size());
    for (const PressedSource& source : pressed.sources) {
        table.sources.emplace_back(source.key, Origin{source.provenance, std::string(source.text)});
    }
    table.columns.reserve(pressed.columns.size());
    for (const PressedColumn& column : pressed.columns) {
        DataColumn made;
        made.name = column.name;
        made.unit = column.unit;
        made.to_si = column.to_si;
        if (column.source >= 0) {
            made.origin = table.sources[static_cast<std::size_t>(column.source)].second;
        }
        made.origin_column = column.origin_column;
        made.names_sources = column.names_sources;
        table.columns.push_back(std::move(made));
    }
    table.cells.reserve(pressed.cells.size());
    for (const PressedCell& cell : pressed.cells) {
        table.cells.push_back(
            {std::string(cell.text), {file, cell.line, cell.column, cell.end_column}});
    }
    return table;
}

} // namespace

std::vector<std::string> data_table_names() {
    std::vector<std::string> out;
    for (const PressedTable& table : pressed_tables()) {
        out.emplace_back(table.file);
    }
    return out;
}

std::optional<DataTable> read_data_table(std::string_view name, SourceFiles& files,
                                         Findings& findings) {
    for (const PressedTable& table : pressed_tables()) {
        if (table.file == name) {
            return unpress(table, files.add(fmt::format("tables/{}.yaml", name), ""));
        }
    }
    findings.add(Rule::bad_file, std::string(name), {},
                 fmt::format("no data file is called {}.yaml", name));
    return std::nullopt;
}

} // namespace loomwright
