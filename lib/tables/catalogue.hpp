// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/quantity.hpp"
#include "diag/finding.hpp"
#include "model/parts.hpp"

#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <string>
#include <string_view>
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

/// A conductor of one standard.
struct Conductor {
    ConductorSize size;
    SquareMetres area;           ///< nominal (ISO), least (SAE), geometric (AWG)
    double r20_ohm_per_m = 0.0;  ///< the figure that is used: the safe one where sources disagree
    Origin r20_origin;
    Metres diameter;             ///< of the bare strand
    Origin diameter_origin;
    bool is_standard_size = true; ///< false: a vendor's size that `auto` does not pick
    std::string note;
};

/// An insulation family.
struct Insulation {
    std::string name;     ///< as written in a vehicle file: "thin-wall xlpe"
    std::string title;
    Celsius limit;        ///< continuous temperature class
    Origin limit_origin;
    Celsius short_time;   ///< end temperature of the adiabatic equation
    double k_a_sqrt_s_per_mm2 = 0.0; ///< from `limit` to `short_time`, copper
    double conductivity_w_per_m_k = 0.2;
    double density_kg_per_m3 = 1400.0;
    std::vector<SizeStandard> standards; ///< which conductors it is sold on; empty: any
    std::string note;
};

/// One gate of a time-current band: at this multiple of the rating, opens within [shortest, longest].
struct FuseGate {
    double multiple = 1.0;
    std::optional<Seconds> shortest;
    std::optional<Seconds> longest;
    Origin origin;
};

struct FuseRating {
    Amps rating;
    std::string colour;               ///< "" where no standard colour exists
    std::optional<Ohms> cold;         ///< typical cold resistance
    Origin cold_origin;
};

/// A family of fuses, breakers or links.
struct FuseFamily {
    std::string name; ///< "blade", "mini-blade", "maxi-blade", "strip", ...
    std::string title;
    std::string standard;
    ProtectionKind kind = ProtectionKind::fuse;
    std::vector<FuseRating> ratings; ///< ascending
    std::vector<FuseGate> gates;     ///< ascending
    std::optional<Amps> breaking_capacity;
    Origin breaking_origin;
    double derating_per_k = 0.0;     ///< share of the rating lost for each kelvin above `derating_from`
    Celsius derating_from{20.0};
    Origin derating_origin;
    double hot_over_cold = 1.5;      ///< resistance at rated current over cold
    std::string note;

    [[nodiscard]] const FuseRating* find(Amps rating) const;
    /// Smallest multiple of the rating at which the device is sure to open, and within what time.
    [[nodiscard]] std::optional<FuseGate> sure_to_open() const;
};

/// A permitted voltage drop of a class of circuits.
struct DropLimit {
    std::string name;  ///< "lighting", "motor"
    std::string title;
    Volts at_12_v;     ///< whole circuit; scaled by nominal / 12 V where no 24 V figure is given
    std::optional<Volts> at_24_v;
    Origin origin;
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
    double at_20 = 1.0, at_40 = 1.0, at_60 = 1.0, at_80 = 1.0, at_100 = 1.0; ///< share of loading
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
    std::string validity;
    std::vector<std::string> columns;
    std::vector<std::vector<std::string>> rows; ///< last two columns: provenance, source
    std::vector<std::string> notes;
};

/// All built-in tables. Read once by `load_catalogue`, const afterwards, owned by the caller.
class Catalogue {
public:
    [[nodiscard]] const Conductor* find_conductor(const ConductorSize& size) const;
    /// Conductors of a standard by rising area.
    [[nodiscard]] std::span<const Conductor> conductors(SizeStandard standard) const;
    [[nodiscard]] const Insulation* find_insulation(std::string_view name) const;
    [[nodiscard]] std::span<const Insulation> insulations() const;
    /// Outside diameter of a conductor in an insulation: the table's maximum, or strand + 2 walls.
    [[nodiscard]] Metres outside_diameter(const Conductor& conductor, const Insulation& insulation) const;
    /// Mass of a metre of insulated wire, kg/m.
    [[nodiscard]] double mass_kg_per_m(const Conductor& conductor, const Insulation& insulation) const;
    [[nodiscard]] const FuseFamily* find_fuse_family(std::string_view name) const;
    [[nodiscard]] std::span<const FuseFamily> fuse_families() const;
    [[nodiscard]] const DropLimit* find_drop_limit(std::string_view name) const;
    [[nodiscard]] std::span<const DropLimit> drop_limits() const;
    [[nodiscard]] std::span<const RelayType> relays() const;
    /// The default of this name; the names are a closed list, an unknown one is a broken invariant.
    [[nodiscard]] const DefaultValue& default_value(std::string_view name) const;
    [[nodiscard]] std::span<const DefaultValue> defaults() const;
    /// Factor for `wires` loaded conductors in one bundle at a share of loading 0..1, between rows and
    /// columns linear; nothing outside the table (more than its last row).
    [[nodiscard]] std::optional<double> bundle_factor(int wires, double loading) const;
    [[nodiscard]] int bundle_factor_last_row() const;

    [[nodiscard]] std::vector<std::string> table_names() const;
    [[nodiscard]] std::optional<TableView> view(std::string_view name) const;

private:
    friend class CatalogueReader;
    std::vector<Conductor> iso_, sae_, awg_;
    std::vector<Insulation> insulations_;
    std::vector<FuseFamily> fuses_;
    std::vector<DropLimit> drops_;
    std::vector<RelayType> relays_;
    std::vector<DefaultValue> defaults_;
    std::vector<BundleFactor> bundles_;
    std::vector<TableView> views_;
    struct OutsideDiameter {
        ConductorSize size;
        std::string insulation;
        Metres diameter;
        Origin origin;
    };
    std::vector<OutsideDiameter> outside_;
    struct Wall {
        std::string insulation;
        SizeStandard standard;
        SquareMetres up_to;
        Metres wall;
    };
    std::vector<Wall> walls_;
};

/// Reads the embedded data files. A fault in them is reported like one in a user's file.
[[nodiscard]] Catalogue load_catalogue(SourceFiles& files, Findings& findings);

/// R20 corrected to a conductor temperature: R20 (1 + 0.00393 (T - 20 C)), copper (IEC 60028).
[[nodiscard]] constexpr double resistance_at(double r20, Celsius temperature) {
    return r20 * (1.0 + 0.00393 * (temperature.value() - 20.0));
}

} // namespace loomwright
