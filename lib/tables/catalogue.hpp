// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/quantity.hpp"
#include "diag/finding.hpp"
#include "model/vehicle.hpp"

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace loomwright {

/// How a figure came to us: seen in text, recalled only, or computed from others.
enum class Provenance : std::uint8_t { read, memory, derived };
[[nodiscard]] std::string_view provenance_name(Provenance provenance);

/// Where a row of a table comes from.
struct Origin {
    Provenance provenance = Provenance::memory;
    std::string source; ///< "ISO 6722-1:2011 (recalled)"
};

/// Which columns of wall thickness and outside diameter an insulation takes.
enum class WallKind : std::uint8_t { ultra_thin, thin, middle, thick, battery };
constexpr std::size_t wall_kind_count = 5;
[[nodiscard]] std::string_view wall_kind_name(WallKind kind);

/// Outside diameter of a conductor in a wall.
struct OutsideDiameter {
    Metres diameter;
    bool is_in_table =
        false; ///< false: the wall is that of the largest size known, a guess to be told
    Origin origin;
};

/// A conductor of one standard.
struct Conductor {
    ConductorSize size;
    SquareMetres area; ///< nominal (ISO), least (SAE), geometric (AWG)
    SquareMetres
        copper_area; ///< the copper it is sure to hold: for what a short circuit does to it
    Origin area_origin;
    double r20_ohm_per_m = 0.0; ///< the figure that is used: the safe one where sources disagree
    Origin r20_origin;
    std::string r20_others; ///< the figures that were not used, with their sources; "" for none
    Metres diameter;        ///< of the bare strand
    Origin diameter_origin;
    bool is_standard_size = true; ///< false: a size seldom sold, that `auto` does not pick
    std::string note;
    std::array<OutsideDiameter, wall_kind_count> outside; ///< by WallKind
};

/// An insulation family.
struct Insulation {
    std::string name; ///< as written in a vehicle file: "thin-wall xlpe"
    std::string title;
    WallKind wall = WallKind::thin;
    Celsius limit; ///< continuous temperature class; the lower where sources disagree
    Origin limit_origin;
    std::optional<Celsius> limit_other; ///< what another source says
    Celsius short_time;                 ///< end temperature of the adiabatic equation
    double k_a_sqrt_s_per_mm2 = 0.0;    ///< from `limit` to `short_time`, copper
    double conductivity_w_per_m_k = 0.2;
    double density_kg_per_m3 = 1400.0;
    std::vector<SizeStandard> standards; ///< which conductors it is sold on; empty: any
    std::string note;
};

/// One gate of a time-current band: at this multiple of the rating, opens within [shortest,
/// longest].
struct FuseGate {
    double multiple = 1.0;
    std::optional<Seconds> shortest;
    std::optional<Seconds> longest;
    Origin origin;
    Amps least;          ///< smallest and
    Amps most;           ///< largest rating of the family that it holds for
    Celsius air{23.0};   ///< that it holds in
    bool is_own = false; ///< from a curve of the vehicle file, not from the tables
};

struct FuseRating {
    Amps rating;
    std::string colour;       ///< "" where no standard colour exists
    std::optional<Ohms> cold; ///< typical cold resistance; derived where none is tabled
    Origin cold_origin;
    Origin origin; ///< of the rating itself
};

/// A family of fuses, breakers or links.
struct FuseFamily {
    std::string name; ///< "blade", "mini-blade", "maxi-blade", "strip", ...
    std::string title;
    std::string standard;
    ProtectionKind kind = ProtectionKind::fuse;
    std::vector<FuseRating> ratings; ///< ascending
    /// The band that holds for every rating of the family, ascending: the longest of the longest
    /// times, the shortest of the shortest. Empty where no opening times are known.
    std::vector<FuseGate> gates;
    /// As tabled, by range of ratings, then ascending; after them those of the vehicle file.
    std::vector<FuseGate> rating_gates;
    std::optional<Volts> rated_voltage;
    std::optional<Amps> breaking_capacity;
    Origin breaking_origin;
    double derating_per_k = 0.0; ///< share of the rating lost for each kelvin above `derating_from`
    Celsius derating_from{20.0};
    Origin derating_origin;
    /// Share of their currents by which opening times move for each kelvin above those of the air
    /// that they hold in.
    double opening_per_k = 0.0;
    Origin opening_origin;
    double hot_over_cold = 1.5; ///< resistance at rated current over cold
    std::string note;

    [[nodiscard]] const FuseRating* find(Amps rating) const;
    /// "10 A and 15 A": the standard ratings next below `least` and next above `most`.
    [[nodiscard]] std::string show_next_ratings(Amps least, Amps most) const;
    /// Smallest multiple of the rating at which the device is sure to open, and within what time.
    [[nodiscard]] std::optional<FuseGate> sure_to_open() const;
    /// The gates of one rating, ascending; none where the table does not reach. A curve of the
    /// vehicle file goes before the table.
    [[nodiscard]] std::vector<FuseGate> gates_of(Amps rating) const;
};

/// A permitted voltage drop of a class of circuits.
struct DropLimit {
    std::string name; ///< "lighting", "motor"
    std::string title;
    Volts at_12_v; ///< whole circuit; scaled by nominal / 12 V where no 24 V figure is given
    std::optional<Volts> at_24_v;
    Origin origin;
    Origin origin_24;
    std::string note;
};

/// A stated default with its reason: "ground-bond" = 1 mohm.
struct DefaultValue {
    std::string name;
    double value = 0.0; ///< SI
    std::string unit;   ///< "ohm", "m", "V", "A", "C", "" for a share
    std::string title;
    Origin origin;
};

/// Bundle derating: factor by the number of loaded wires (MIL-W-5088L curves).
struct BundleFactor {
    int wires = 1;
    std::array<double, 5> at{}; ///< at 20, 40, 60, 80 and 100 % of loading
};

/// What a run's cover does to the heat of its wires (lib/solve/skin.hpp).
struct CoverType {
    std::string name; ///< as a run's `cover` has it: "conduit"
    std::string title;
    Metres gap; ///< between the bundle and the wall
    Metres wall;
    double conductivity_w_per_m_k = 0.2; ///< of the wall
    /// Constants U (K m/W), V and Y (1/K) of a duct's air space; nothing: the gap is a layer of
    /// air.
    std::optional<std::array<double, 3>> duct;
    double emissivity = 0.9;
    Origin origin; ///< of gap, wall and conductivity
    Origin duct_origin;
    Origin emissivity_origin;
};

/// One size in which a cover is sold.
struct CoverSize {
    std::string cover; ///< the cover's name: "conduit"
    std::string name;  ///< as it is bought: "ribbed 17"
    Metres least;      ///< of the bundle's diameter that it takes
    Metres most;
    Metres wall;
    std::optional<Metres> outside; ///< its own; nothing: the bundle's and two walls
    Origin origin;
    /// Diameter over a bundle of this diameter.
    [[nodiscard]] Metres over(Metres bundle) const;
};

/// What is crimped on the end of a wire.
struct FittingType {
    std::string name; ///< as a cut list has it: "ring M6"
    std::string title;
    SquareMetres least; ///< of wire that it takes
    SquareMetres most;
    Origin range_origin;
    std::optional<Amps> current; ///< nothing: the wire, or the connector's contact, governs
    Origin current_origin;
    std::string barrel; ///< of the table of strip lengths
    std::string mate;   ///< what it is pushed into, where that goes on a wire too; else ""
};

/// Insulation that comes off for a kind of barrel, up to an area of all wires in it.
struct StripLength {
    std::string barrel;
    SquareMetres most;
    Metres strip;
};

/// One relay of the table of typical parts.
struct RelayType {
    std::string name;
    std::string title;
    Amps contact;
    std::optional<Amps> contact_break;
    Ohms coil;
    Volts pulls_in;
    Volts drops_out;
    Origin origin;
};

/// A cell grid of a table for people: `tables NAME` prints it.
struct TableView {
    std::string name;
    std::string description;
    std::string source;
    std::string edition;
    std::string licence;
    std::string validity;
    std::vector<std::string> columns;           ///< with their units: "r20-bare (mohm/m)"
    std::vector<std::vector<std::string>> rows; ///< last two columns: provenance, source
    std::vector<std::string> notes;
};

/// All built-in tables. Read once by `load_catalogue`, owned by the caller; const once the curves
/// of a vehicle file are taken.
class Catalogue {
public:
    [[nodiscard]] const Conductor* find_conductor(const ConductorSize& size) const;
    /// Conductors of a standard by rising area.
    [[nodiscard]] std::span<const Conductor> conductors(SizeStandard standard) const;
    [[nodiscard]] const Insulation* find_insulation(std::string_view name) const;
    [[nodiscard]] std::span<const Insulation> insulations() const;
    /// What a wire gets whose insulation nothing names.
    [[nodiscard]] const Insulation& default_insulation() const;
    /// Outside diameter of a conductor in an insulation: the table's maximum, or strand + 2 walls.
    [[nodiscard]] Metres outside_diameter(const Conductor& conductor,
                                          const Insulation& insulation) const;
    /// The same with its origin, and whether the tables reach that far.
    [[nodiscard]] static const OutsideDiameter& outside(const Conductor& conductor,
                                                        const Insulation& insulation);
    /// Mass of a metre of insulated wire, kg/m.
    [[nodiscard]] double mass_kg_per_m(const Conductor& conductor,
                                       const Insulation& insulation) const;
    /// The same of any copper area, strand and outside diameter.
    [[nodiscard]] double mass_kg_per_m(SquareMetres copper, Metres strand, Metres outside_diameter,
                                       double insulation_kg_per_m3) const;
    [[nodiscard]] const FuseFamily* find_fuse_family(std::string_view name) const;
    [[nodiscard]] std::span<const FuseFamily> fuse_families() const;
    /// The family of a protective device, with the curve that the vehicle file has for it alone;
    /// nullptr for one that the tables do not have.
    [[nodiscard]] const FuseFamily* find_fuse_family(const Vehicle& vehicle, DeviceId device) const;
    /// Takes the curves of a vehicle file: they go before the tables' gates. Once, for one vehicle.
    void take_curves(const Vehicle& vehicle);
    [[nodiscard]] const DropLimit* find_drop_limit(std::string_view name) const;
    [[nodiscard]] std::span<const DropLimit> drop_limits() const;
    [[nodiscard]] std::span<const RelayType> relays() const;
    /// The cover of this name; nullptr for none, also for "".
    [[nodiscard]] const CoverType* find_cover(std::string_view name) const;
    [[nodiscard]] std::span<const CoverType> covers() const;
    [[nodiscard]] std::span<const CoverSize> cover_sizes() const;
    /// The smallest size of a cover that takes a bundle of this diameter; nullptr for none.
    [[nodiscard]] const CoverSize* find_cover_size(std::string_view cover, Metres bundle) const;
    /// The fitting of this kind; nullptr for one that the tables do not have.
    [[nodiscard]] const FittingType* find_fitting(std::string_view name) const;
    [[nodiscard]] std::span<const FittingType> fittings() const { return fittings_; }
    /// The smallest barrel of a splice that takes wires of this area together; nullptr for none.
    [[nodiscard]] const FittingType* find_splice_barrel(SquareMetres sum) const;
    /// What comes off for this kind of barrel; of a larger area than the table's last, its last.
    [[nodiscard]] Metres strip_length(std::string_view barrel, SquareMetres area) const;
    /// The default of this name; the names are a closed list, an unknown one is a broken invariant.
    [[nodiscard]] const DefaultValue& default_value(std::string_view name) const;
    [[nodiscard]] std::span<const DefaultValue> defaults() const;
    /// Factor for `wires` loaded conductors in one bundle at a share of loading 0..1, between rows
    /// and columns linear; nothing outside the table (more wires than its last row). Under 20 % of
    /// loading the 20 % column holds, which is the lower.
    [[nodiscard]] std::optional<double> bundle_factor(int wires, double loading) const;
    [[nodiscard]] int bundle_factor_last_row() const;

    /// The names `view` knows, in the order they are listed to people.
    [[nodiscard]] std::vector<std::string> table_names() const;
    /// A table as people read it, with both figures where sources disagree; its data file is read
    /// anew.
    [[nodiscard]] std::optional<TableView> view(std::string_view name) const;

private:
    friend class CatalogueReader;
    std::array<std::vector<Conductor>, 3> conductors_; ///< by SizeStandard, by rising area
    std::vector<Insulation> insulations_;
    std::vector<FuseFamily> fuses_;
    std::vector<std::pair<DeviceId, FuseFamily>> device_fuses_; ///< with a curve of their own
    std::vector<DropLimit> drops_;
    std::vector<RelayType> relays_;
    std::vector<CoverType> covers_;
    std::vector<CoverSize> cover_sizes_;
    std::vector<FittingType> fittings_;
    std::vector<StripLength> strip_lengths_;
    std::vector<DefaultValue> defaults_;
    std::vector<std::size_t> defaults_by_name_; ///< indices into defaults_
    std::vector<BundleFactor> bundles_;
};

/// Reads the embedded data files. A fault in them is reported like one in a user's file.
[[nodiscard]] Catalogue load_catalogue(SourceFiles& files, Findings& findings);

/// One spelling of a size's number: "1.50" -> "1.5", "0" and "1/0" -> "1/0", "0000" and "4/0" ->
/// "4/0".
[[nodiscard]] std::string normal_size_name(SizeStandard standard, std::string_view name);

/// R20 corrected to a conductor temperature: R20 (1 + 0.00393 (T - 20 C)), copper (IEC 60028).
[[nodiscard]] constexpr double resistance_at(double r20, Celsius temperature) {
    return r20 * (1.0 + 0.00393 * (temperature.value() - 20.0));
}

} // namespace loomwright
