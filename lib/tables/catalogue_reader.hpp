// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"
#include "tables/data_table.hpp"

#include <array>
#include <optional>
#include <string_view>
#include <vector>

namespace loomwright {

/// Fills a catalogue from data tables, one function a file of data; faults become findings.
class CatalogueReader {
public:
    CatalogueReader(Catalogue& catalogue, SourceFiles& files, Findings& findings)
        : catalogue_(catalogue), files_(files), findings_(findings) {}

    /// Reads every file that computing needs.
    void read_all();

    void read_defaults(const DataTable& table);
    void read_iso(const DataTable& table);
    void read_sae(const DataTable& table);
    void read_awg(const DataTable& table);
    void read_insulations(const DataTable& table);
    void read_fuse_families(const DataTable& table);
    void read_fuse_ratings(const DataTable& table);
    void read_fuse_gates(const DataTable& table);
    void read_drop_limits(const DataTable& table);
    void read_relays(const DataTable& table);
    void read_bundle_factors(const DataTable& table);
    void read_covers(const DataTable& table);
    void read_cover_sizes(const DataTable& table);
    void read_fittings(const DataTable& table);
    void read_strip_lengths(const DataTable& table);

private:
    /// Walls and outside diameters of one conductor as its data file gives them.
    struct Walls {
        std::array<std::optional<double>, wall_kind_count> wall_m;
        std::array<std::vector<std::pair<double, Origin>>, wall_kind_count> outside_m;
        std::array<Origin, wall_kind_count> wall_origin;
    };

    [[nodiscard]] double constant(std::string_view name) const;
    [[nodiscard]] double resistivity() const;
    static void read_walls(Walls& walls, const RowReader& row, std::string_view column,
                           WallKind kind);
    static void read_outside(Walls& walls, const RowReader& row, std::string_view column,
                             WallKind kind);
    void add_conductor(Conductor conductor, Walls walls);
    void settle_outside_diameters();
    [[nodiscard]] OutsideDiameter settled(SizeStandard standard, std::size_t index,
                                          WallKind kind) const;
    [[nodiscard]] std::optional<OutsideDiameter> borrowed(const Conductor& conductor,
                                                          SizeStandard lender, WallKind kind) const;
    [[nodiscard]] double widest_wall(WallKind kind) const;
    [[nodiscard]] std::optional<double> wall_of(SizeStandard standard, std::size_t index,
                                                WallKind kind) const;
    FuseFamily* family(const RowReader& row);
    void add_rating(FuseFamily& owner, FuseRating made, const RowReader& row) const;

    Catalogue& catalogue_;
    SourceFiles& files_;
    Findings& findings_;
    std::array<std::vector<Walls>, 3> walls_; ///< beside Catalogue::conductors_
};

/// Diameter of a solid conductor of American wire gauge `n` (1/0 is 0, 4/0 is -3), by ASTM B258.
[[nodiscard]] Metres awg_diameter(int n);
/// The n of a gauge's name: "18" -> 18, "1/0" -> 0, "4/0" -> -3.
[[nodiscard]] std::optional<int> gauge_number(std::string_view name);
/// A round of this diameter.
[[nodiscard]] SquareMetres round_area(Metres diameter);
/// Constant k of the adiabatic equation for copper between two temperatures, A s^0.5 / mm2.
[[nodiscard]] double adiabatic_k(double k_material, double beta, Celsius from, Celsius to);

} // namespace loomwright
