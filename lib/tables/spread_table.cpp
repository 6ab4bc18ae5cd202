// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/spread_table.hpp"

#include "tables/data_table.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <utility>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 3> spread_kind_names{"normal", "uniform", "log-normal"};
constexpr std::string_view factor = "times";

std::optional<SpreadKind> spread_kind_of(std::string_view word) {
    const auto* const found = std::ranges::find(spread_kind_names, word);
    if (found == spread_kind_names.end()) {
        return std::nullopt;
    }
    return static_cast<SpreadKind>(found - spread_kind_names.begin());
}

/// A factor must stay above zero, and a geometric deviation is 1 or more.
bool is_possible(const Spread& spread) {
    if (spread.kind == SpreadKind::log_normal) {
        return spread.is_factor && spread.middle > 0.0 && spread.width >= 1.0;
    }
    return spread.width >= 0.0 && (!spread.is_factor || spread.middle > spread.width);
}

} // namespace

std::string_view spread_kind_name(SpreadKind kind) {
    return spread_kind_names.at(static_cast<std::size_t>(kind));
}

SpreadTable::SpreadTable(std::vector<Spread> rows) : rows_(std::move(rows)) {}

const Spread& SpreadTable::row(std::string_view name) const {
    const auto found = std::ranges::find(rows_, name, &Spread::name);
    if (found == rows_.end()) {
        throw std::logic_error("no spread is called " + std::string(name));
    }
    return *found;
}

SpreadTable SpreadTable::without_spread() const {
    SpreadTable out = *this;
    for (Spread& spread : out.rows_) {
        spread.middle = spread.is_factor ? 1.0 : 0.0;
        spread.width = spread.kind == SpreadKind::log_normal ? 1.0 : 0.0;
    }
    return out;
}

SpreadTable load_spreads(SourceFiles& files, Findings& findings) {
    const auto table = read_data_table("spreads", files, findings);
    std::vector<Spread> rows;
    if (!table) {
        return SpreadTable(std::move(rows));
    }
    RowReader row(*table, findings);
    for (std::size_t i = 0; i < table->row_count(); ++i) {
        row.go_to(i);
        Spread made;
        made.name = row.text("name");
        if (const auto kind = spread_kind_of(row.text("kind"))) {
            made.kind = *kind;
        } else {
            row.complain("kind", "no such kind of distribution");
        }
        made.middle = row.needed("middle");
        made.width = row.needed("width");
        made.unit = row.text("unit");
        made.is_factor = made.unit == factor;
        made.drawn = row.text("drawn");
        made.what = row.text("what");
        made.origin = row.origin("width");
        if (!is_possible(made)) {
            row.complain("width", "so wide that a factor could fall to nothing");
        }
        rows.push_back(std::move(made));
    }
    return SpreadTable(std::move(rows));
}

} // namespace loomwright
