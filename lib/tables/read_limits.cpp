// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

// Defaults, insulations, drop limits, relays and bundle factors. The constant of the adiabatic
// equation I^2 t = k^2 S^2 (IEC 60949, IEC 60364-5-54; valid to 5 s) is
//   k = K sqrt(ln((beta + T_end) / (beta + T_start))), copper K = 226 A s^0.5/mm2, beta = 234.5 C.

namespace loomwright {
namespace {

std::optional<WallKind> wall_kind_of(std::string_view word) {
    for (std::size_t i = 0; i < wall_kind_count; ++i) {
        if (wall_kind_name(static_cast<WallKind>(i)) == word) {
            return static_cast<WallKind>(i);
        }
    }
    return std::nullopt;
}

std::vector<SizeStandard> standards_of(std::string_view words) {
    std::vector<SizeStandard> out;
    if (words.find("ISO") != std::string_view::npos) {
        out.push_back(SizeStandard::iso);
    }
    if (words.find("SAE") != std::string_view::npos) {
        out.push_back(SizeStandard::sae);
    }
    if (words.find("AWG") != std::string_view::npos) {
        out.push_back(SizeStandard::awg);
    }
    return out;
}

} // namespace

double adiabatic_k(double k_material, double beta, Celsius from, Celsius to) {
    return k_material * std::sqrt(std::log((beta + to.value()) / (beta + from.value())));
}

void CatalogueReader::read_defaults(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        DefaultValue made;
        made.name = row.text("name");
        made.value = row.needed("value");
        made.unit = row.text("unit");
        made.title = row.text("what");
        made.origin = row.origin("value");
        catalogue_.defaults_.push_back(std::move(made));
    }
    auto& order = catalogue_.defaults_by_name_;
    order.resize(catalogue_.defaults_.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto name_of = [this](std::size_t index) -> std::string_view {
        return catalogue_.defaults_[index].name;
    };
    std::ranges::stable_sort(order, {}, name_of);
    for (std::size_t i = 1; i < order.size(); ++i) {
        if (name_of(order[i]) == name_of(order[i - 1])) {
            row.go_to(std::max(order[i], order[i - 1]));
            row.complain("name", fmt::format("the default {} stands twice", name_of(order[i])));
        }
    }
}

void CatalogueReader::read_insulations(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        Insulation made;
        made.name = row.text("name");
        made.title = row.text("title");
        if (const auto wall = wall_kind_of(row.text("wall"))) {
            made.wall = *wall;
        } else {
            row.complain("wall", "no such kind of wall");
        }
        made.limit = Celsius(row.needed("limit"));
        made.limit_origin = row.origin("limit");
        if (const auto other = row.number("limit-other")) {
            made.limit_other = Celsius(*other);
        }
        made.short_time = Celsius(row.needed("short-time"));
        if (made.short_time <= made.limit) {
            row.complain("short-time", "the short-time temperature must be above the limit");
        }
        made.k_a_sqrt_s_per_mm2 =
            adiabatic_k(constant("adiabatic-copper"), constant("adiabatic-copper-beta"), made.limit,
                        made.short_time);
        made.conductivity_w_per_m_k = row.needed("conductivity");
        made.density_kg_per_m3 = row.needed("density");
        made.standards = standards_of(row.text("sold"));
        catalogue_.insulations_.push_back(std::move(made));
    }
}

void CatalogueReader::read_drop_limits(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        DropLimit made;
        made.name = row.text("class");
        made.title = row.text("title");
        made.at_12_v = Volts(row.needed("at-12"));
        made.origin = row.origin("at-12");
        if (const auto at_24 = row.number("at-24")) {
            made.at_24_v = Volts(*at_24);
            made.origin_24 = row.origin("at-24");
        }
        made.note = row.text("note");
        catalogue_.drops_.push_back(std::move(made));
    }
}

void CatalogueReader::read_relays(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        RelayType made;
        made.name = row.text("name");
        made.title = row.text("title");
        made.contact = Amps(row.needed("contact"));
        if (const auto broken = row.number("contact-break")) {
            made.contact_break = Amps(*broken);
        }
        made.coil = Ohms(row.needed("coil"));
        made.pulls_in = Volts(row.needed("pulls-in"));
        made.drops_out = Volts(row.needed("drops-out"));
        made.origin = row.origin("contact");
        catalogue_.relays_.push_back(std::move(made));
    }
}

void CatalogueReader::read_bundle_factors(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        BundleFactor made;
        made.wires = static_cast<int>(row.needed("wires"));
        made.at = {row.needed("20 %"), row.needed("40 %"), row.needed("60 %"), row.needed("80 %"),
                   row.needed("100 %")};
        catalogue_.bundles_.push_back(made);
    }
}

} // namespace loomwright
