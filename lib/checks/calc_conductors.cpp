// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The conductors of one standard's own table, for a question about that standard. Strand and
// outside diameters stay those of the whole-car tables: the three tables below do not give all of
// them.
//   iec   IEC 60228 class 5: r20 as printed (column r20-class-5 of conductors-iso)
//   nfpa  NFPA 70 chapter 9 table 8, uncoated stranded: r20 = r75 / (1 + 0.00393 (75 - 20))
//   faa   FAA AC 43.13-1B table 11-9: r20 and area as printed, tin-plated aircraft wire
#include "checks/calc_conductors.hpp"

#include "tables/data_table.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

const Celsius nfpa_temperature{75.0};

struct TableInfo {
    std::string_view name;
    std::string_view title;
    SizeStandard standard;
    std::string_view data; ///< the data file of its own figures; "": those of the catalogue
};
constexpr std::array tables = {
    TableInfo{"iso", "ISO 6722-1, mm2", SizeStandard::iso, ""},
    TableInfo{"sae", "SAE J1128 and J1127, SAE sizes", SizeStandard::sae, ""},
    TableInfo{"awg", "ASTM B258, AWG", SizeStandard::awg, ""},
    TableInfo{"iec", "IEC 60228 class 5, mm2", SizeStandard::iso, "conductors-iso"},
    TableInfo{"nfpa", "NFPA 70 chapter 9 table 8, AWG", SizeStandard::awg, "conductors-awg"},
    TableInfo{"faa", "FAA AC 43.13-1B table 11-9, AWG", SizeStandard::awg, "ampacity-faa"},
};

const TableInfo& info_of(std::string_view table) {
    const auto* const found = std::ranges::find(tables, table, &TableInfo::name);
    return found == tables.end() ? tables.front() : *found;
}

/// The row's own figures put into the catalogue's conductor; false where the row has none.
bool take_row(const RowReader& row, std::string_view table, Conductor& conductor) {
    const auto set = [&](std::string_view column, double divisor) {
        const auto value = row.number(column);
        if (value) {
            conductor.r20_ohm_per_m = *value / divisor;
            conductor.r20_origin = row.origin(column);
            conductor.r20_others.clear();
        }
        return value.has_value();
    };
    if (table == "iec") {
        return set("r20-class-5", 1.0);
    }
    if (table == "nfpa") {
        return set("r75-stranded", resistance_at(1.0, nfpa_temperature));
    }
    if (!set("r20", 1.0)) {
        return false;
    }
    conductor.area = SquareMetres(row.needed("area"));
    conductor.area_origin = row.origin("area");
    conductor.copper_area = std::min(conductor.copper_area, conductor.area);
    return true;
}

std::string sizes_of(std::span<const Conductor> conductors) {
    std::vector<std::string> names;
    for (const Conductor& conductor : conductors) {
        if (conductor.is_standard_size) {
            names.push_back(conductor.size.name);
        }
    }
    return fmt::format("{}", fmt::join(names, ", "));
}

} // namespace

std::vector<std::string> conductor_table_names() {
    std::vector<std::string> out;
    out.reserve(tables.size());
    for (const TableInfo& table : tables) {
        out.emplace_back(table.name);
    }
    return out;
}

std::string_view conductor_table_title(std::string_view table) {
    return info_of(table).title;
}

SizeStandard standard_of_table(std::string_view table) {
    return info_of(table).standard;
}

std::string_view usual_table(SizeStandard standard) {
    return tables[static_cast<std::size_t>(standard)].name;
}

std::vector<Conductor> conductors_of_table(const Catalogue& catalogue, std::string_view table) {
    const TableInfo& info = info_of(table);
    const auto all = catalogue.conductors(info.standard);
    std::vector<Conductor> out(all.begin(), all.end());
    if (info.data.empty()) {
        return out;
    }
    SourceFiles files;
    Findings findings; // the tables were read without a fault when the program was built
    const auto data = read_data_table(info.data, files, findings);
    out.clear();
    for (std::size_t i = 0; data && i < data->row_count(); ++i) {
        RowReader row(*data, findings);
        row.go_to(i);
        const ConductorSize size{info.standard, normal_size_name(info.standard, row.text("size"))};
        const Conductor* known = catalogue.find_conductor(size);
        Conductor conductor = known != nullptr ? *known : Conductor{};
        if (known != nullptr && take_row(row, table, conductor)) {
            out.push_back(std::move(conductor));
        }
    }
    std::ranges::stable_sort(out, {}, [](const Conductor& c) { return c.area.value(); });
    return out;
}

std::optional<ConductorSize> read_conductor_size(std::string_view text, TextFault& fault) {
    const auto read = read_size(text, fault);
    if (!read) {
        return std::nullopt;
    }
    const SizeStandard standard = read->unit == "AWG"   ? SizeStandard::awg
                                  : read->unit == "SAE" ? SizeStandard::sae
                                                        : SizeStandard::iso;
    return ConductorSize{standard, normal_size_name(standard, read->number)};
}

TextFault no_such_size(const ConductorSize& size, std::string_view table,
                       std::span<const Conductor> conductors) {
    return {Rule::unknown_word,
            fmt::format("the table of {} has no size {}", conductor_table_title(table), show(size)),
            "its sizes are: " + sizes_of(conductors)};
}

} // namespace loomwright
