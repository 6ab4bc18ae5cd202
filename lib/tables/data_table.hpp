// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loomwright {

// A data file (lib/tables/data/*.yaml) is a head, a list of sources, columns and rows:
//   sources: {name: "read: text", ...}
//   columns: [name, unit, source]     source: a name of the list, or "@column": each row names its
//   own rows:    one cell for each column, ~ where there is none
// A source is marked read, memory or derived by its first word.

/// A column of a data file.
struct DataColumn {
    std::string name;
    std::string unit;
    double to_si = 1.0;           ///< factor from `unit` to the stored unit
    std::optional<Origin> origin; ///< of every cell, where the column names one source
    int origin_column = -1;       ///< the column of the row's own source
    bool names_sources = false;   ///< its cells are sources of other columns
};

/// A cell of a data file; without text where the file has none.
struct DataCell {
    std::string text;
    SourceRange where;
    [[nodiscard]] bool is_given() const { return !text.empty(); }
};

/// A data file as it stands, with the place of every cell.
struct DataTable {
    std::string name;
    std::string description;
    std::string edition;
    std::string licence;
    std::string validity;
    std::string rule; ///< how the figures that are used come from those that are listed
    std::vector<std::pair<std::string, Origin>> sources;
    std::vector<DataColumn> columns;
    std::vector<DataCell> cells; ///< row by row

    [[nodiscard]] std::size_t row_count() const {
        return columns.empty() ? 0 : cells.size() / columns.size();
    }
    [[nodiscard]] const DataCell& cell(std::size_t row, std::size_t column) const {
        return cells[row * columns.size() + column];
    }
    /// Where a cell's figure comes from: its column's source or its row's own.
    [[nodiscard]] Origin origin(std::size_t row, std::size_t column) const;
    /// "read: text" or the name of a listed source.
    [[nodiscard]] std::optional<Origin> find_origin(std::string_view text) const;
};

/// Reads one row after another of a data file, in the units of the catalogue; what is wrong becomes
/// a finding with its place.
class RowReader {
public:
    RowReader(const DataTable& table, Findings& findings) : table_(table), findings_(findings) {}

    void go_to(std::size_t row) { row_ = row; }
    [[nodiscard]] std::string text(std::string_view column) const;
    /// The number in SI; nothing for an empty cell.
    [[nodiscard]] std::optional<double> number(std::string_view column) const;
    /// The numbers of a cell that holds several, parted by blanks.
    [[nodiscard]] std::vector<double> numbers(std::string_view column) const;
    /// The number, which must be there.
    [[nodiscard]] double needed(std::string_view column) const;
    [[nodiscard]] bool yes(std::string_view column) const { return text(column) == "yes"; }
    [[nodiscard]] Origin origin(std::string_view column) const;
    [[nodiscard]] SourceRange where(std::string_view column) const;
    void complain(std::string_view column, std::string message) const;

private:
    [[nodiscard]] std::optional<std::size_t> find(std::string_view column) const;
    [[nodiscard]] std::optional<double> read_number(std::size_t column,
                                                    std::string_view text) const;
    const DataTable& table_;
    Findings& findings_;
    std::size_t row_ = 0;
};

/// Names of the data files carried in the program, without ".yaml".
[[nodiscard]] std::vector<std::string> data_table_names();
/// Reads the carried data file of this name; nothing, with findings, when it cannot be read.
[[nodiscard]] std::optional<DataTable> read_data_table(std::string_view name, SourceFiles& files,
                                                       Findings& findings);
/// Reads a data file's text.
[[nodiscard]] std::optional<DataTable> read_data_text(std::string file_name, std::string text,
                                                      SourceFiles& files, Findings& findings);

} // namespace loomwright
