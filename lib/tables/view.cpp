// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/data_table.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::array<std::string_view, 21> listed_tables{
    "conductors-iso", "conductors-sae", "conductors-awg",  "insulation",   "fuses",
    "fuse-ratings",   "fuse-gates",     "relays",          "drop-limits",  "defaults",
    "bundle-factors", "covers",         "cover-sizes",     "fittings",     "strip-lengths",
    "colours",        "terminals",      "ampacity-33-cfr", "ampacity-vde", "ampacity-faa",
    "spreads"};

constexpr std::array<Provenance, 3> every_provenance{Provenance::read, Provenance::memory,
                                                     Provenance::derived};

/// A cell of the grid that has a figure: which column, and where it comes from.
struct Marked {
    std::string column;
    Origin origin;
};

std::string heading(const DataColumn& column) {
    std::string inside = column.unit;
    if (column.origin) {
        inside += inside.empty() ? "" : ", ";
        inside += provenance_name(column.origin->provenance);
    }
    return inside.empty() ? column.name : fmt::format("{} ({})", column.name, inside);
}

std::string marked_origin(const Origin& origin) {
    return fmt::format("{}: {}", provenance_name(origin.provenance), origin.source);
}

/// "memory" where all figures of the row are, else "read: r20-class-5; memory: r20-bare, strand".
std::string provenance_text(const std::vector<Marked>& marked) {
    std::vector<std::string> parts;
    std::string_view only;
    for (const Provenance provenance : every_provenance) {
        std::string columns;
        for (const Marked& one : marked) {
            if (one.origin.provenance == provenance) {
                columns.append(columns.empty() ? "" : ", ").append(one.column);
            }
        }
        if (!columns.empty()) {
            only = provenance_name(provenance);
            parts.push_back(fmt::format("{}: {}", only, columns));
        }
    }
    return parts.size() == 1 ? std::string(only) : fmt::format("{}", fmt::join(parts, "; "));
}

std::string source_text(const std::vector<Marked>& marked) {
    std::vector<std::string> sources;
    for (const Marked& one : marked) {
        if (std::ranges::find(sources, one.origin.source) == sources.end()) {
            sources.push_back(one.origin.source);
        }
    }
    return fmt::format("{}", fmt::join(sources, "; "));
}

/// A column that is computed: what the program uses of what the file lists.
struct UsedColumn {
    std::string heading;
    std::string name;
};

/// A cell of a computed column.
struct UsedCell {
    std::string text;
    Origin origin;
};

std::optional<SizeStandard> standard_of(std::string_view table) {
    if (table == "conductors-iso") {
        return SizeStandard::iso;
    }
    if (table == "conductors-sae") {
        return SizeStandard::sae;
    }
    if (table == "conductors-awg") {
        return SizeStandard::awg;
    }
    return std::nullopt;
}

std::vector<UsedColumn> used_columns(std::string_view table) {
    if (standard_of(table)) {
        std::vector<UsedColumn> out{{"used: area (mm2)", "area used"},
                                    {"used: copper (mm2)", "copper used"},
                                    {"used: r20 (mohm/m)", "r20 used"},
                                    {"used: strand (mm)", "strand used"}};
        for (std::size_t k = 0; k < wall_kind_count; ++k) {
            const auto wall = wall_kind_name(static_cast<WallKind>(k));
            out.push_back({fmt::format("used: outside, {} wall (mm)", wall),
                           fmt::format("outside {} used", wall)});
        }
        return out;
    }
    if (table == "insulation") {
        return {{"used: k (A s0.5/mm2)", "k used"}};
    }
    if (table == "fuse-ratings") {
        return {{"used: cold (mohm)", "cold used"}};
    }
    return {};
}

std::vector<UsedCell> conductor_cells(const Conductor* conductor) {
    std::vector<UsedCell> out;
    if (conductor == nullptr) {
        return out;
    }
    out.push_back({show_number(conductor->area.value() * 1e6), conductor->area_origin});
    out.push_back({show_number(conductor->copper_area.value() * 1e6),
                   {Provenance::derived, "the least copper that area and resistance allow"}});
    out.push_back({show_number(conductor->r20_ohm_per_m * 1e3), conductor->r20_origin});
    out.push_back({show_number(conductor->diameter.value() * 1e3, 3), conductor->diameter_origin});
    for (const OutsideDiameter& outside : conductor->outside) {
        out.push_back(outside.is_in_table
                          ? UsedCell{show_number(outside.diameter.value() * 1e3, 3), outside.origin}
                          : UsedCell{});
    }
    return out;
}

/// Cold resistance of each rating of the row.
UsedCell cold_cell(const Catalogue& catalogue, const RowReader& row) {
    const FuseFamily* family = catalogue.find_fuse_family(row.text("family"));
    UsedCell out;
    for (const double rating : row.numbers("rating")) {
        const FuseRating* found = family == nullptr ? nullptr : family->find(Amps(rating));
        if (found != nullptr && found->cold) {
            out.text.append(out.text.empty() ? "" : " ")
                .append(show_number(found->cold->value() * 1e3));
            out.origin = found->cold_origin;
        }
    }
    return out;
}

std::vector<UsedCell> used_cells(const Catalogue& catalogue, const DataTable& table,
                                 const RowReader& row) {
    if (const auto standard = standard_of(table.name)) {
        return conductor_cells(catalogue.find_conductor({*standard, row.text("size")}));
    }
    if (table.name == "insulation") {
        const Insulation* found = catalogue.find_insulation(row.text("name"));
        if (found != nullptr) {
            return {{show_number(found->k_a_sqrt_s_per_mm2),
                     {Provenance::derived, "IEC 60949, copper, from limit to short-time"}}};
        }
    }
    if (table.name == "fuse-ratings") {
        return {cold_cell(catalogue, row)};
    }
    return {};
}

std::vector<std::string> view_row(const Catalogue& catalogue, const DataTable& table,
                                  const RowReader& reader, std::size_t row) {
    std::vector<std::string> cells;
    std::vector<Marked> marked;
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        const DataColumn& head = table.columns[column];
        if (head.names_sources) {
            continue;
        }
        const DataCell& cell = table.cell(row, column);
        cells.push_back(cell.text);
        if (cell.is_given() && (head.origin || head.origin_column >= 0)) {
            marked.push_back({head.name, table.origin(row, column)});
        }
    }
    const std::vector<UsedColumn> used = used_columns(table.name);
    std::vector<UsedCell> figures = used_cells(catalogue, table, reader);
    figures.resize(used.size());
    for (std::size_t i = 0; i < used.size(); ++i) {
        cells.push_back(figures[i].text);
        if (!figures[i].text.empty()) {
            marked.push_back({used[i].name, figures[i].origin});
        }
    }
    cells.push_back(provenance_text(marked));
    cells.push_back(source_text(marked));
    return cells;
}

std::vector<std::string> view_columns(const DataTable& table) {
    std::vector<std::string> out;
    for (const DataColumn& column : table.columns) {
        if (!column.names_sources) {
            out.push_back(heading(column));
        }
    }
    for (const UsedColumn& used : used_columns(table.name)) {
        out.push_back(used.heading);
    }
    out.emplace_back("provenance");
    out.emplace_back("source");
    return out;
}

std::vector<std::string> view_notes(const DataTable& table) {
    std::vector<std::string> out;
    if (!table.rule.empty()) {
        out.push_back(table.rule);
    }
    out.emplace_back(
        "read = seen in a retrieved text, often a reprint; memory = recalled only, not the "
        "standard's word; derived = computed from the others.");
    for (const auto& [name, origin] : table.sources) {
        out.push_back(marked_origin(origin));
    }
    return out;
}

} // namespace

std::vector<std::string> Catalogue::table_names() const {
    return {listed_tables.begin(), listed_tables.end()};
}

std::optional<TableView> Catalogue::view(std::string_view name) const {
    SourceFiles files;
    Findings findings;
    const auto table = std::ranges::find(listed_tables, name) == listed_tables.end()
                           ? std::nullopt
                           : read_data_table(name, files, findings);
    if (!table) {
        return std::nullopt;
    }
    TableView view;
    view.name = table->name;
    view.description = table->description;
    view.edition = table->edition;
    view.licence = table->licence;
    view.validity = table->validity;
    std::vector<std::string> sources;
    for (const auto& [key, origin] : table->sources) {
        sources.push_back(marked_origin(origin));
    }
    view.source = fmt::format("{}", fmt::join(sources, "; "));
    view.columns = view_columns(*table);
    RowReader reader(*table, findings);
    for (std::size_t row = 0; row < table->row_count(); ++row) {
        reader.go_to(row);
        view.rows.push_back(view_row(*this, *table, reader, row));
    }
    view.notes = view_notes(*table);
    return view;
}

} // namespace loomwright
