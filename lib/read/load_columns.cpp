// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The head line of a list of loads: what each column is about, and in which unit.
#include "read/load_columns.hpp"

#include "base/spelling.hpp"
#include "yaml/quantity_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright {
namespace {

using LoadColumnName = CsvColumn<LoadColumn>;
constexpr std::array load_column_names{LoadColumnName{"device", LoadColumn::device, true},
                                       LoadColumnName{"name", LoadColumn::device},
                                       LoadColumnName{"item", LoadColumn::device},
                                       LoadColumnName{"load", LoadColumn::device},
                                       LoadColumnName{"consumer", LoadColumn::device},
                                       LoadColumnName{"place", LoadColumn::place, true},
                                       LoadColumnName{"location", LoadColumn::place},
                                       LoadColumnName{"position", LoadColumn::place},
                                       LoadColumnName{"where", LoadColumn::place},
                                       LoadColumnName{"watts", LoadColumn::watts, true},
                                       LoadColumnName{"watt", LoadColumn::watts},
                                       LoadColumnName{"power", LoadColumn::watts},
                                       LoadColumnName{"w", LoadColumn::watts},
                                       LoadColumnName{"amps", LoadColumn::amps, true},
                                       LoadColumnName{"amp", LoadColumn::amps},
                                       LoadColumnName{"amperes", LoadColumn::amps},
                                       LoadColumnName{"current", LoadColumn::amps},
                                       LoadColumnName{"a", LoadColumn::amps},
                                       LoadColumnName{"draws", LoadColumn::draws},
                                       LoadColumnName{"draw", LoadColumn::draws},
                                       LoadColumnName{"demand", LoadColumn::draws},
                                       LoadColumnName{"consumption", LoadColumn::draws},
                                       LoadColumnName{"watts or amps", LoadColumn::draws},
                                       LoadColumnName{"watts/amps", LoadColumn::draws},
                                       LoadColumnName{"watts|amps", LoadColumn::draws},
                                       LoadColumnName{"volts", LoadColumn::volts, true},
                                       LoadColumnName{"volt", LoadColumn::volts},
                                       LoadColumnName{"voltage", LoadColumn::volts},
                                       LoadColumnName{"v", LoadColumn::volts},
                                       LoadColumnName{"fuse", LoadColumn::fuse, true},
                                       LoadColumnName{"fuse rating", LoadColumn::fuse},
                                       LoadColumnName{"length", LoadColumn::length, true},
                                       LoadColumnName{"wire length", LoadColumn::length},
                                       LoadColumnName{"distance", LoadColumn::length},
                                       LoadColumnName{"note", LoadColumn::note, true},
                                       LoadColumnName{"notes", LoadColumn::note},
                                       LoadColumnName{"comment", LoadColumn::note},
                                       LoadColumnName{"remark", LoadColumn::note},
                                       LoadColumnName{"kind", LoadColumn::kind, true},
                                       LoadColumnName{"type", LoadColumn::kind}};

const LoadColumnName* find_column(std::string_view name) {
    const auto* const found = std::ranges::find(load_column_names, name, &LoadColumnName::name);
    return found == load_column_names.end() ? nullptr : found;
}

/// A head in its parts, with units in words too: "power in W" is "power" in W.
CsvHead load_head(std::string_view text) {
    text = trimmed(text);
    CsvHead head = csv_head(text);
    if (!head.unit.empty()) {
        return head;
    }
    const std::size_t last = text.find_last_of(" /");
    if (last != std::string_view::npos && find_column(head.name) == nullptr) {
        const std::string_view unit = text.substr(last + 1);
        std::string name = small_letters(trimmed(text.substr(0, last)));
        if (name.ends_with(" in")) {
            name = std::string(trimmed(std::string_view(name).substr(0, name.size() - 3)));
        }
        if (find_unit(unit) != nullptr && find_column(name) != nullptr) {
            return {std::move(name), std::string(unit)};
        }
    }
    return head;
}

bool fits(const UnitSpelling& unit, LoadColumn column) {
    switch (column) {
    case LoadColumn::watts:
    case LoadColumn::amps:
    case LoadColumn::draws:
        return unit.dimension == Dimension::power || unit.dimension == Dimension::current;
    case LoadColumn::volts:
        return unit.dimension == Dimension::voltage;
    case LoadColumn::fuse:
        return unit.dimension == Dimension::current;
    case LoadColumn::length:
        return unit.dimension == Dimension::length;
    default:
        return false;
    }
}

class HeadReader {
public:
    HeadReader(FileId file, std::string_view text, const CsvRow& row, Findings& findings)
        : file_(file), text_(text), row_(row), findings_(findings) {}

    std::optional<LoadHead> read() {
        for (std::size_t i = 0; i < row_.cells.size(); ++i) {
            read_cell(i);
        }
        const bool has_demand = head_.find(LoadColumn::watts) || head_.find(LoadColumn::amps) ||
                                head_.find(LoadColumn::draws);
        if (!head_.find(LoadColumn::device) && !is_meant("device")) {
            complain_of_missing("`device`");
        }
        if (!has_demand && !is_meant("watts") && !is_meant("amps")) {
            complain_of_missing("`watts` or `amps`");
        }
        return is_bad_ ? std::nullopt : std::optional(std::move(head_));
    }

private:
    void complain(Rule rule, const CsvCell& cell, std::string message, std::string remedy) {
        is_bad_ = true;
        findings_.add(rule, "", place_of(file_, text_, cell), std::move(message),
                      std::move(remedy));
    }

    /// A column that is near to this name was asked about already.
    [[nodiscard]] bool is_meant(std::string_view name) const {
        return std::ranges::find(meant_, name) != meant_.end();
    }

    void complain_of_missing(std::string_view what) {
        complain(Rule::missing_key, row_.cells.front(),
                 fmt::format("the head line names no column {}", what),
                 fmt::format("name the columns in the first line: {}",
                             fmt::join(leading_names(load_column_names), ", ")));
    }

    void read_cell(std::size_t index) {
        const CsvCell& cell = row_.cells[index];
        const CsvHead head = load_head(cell.text);
        const LoadColumnName* known = find_column(head.name);
        if (known == nullptr) {
            read_other(index, head);
            return;
        }
        const auto place = static_cast<std::size_t>(known->column);
        if (head_.columns.at(place)) {
            complain(Rule::duplicate_key, cell,
                     fmt::format("there are two columns of `{}`", known->name),
                     "give one of them a name of its own, and it is kept as a note");
            return;
        }
        head_.columns.at(place) = index;
        if (head.unit.empty()) {
            return;
        }
        const UnitSpelling* unit = find_unit(head.unit);
        if (unit == nullptr || !fits(*unit, known->column)) {
            complain(Rule::unknown_word, cell,
                     fmt::format("`{}` is not a unit of `{}`", head.unit, known->name),
                     "write the unit in the head, as in `length (mm)`, or in the cells");
            return;
        }
        head_.units.at(place) = unit;
    }

    /// A column of another kind is kept; one that looks like a slip of the pen is asked about.
    void read_other(std::size_t index, const CsvHead& head) {
        const auto near = nearest_word(head.name, leading_names(load_column_names));
        if (near && !head.name.empty()) {
            complain(Rule::unknown_key, row_.cells[index],
                     fmt::format("the column `{}` is not known", head.name),
                     fmt::format("did you mean `{}`?", *near));
            meant_.push_back(*near);
            return;
        }
        head_.others.emplace_back(index, trimmed(row_.cells[index].text));
    }

    FileId file_;
    std::string_view text_;
    const CsvRow& row_;
    Findings& findings_;
    LoadHead head_;
    std::vector<std::string> meant_;
    bool is_bad_ = false;
};

} // namespace

std::optional<LoadHead> read_load_head(FileId file, std::string_view text, const CsvRow& row,
                                       Findings& findings) {
    return HeadReader(file, text, row, findings).read();
}

} // namespace loomwright
