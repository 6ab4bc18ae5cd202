// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/data_table.hpp"

#include "yaml/tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

/// Units of the data files and what one of them is in the stored unit. The temperature stays in C;
/// what has no factor of its own (sizes, "per 12 V") is a name beside a number.
struct UnitFactor {
    std::string_view unit;
    double to_si;
};
constexpr double metres_per_inch = 0.0254;
constexpr double metres_per_kft = 304.8;
constexpr double square_metres_per_cmil = 5.067075e-10; // pi/4 (0.001 in)^2
constexpr std::array<UnitFactor, 20> units{{{"", 1.0},
                                            {"mm2", 1e-6},
                                            {"cmil", square_metres_per_cmil},
                                            {"mm", 1e-3},
                                            {"in", metres_per_inch},
                                            {"m", 1.0},
                                            {"mohm/m", 1e-3},
                                            {"ohm/kft", 1.0 / metres_per_kft},
                                            {"ohm", 1.0},
                                            {"mohm", 1e-3},
                                            {"V", 1.0},
                                            {"A", 1.0},
                                            {"s", 1.0},
                                            {"C", 1.0},
                                            {"1/K", 1.0},
                                            {"%", 1e-2},
                                            {"W/(m K)", 1.0},
                                            {"K m/W", 1.0},
                                            {"kg/m3", 1.0},
                                            {"AWG", 1.0}}};

/// Builds a table from a tree, noting what is wrong.
class TableBuilder {
public:
    TableBuilder(DataTable& table, Findings& findings) : table_(table), findings_(findings) {}

    void read(const Node& root) {
        read_head(root);
        read_sources(root.find("sources"));
        read_columns(root.find("columns"));
        read_rows(root.find("rows"));
        check_sources_of_rows();
    }

private:
    void complain(Rule rule, SourceRange where, std::string message) {
        findings_.add(rule, table_.name, where, std::move(message),
                      "Correct the data file of the table.");
    }

    std::string needed_text(const Node& root, std::string_view key) {
        const Node node = root.find(key);
        if (!node.is_valid() || !node.is_scalar() || node.text().empty()) {
            complain(Rule::missing_key, root.where(), fmt::format("the table needs {}", key));
            return {};
        }
        return std::string(node.text());
    }

    void read_head(const Node& root) {
        table_.name = needed_text(root, "table");
        table_.description = needed_text(root, "description");
        table_.edition = needed_text(root, "edition");
        table_.licence = needed_text(root, "licence");
        table_.validity = needed_text(root, "validity");
        const Node rule = root.find("rule");
        table_.rule = rule.is_valid() ? std::string(rule.text()) : "";
    }

    void read_sources(const Node& sources) {
        if (!sources.is_valid() || !sources.is_map() || sources.size() == 0) {
            complain(Rule::missing_key, sources.is_valid() ? sources.where() : SourceRange{},
                     "the table needs sources");
            return;
        }
        for (const Entry entry : sources.entries()) {
            const auto origin = table_.find_origin(entry.value.text());
            if (!origin) {
                complain(Rule::unknown_word, entry.value.where(),
                         fmt::format("the source {} must begin with read, memory or derived",
                                     entry.key.text()));
                continue;
            }
            table_.sources.emplace_back(entry.key.text(), *origin);
        }
    }

    void read_columns(const Node& columns) {
        std::vector<std::pair<std::string, SourceRange>> from;
        for (const Node column : columns.is_valid() ? columns.items() : Items{}) {
            std::vector<Node> parts;
            for (const Node part : column.items()) {
                parts.push_back(part);
            }
            if (parts.size() < 2 || parts.size() > 3) {
                complain(Rule::wrong_shape, column.where(),
                         "a column is [name, unit] or [name, unit, source]");
                continue;
            }
            DataColumn made;
            made.name = parts[0].text();
            made.unit = parts[1].text();
            const auto* unit = std::ranges::find(units, parts[1].text(), &UnitFactor::unit);
            if (unit == units.end() && made.unit != "SAE") {
                complain(Rule::unknown_word, parts[1].where(),
                         fmt::format("the unit {} is not known here", made.unit));
            }
            made.to_si = unit == units.end() ? 1.0 : unit->to_si;
            from.emplace_back(parts.size() == 3 ? parts[2].text() : "", parts.back().where());
            table_.columns.push_back(std::move(made));
        }
        if (table_.columns.empty()) {
            complain(Rule::missing_key, {}, "the table needs columns");
        }
        for (std::size_t i = 0; i < from.size(); ++i) {
            join_source(table_.columns[i], from[i].first, from[i].second);
        }
    }

    void join_source(DataColumn& column, const std::string& from, SourceRange where) {
        if (from.empty()) {
            return;
        }
        if (from.front() != '@') {
            column.origin = table_.find_origin(from);
            if (!column.origin) {
                complain(Rule::unknown_reference, where,
                         fmt::format("no source is called {}", from));
            }
            return;
        }
        const auto named = std::ranges::find(table_.columns, from.substr(1), &DataColumn::name);
        if (named == table_.columns.end()) {
            complain(Rule::unknown_reference, where,
                     fmt::format("no column of sources is called {}", from.substr(1)));
            return;
        }
        named->names_sources = true;
        column.origin_column = static_cast<int>(named - table_.columns.begin());
    }

    void read_rows(const Node& rows) {
        if (!rows.is_valid() || !rows.is_list() || rows.size() == 0) {
            complain(Rule::missing_key, rows.is_valid() ? rows.where() : SourceRange{},
                     "the table needs rows");
            return;
        }
        const std::size_t width = table_.columns.size();
        table_.cells.reserve(rows.size() * width);
        for (const Node row : rows.items()) {
            if (row.size() > width || row.size() == 0) {
                complain(
                    Rule::wrong_shape, row.where(),
                    fmt::format("a row of {} cells where there are {} columns", row.size(), width));
                continue;
            }
            for (const Node cell : row.items()) {
                table_.cells.push_back(
                    {cell.is_scalar() ? std::string(cell.text()) : "", cell.where()});
            }
            for (std::size_t i = row.size(); i < width; ++i) {
                table_.cells.push_back({"", row.where()});
            }
        }
    }

    void check_sources_of_rows() {
        for (std::size_t row = 0; row < table_.row_count(); ++row) {
            for (std::size_t column = 0; column < table_.columns.size(); ++column) {
                const int from = table_.columns[column].origin_column;
                if (from < 0 || !table_.cell(row, column).is_given()) {
                    continue;
                }
                const DataCell& named = table_.cell(row, static_cast<std::size_t>(from));
                if (!named.is_given()) {
                    complain(Rule::missing_key, named.where,
                             fmt::format("a figure of {} without a source",
                                         table_.columns[column].name));
                } else if (!table_.find_origin(named.text)) {
                    complain(Rule::unknown_reference, named.where,
                             fmt::format("no source is called {}", named.text));
                }
            }
        }
    }

    DataTable& table_;
    Findings& findings_;
};

} // namespace

std::optional<DataTable> read_data_text(std::string file_name, std::string text, SourceFiles& files,
                                        Findings& findings) {
    const FileId file = files.add(std::move(file_name), std::move(text));
    const auto tree = read_tree(file, files.file(file).text, findings);
    if (!tree) {
        return std::nullopt;
    }
    DataTable table;
    TableBuilder(table, findings).read(tree->root());
    return table.columns.empty() ? std::nullopt : std::optional<DataTable>(std::move(table));
}

} // namespace loomwright
