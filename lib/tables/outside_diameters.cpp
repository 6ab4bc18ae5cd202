// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue_reader.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>

// Outside diameter D of every conductor in every wall, by the first of these that the tables allow:
//   1. the largest diameter listed for it;
//   2. strand + 2 walls listed for it (the larger of 1 and 2 where both are there);
//   3. strand + 2 walls of the conductor of the other files that is next in area (AWG borrows from
//   SAE of
//      the same number first: cars' wire of AWG numbers is made to SAE walls);
//   4. strand + 2 of the widest walls known: not in the tables, and marked so.

namespace loomwright {
namespace {

constexpr std::array<SizeStandard, 3> every_standard{SizeStandard::iso, SizeStandard::sae,
                                                     SizeStandard::awg};

OutsideDiameter with_wall(const Conductor& conductor, double wall_m, std::string source) {
    return {Metres(conductor.diameter.value() + 2.0 * wall_m),
            true,
            {Provenance::derived, std::move(source)}};
}

} // namespace

/// The wall that a file gives a conductor: as listed, or half of what its outside diameter leaves.
std::optional<double> CatalogueReader::wall_of(SizeStandard standard, std::size_t index,
                                               WallKind kind) const {
    const Walls& walls = walls_.at(static_cast<std::size_t>(standard))[index];
    const auto k = static_cast<std::size_t>(kind);
    std::optional<double> wall = walls.wall_m.at(k);
    for (const auto& [diameter, origin] : walls.outside_m.at(k)) {
        const double half =
            (diameter - catalogue_.conductors(standard)[index].diameter.value()) / 2;
        wall = std::max(wall.value_or(0.0), half);
    }
    return wall;
}

std::optional<OutsideDiameter> CatalogueReader::borrowed(const Conductor& conductor,
                                                         SizeStandard lender, WallKind kind) const {
    const auto list = catalogue_.conductors(lender);
    const bool by_number =
        conductor.size.standard == SizeStandard::awg && lender == SizeStandard::sae;
    for (std::size_t i = 0; i < list.size(); ++i) {
        const bool fits =
            by_number ? list[i].size.name == conductor.size.name : list[i].area >= conductor.area;
        const auto wall = fits ? wall_of(lender, i, kind) : std::nullopt;
        if (wall) {
            return with_wall(conductor, *wall,
                             fmt::format("strand + 2 walls of {} mm, those of {}",
                                         show_number(*wall * 1e3, 3), show(list[i].size)));
        }
    }
    return std::nullopt;
}

double CatalogueReader::widest_wall(WallKind kind) const {
    double widest = 0.0;
    for (const SizeStandard standard : every_standard) {
        for (std::size_t i = 0; i < catalogue_.conductors(standard).size(); ++i) {
            widest = std::max(widest, wall_of(standard, i, kind).value_or(0.0));
        }
    }
    return widest;
}

OutsideDiameter CatalogueReader::settled(SizeStandard standard, std::size_t index,
                                         WallKind kind) const {
    const Conductor& conductor = catalogue_.conductors(standard)[index];
    const Walls& walls = walls_.at(static_cast<std::size_t>(standard))[index];
    const auto k = static_cast<std::size_t>(kind);
    std::optional<OutsideDiameter> best;
    if (const auto wall = walls.wall_m.at(k)) {
        best =
            with_wall(conductor, *wall,
                      fmt::format("strand + 2 walls of {} mm ({}: {})", show_number(*wall * 1e3, 3),
                                  provenance_name(walls.wall_origin.at(k).provenance),
                                  walls.wall_origin.at(k).source));
    }
    for (const auto& [diameter, origin] : walls.outside_m.at(k)) {
        if (!best || Metres(diameter) >= best->diameter) {
            best = OutsideDiameter{Metres(diameter), true, origin};
        }
    }
    for (const SizeStandard lender : {SizeStandard::sae, SizeStandard::iso}) {
        if (!best) {
            best = borrowed(conductor, lender, kind);
        }
    }
    if (best) {
        return *best;
    }
    const bool is_thin = kind == WallKind::ultra_thin || kind == WallKind::thin;
    const double wall =
        std::max(widest_wall(kind), widest_wall(is_thin ? WallKind::thin : WallKind::battery));
    OutsideDiameter guess =
        with_wall(conductor, wall,
                  fmt::format("outside the tables: strand + 2 of the widest walls known, {} mm",
                              show_number(wall * 1e3, 3)));
    guess.is_in_table = false;
    return guess;
}

void CatalogueReader::settle_outside_diameters() {
    for (const SizeStandard standard : every_standard) {
        auto& list = catalogue_.conductors_.at(static_cast<std::size_t>(standard));
        for (std::size_t i = 0; i < list.size(); ++i) {
            for (std::size_t k = 0; k < wall_kind_count; ++k) {
                list[i].outside.at(k) = settled(standard, i, static_cast<WallKind>(k));
            }
        }
    }
}

} // namespace loomwright
