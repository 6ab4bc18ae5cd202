// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "read/csv.hpp"
#include "yaml/units.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// What a column of a list of loads is about.
enum class LoadColumn : std::uint8_t {
    device,
    place,
    watts,
    amps,
    draws, ///< either, with its unit
    volts,
    fuse,
    length,
    note,
    kind,
};
constexpr std::size_t load_columns = 10;

/// Where each column of a list stands.
struct LoadHead {
    /// By LoadColumn: index into the cells of a row; nothing when there is no such column.
    std::array<std::optional<std::size_t>, load_columns> columns;
    /// By LoadColumn: unit of its head, for cells without one; nullptr: none named.
    std::array<const UnitSpelling*, load_columns> units{};
    /// Columns that mean nothing here, kept as notes: their index and what they are called.
    std::vector<std::pair<std::size_t, std::string>> others;

    [[nodiscard]] std::optional<std::size_t> find(LoadColumn column) const {
        return columns.at(static_cast<std::size_t>(column));
    }
    [[nodiscard]] const UnitSpelling* unit(LoadColumn column) const {
        return units.at(static_cast<std::size_t>(column));
    }
};

/// Reads the head line; complains of a column named twice, of a slip of the pen, and of those that
/// must be there. Nothing when it complained.
[[nodiscard]] std::optional<LoadHead> read_load_head(FileId file, std::string_view text,
                                                     const CsvRow& row, Findings& findings);

} // namespace loomwright
