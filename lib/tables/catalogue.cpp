// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "tables/catalogue.hpp"

#include "tables/catalogue_reader.hpp"

#include "base/display.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

// Mass of a metre of wire: m = f (rho_cu S + rho_ins pi/4 (D^2 - d^2)), S copper area, d strand and
// D outside diameter, f the lay factor of the defaults. Checked against the printed masses of JIS C
// 3406.

namespace loomwright {
namespace {

constexpr std::array<double, 5> loading_columns{0.2, 0.4, 0.6, 0.8, 1.0};

/// "1.50" -> "1.5", "2.0" -> "2"; anything that is not a plain decimal stays as it is.
std::string without_trailing_zeros(std::string_view name) {
    std::string out(name);
    if (out.find('.') == std::string::npos ||
        out.find_first_not_of("0123456789.") != std::string::npos) {
        return out;
    }
    while (out.back() == '0') {
        out.pop_back();
    }
    if (out.back() == '.') {
        out.pop_back();
    }
    return out.empty() ? "0" : out;
}

} // namespace

std::string_view wall_kind_name(WallKind kind) {
    switch (kind) {
    case WallKind::ultra_thin:
        return "ultra-thin";
    case WallKind::thin:
        return "thin";
    case WallKind::middle:
        return "middle";
    case WallKind::thick:
        return "thick";
    case WallKind::battery:
        return "battery";
    }
    return "thin";
}

std::string normal_size_name(SizeStandard standard, std::string_view name) {
    if (standard == SizeStandard::iso) {
        const std::string out = without_trailing_zeros(name);
        return out.starts_with('.') ? "0" + out : out;
    }
    if (!name.empty() && name.find_first_not_of('0') == std::string_view::npos) {
        return std::to_string(name.size()) + "/0";
    }
    return std::string(name);
}

const FuseRating* FuseFamily::find(Amps rating) const {
    const auto same = [rating](const FuseRating& row) { return row.rating == rating; };
    const auto found = std::ranges::find_if(ratings, same);
    return found == ratings.end() ? nullptr : &*found;
}

std::string FuseFamily::show_next_ratings(Amps least, Amps most) const {
    const auto above = std::ranges::upper_bound(ratings, most, {}, &FuseRating::rating);
    const auto from = std::ranges::lower_bound(ratings, least, {}, &FuseRating::rating);
    std::string out = from == ratings.begin() ? std::string() : show((from - 1)->rating);
    if (above != ratings.end()) {
        out += (out.empty() ? "" : " and ") + show(above->rating);
    }
    return out;
}

std::optional<FuseGate> FuseFamily::sure_to_open() const {
    const auto opens = [](const FuseGate& gate) { return gate.longest.has_value(); };
    const auto found = std::ranges::find_if(gates, opens);
    return found == gates.end() ? std::nullopt : std::optional<FuseGate>(*found);
}

std::vector<FuseGate> FuseFamily::gates_of(Amps rating) const {
    std::vector<FuseGate> out;
    for (const FuseGate& gate : rating_gates) {
        if (gate.least <= rating && rating <= gate.most) {
            if (gate.is_own && !out.empty() && !out.front().is_own) {
                out.clear();
            }
            out.push_back(gate);
        }
    }
    return out;
}

const Conductor* Catalogue::find_conductor(const ConductorSize& size) const {
    const std::string name = normal_size_name(size.standard, size.name);
    for (const Conductor& row : conductors(size.standard)) {
        if (row.size.name == name) {
            return &row;
        }
    }
    return nullptr;
}

std::span<const Conductor> Catalogue::conductors(SizeStandard standard) const {
    return conductors_.at(static_cast<std::size_t>(standard));
}

const Insulation* Catalogue::find_insulation(std::string_view name) const {
    const auto found = std::ranges::find(insulations_, name, &Insulation::name);
    return found == insulations_.end() ? nullptr : &*found;
}

std::span<const Insulation> Catalogue::insulations() const {
    return insulations_;
}

const Insulation& Catalogue::default_insulation() const {
    return insulations_.front();
}

const OutsideDiameter& Catalogue::outside(const Conductor& conductor,
                                          const Insulation& insulation) {
    return conductor.outside.at(static_cast<std::size_t>(insulation.wall));
}

Metres Catalogue::outside_diameter(const Conductor& conductor, const Insulation& insulation) const {
    return outside(conductor, insulation).diameter;
}

double Catalogue::mass_kg_per_m(const Conductor& conductor, const Insulation& insulation) const {
    return mass_kg_per_m(conductor.area, conductor.diameter,
                         outside_diameter(conductor, insulation), insulation.density_kg_per_m3);
}

double Catalogue::mass_kg_per_m(SquareMetres copper, Metres strand, Metres outside_diameter,
                                double insulation_kg_per_m3) const {
    const double ring = round_area(outside_diameter).value() - round_area(strand).value();
    return default_value("lay-factor").value *
           (default_value("copper-density").value * copper.value() + insulation_kg_per_m3 * ring);
}

const FuseFamily* Catalogue::find_fuse_family(std::string_view name) const {
    const auto found = std::ranges::find(fuses_, name, &FuseFamily::name);
    return found == fuses_.end() ? nullptr : &*found;
}

std::span<const FuseFamily> Catalogue::fuse_families() const {
    return fuses_;
}

const DropLimit* Catalogue::find_drop_limit(std::string_view name) const {
    const auto found = std::ranges::find(drops_, name, &DropLimit::name);
    return found == drops_.end() ? nullptr : &*found;
}

std::span<const DropLimit> Catalogue::drop_limits() const {
    return drops_;
}

std::span<const RelayType> Catalogue::relays() const {
    return relays_;
}

const DefaultValue& Catalogue::default_value(std::string_view name) const {
    const auto name_of = [this](std::size_t index) -> std::string_view {
        return defaults_[index].name;
    };
    const auto found = std::ranges::lower_bound(defaults_by_name_, name, {}, name_of);
    if (found == defaults_by_name_.end() || defaults_[*found].name != name) {
        throw std::logic_error("no default is called " + std::string(name));
    }
    return defaults_[*found];
}

std::span<const DefaultValue> Catalogue::defaults() const {
    return defaults_;
}

std::optional<double> Catalogue::bundle_factor(int wires, double loading) const {
    const auto found = std::ranges::find(bundles_, std::max(wires, 1), &BundleFactor::wires);
    if (found == bundles_.end() || !(loading >= 0.0) || loading > loading_columns.back()) {
        return std::nullopt;
    }
    if (loading <= loading_columns.front()) {
        return found->at.front();
    }
    std::size_t upper = 1;
    while (loading > loading_columns.at(upper)) {
        ++upper;
    }
    const double share = (loading - loading_columns.at(upper - 1)) /
                         (loading_columns.at(upper) - loading_columns.at(upper - 1));
    return std::lerp(found->at.at(upper - 1), found->at.at(upper), share);
}

int Catalogue::bundle_factor_last_row() const {
    return bundles_.empty() ? 0 : bundles_.back().wires;
}

} // namespace loomwright
