// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <numbers>

// Conductors from three data files.
//   ISO 6722-1: r20 = the largest of the figures listed (ohm/m); copper area = least of nominal and
//     rho / r20 of bare strand.
//   SAE J1128, J1127: area = the smaller of read and recalled; r20 = 1.02 rho / area.
//   AWG (ASTM B258): d = 0.005 in 92^((36 - n) / 39); area = pi d^2 / 4; r20 = the larger of 1.02
//   rho / area
//     and table 8 of NFPA 70 at 75 C over (1 + 0.00393 55).
//   rho = 1.7241e-8 ohm m (IEC 60028); 1.02 for stranding: table 8 has 1.018 to 1.026.
// Valid for the sizes listed; none is interpolated.

namespace loomwright {
namespace {

constexpr double stranding = 1.02;
constexpr double sae_strand_over_solid = 1.3;  // recalled ISO maxima: 1.20 to 1.33
constexpr double awg_strand_over_solid = 1.15; // table 8: 1.137 to 1.149
constexpr double awg_coefficient_in = 0.005;
constexpr double metres_per_inch = 0.0254;
const Celsius table_8_temperature{75.0};

struct Candidate {
    double value = 0.0;
    Origin origin;
    std::string label;
};

/// "r20-bare 37.1 mohm/m (memory: ISO ...)" for each candidate that was not taken.
std::string others_text(const std::vector<Candidate>& candidates, std::size_t taken) {
    std::string out;
    for (std::size_t i = 0; i < candidates.size(); ++i) {
        if (i != taken) {
            out += fmt::format("{}{} {} mohm/m ({}: {})", out.empty() ? "" : "; ",
                               candidates[i].label, show_number(candidates[i].value * 1e3),
                               provenance_name(candidates[i].origin.provenance),
                               candidates[i].origin.source);
        }
    }
    return out;
}

void take_largest(Conductor& conductor, const std::vector<Candidate>& candidates) {
    if (candidates.empty()) {
        return;
    }
    const auto largest = std::ranges::max_element(candidates, {}, &Candidate::value);
    conductor.r20_ohm_per_m = largest->value;
    conductor.r20_origin = largest->origin;
    conductor.r20_others =
        others_text(candidates, static_cast<std::size_t>(largest - candidates.begin()));
}

} // namespace

SquareMetres round_area(Metres diameter) {
    return SquareMetres(std::numbers::pi / 4.0 * diameter.value() * diameter.value());
}

Metres awg_diameter(int n) {
    return Metres(metres_per_inch * awg_coefficient_in * std::pow(92.0, (36.0 - n) / 39.0));
}

std::optional<int> gauge_number(std::string_view name) {
    int number = 0;
    const char* end = name.data() + name.size();
    const auto [rest, error] = std::from_chars(name.data(), end, number);
    if (error != std::errc{}) {
        return std::nullopt;
    }
    if (rest == end) {
        return number;
    }
    return std::string_view(rest, end) == "/0" ? std::optional<int>(1 - number) : std::nullopt;
}

double CatalogueReader::constant(std::string_view name) const {
    return catalogue_.default_value(name).value;
}

double CatalogueReader::resistivity() const {
    return constant("copper-resistivity");
}

void CatalogueReader::read_walls(Walls& walls, const RowReader& row, std::string_view column,
                                 WallKind kind) {
    const auto index = static_cast<std::size_t>(kind);
    walls.wall_m.at(index) = row.number(column);
    walls.wall_origin.at(index) = row.origin(column);
}

void CatalogueReader::read_outside(Walls& walls, const RowReader& row, std::string_view column,
                                   WallKind kind) {
    if (const auto diameter = row.number(column)) {
        walls.outside_m.at(static_cast<std::size_t>(kind))
            .emplace_back(*diameter, row.origin(column));
    }
}

void CatalogueReader::add_conductor(Conductor conductor, Walls walls) {
    const auto standard = static_cast<std::size_t>(conductor.size.standard);
    auto& list = catalogue_.conductors_.at(standard);
    const auto place = std::ranges::upper_bound(list, conductor.area, {}, &Conductor::area);
    auto& wall_list = walls_.at(standard);
    wall_list.insert(wall_list.begin() + (place - list.begin()), std::move(walls));
    list.insert(place, std::move(conductor));
}

void CatalogueReader::read_iso(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        Conductor made;
        made.size = {SizeStandard::iso, normal_size_name(SizeStandard::iso, row.text("size"))};
        made.area = SquareMetres(row.needed("size"));
        made.area_origin = {Provenance::memory, "nominal area of ISO 6722-1"};
        std::vector<Candidate> candidates;
        for (const std::string_view column :
             {"r20-bare", "r20-tinned", "r20-class-5", "r20-estimate"}) {
            if (const auto ohm = row.number(column)) {
                candidates.push_back({*ohm, row.origin(column), std::string(column)});
            }
        }
        if (candidates.empty()) {
            row.complain("r20-bare", "no resistance at all");
        }
        take_largest(made, candidates);
        const double bare = row.number("r20-bare").value_or(made.r20_ohm_per_m);
        made.copper_area =
            bare > 0.0 ? std::min(made.area, SquareMetres(resistivity() / bare)) : made.area;
        // A seller's size has estimates only, and is never chosen.
        made.is_standard_size = !row.number("strand-estimate");
        const std::string_view strand = made.is_standard_size ? "strand" : "strand-estimate";
        made.diameter = Metres(row.needed(strand));
        made.diameter_origin = row.origin(strand);
        made.note = row.text("note");
        Walls walls;
        read_walls(walls, row, "wall-thin", WallKind::thin);
        read_outside(walls, row, "outside-ultra-thin", WallKind::ultra_thin);
        read_outside(walls, row, "outside-thin", WallKind::thin);
        read_outside(walls, row, "outside-thin-sold", WallKind::thin);
        read_outside(walls, row, "outside-thick", WallKind::thick);
        add_conductor(std::move(made), std::move(walls));
    }
}

void CatalogueReader::read_sae(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        Conductor made;
        made.size = {SizeStandard::sae, normal_size_name(SizeStandard::sae, row.text("size"))};
        const auto seen = row.number("area-read");
        const auto recalled = row.number("area-recalled");
        if (!seen && !recalled) {
            row.complain("area-read", "no area at all");
            continue;
        }
        const bool takes_recalled = recalled && (!seen || *recalled < *seen);
        made.area = SquareMetres(takes_recalled ? *recalled : *seen);
        made.copper_area = made.area;
        made.area_origin = row.origin(takes_recalled ? "area-recalled" : "area-read");
        made.r20_ohm_per_m = stranding * resistivity() / made.area.value();
        made.r20_origin = {Provenance::derived,
                           fmt::format("1.02 x 17.241 mohm mm2/m / {} mm2 ({}: {})",
                                       show_number(made.area.value() * 1e6),
                                       provenance_name(made.area_origin.provenance),
                                       made.area_origin.source)};
        if (seen && recalled) {
            const double other = takes_recalled ? *seen : *recalled;
            made.r20_others = fmt::format(
                "{} mohm/m from {} mm2 ({})", show_number(stranding * resistivity() / other * 1e3),
                show_number(other * 1e6), takes_recalled ? "read" : "memory");
        }
        const double larger = std::max(seen.value_or(0.0), recalled.value_or(0.0));
        made.diameter = Metres(sae_strand_over_solid * std::sqrt(4.0 * larger / std::numbers::pi));
        made.diameter_origin = {Provenance::derived, "1.3 x a solid of the larger area listed"};
        made.note = row.text("note");
        Walls walls;
        read_walls(walls, row, "wall-thin", WallKind::thin);
        read_walls(walls, row, "wall-middle", WallKind::middle);
        read_walls(walls, row, "wall-thick", WallKind::thick);
        read_walls(walls, row, "wall-battery", WallKind::battery);
        read_outside(walls, row, "outside-thin", WallKind::thin);
        read_outside(walls, row, "outside-middle", WallKind::middle);
        add_conductor(std::move(made), std::move(walls));
    }
}

void CatalogueReader::read_awg(const DataTable& table) {
    RowReader row(table, findings_);
    for (std::size_t i = 0; i < table.row_count(); ++i) {
        row.go_to(i);
        Conductor made;
        made.size = {SizeStandard::awg, normal_size_name(SizeStandard::awg, row.text("size"))};
        const auto n = gauge_number(made.size.name);
        if (!n) {
            row.complain("size", "not a gauge");
            continue;
        }
        const Metres solid = awg_diameter(*n);
        made.area = round_area(solid);
        made.copper_area = made.area;
        made.area_origin = row.origin("size");
        std::vector<Candidate> candidates{
            {stranding * resistivity() / made.area.value(), row.origin("size"), "1.02 x solid"}};
        if (const auto at_75 = row.number("r75-stranded")) {
            candidates.push_back({*at_75 / resistance_at(1.0, table_8_temperature),
                                  row.origin("r75-stranded"), "table 8 at 75 C brought to 20 C"});
        }
        take_largest(made, candidates);
        if (const auto strand = row.number("strand")) {
            made.diameter = Metres(*strand);
            made.diameter_origin = row.origin("strand");
        } else {
            made.diameter = awg_strand_over_solid * solid;
            made.diameter_origin = {Provenance::derived, "1.15 x the solid of ASTM B258"};
        }
        made.is_standard_size = row.yes("sold");
        add_conductor(std::move(made), {});
    }
}

} // namespace loomwright
