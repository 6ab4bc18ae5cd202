// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/bundles.hpp"

#include "solve/warming.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace loomwright {

std::optional<solve::Cover> heat_cover(const Catalogue& catalogue, std::string_view name) {
    const CoverType* type = catalogue.find_cover(name);
    if (type == nullptr) {
        return std::nullopt;
    }
    solve::Cover out;
    out.gap_m = type->gap.value();
    out.wall_m = type->wall.value();
    out.wall_w_per_m_k = type->conductivity_w_per_m_k;
    out.emissivity = type->emissivity;
    if (type->duct) {
        out.duct_u = (*type->duct)[0];
        out.duct_v = (*type->duct)[1];
        out.duct_y = (*type->duct)[2];
    }
    return out;
}

solve::WireBody heat_body(const Catalogue& catalogue, const Conductor& conductor,
                          const Insulation& insulation) {
    return {.r20_ohm_per_m = conductor.r20_ohm_per_m,
            .conductor_diameter_m = conductor.diameter.value(),
            .outside_diameter_m = catalogue.outside_diameter(conductor, insulation).value(),
            .insulation_w_per_m_k = insulation.conductivity_w_per_m_k,
            .emissivity = catalogue.default_value("emissivity").value};
}

BundleBody bundle_body(const StudyInput& input, const Design& design, RunId run) {
    double square_sum = 0.0;
    double conductivity = input.catalogue.default_value("bundle-conductivity").value;
    for (const WireId wire : input.routing.run_wires[run.index()]) {
        const WireDesign& made = design.wires[wire.index()];
        const double d =
            input.catalogue.outside_diameter(*made.conductor, *made.insulation).value();
        square_sum += d * d;
        conductivity = std::min(conductivity, made.insulation->conductivity_w_per_m_k);
    }
    return {solve::Skin(std::sqrt(square_sum), input.catalogue.default_value("emissivity").value,
                        heat_cover(input.catalogue, input.vehicle.run(run).cover)),
            conductivity};
}

Bundles::Bundles(const StudyInput& input) : covers{std::nullopt}, input_(input) {
    const std::size_t wire_count = input.vehicle.wires.size();
    std::vector<std::string_view> names{""};
    covers_of_wire.assign(wire_count, 1);
    first_of_wire.assign(wire_count + 1, 0);
    for (std::size_t r = 0; r < input.vehicle.runs.size(); ++r) {
        const std::vector<WireId>& wires = input.routing.run_wires[r];
        const std::string_view name = input.vehicle.runs[r].cover;
        const bool is_covered = input.catalogue.find_cover(name) != nullptr;
        if (wires.empty() || (wires.size() == 1 && !is_covered)) {
            continue;
        }
        auto found = std::ranges::find(names, is_covered ? name : "");
        if (found == names.end()) {
            names.push_back(name);
            covers.push_back(heat_cover(input.catalogue, name));
            found = names.end() - 1;
        }
        const auto bit = static_cast<std::uint8_t>(1U << (found - names.begin()));
        Bundle& bundle = bundles.emplace_back();
        bundle.run = RunId(r);
        bundle.first = places.size();
        bundle.last = places.size() + wires.size();
        for (const WireId wire : wires) {
            places.push_back(
                {.wire = wire, .bundle = static_cast<std::uint32_t>(bundles.size() - 1)});
            covers_of_wire[wire.index()] |= bit;
            ++first_of_wire[wire.index() + 1];
        }
    }
    for (std::size_t i = 0; i < wire_count; ++i) {
        first_of_wire[i + 1] += first_of_wire[i];
    }
    bodies.resize(places.size());
    place_of_wire.resize(places.size());
    std::vector<std::size_t> next(first_of_wire.begin(), first_of_wire.end() - 1);
    for (std::size_t p = 0; p < places.size(); ++p) {
        place_of_wire[next[places[p].wire.index()]++] = static_cast<std::uint32_t>(p);
    }
}

void Bundles::set_design(const Design& design, const std::vector<std::uint8_t>& wire_changed) {
    for (Bundle& bundle : bundles) {
        for (std::size_t p = bundle.first; p < bundle.last; ++p) {
            if (wire_changed[places[p].wire.index()] != 0) {
                settle(bundle, design);
                break;
            }
        }
    }
}

void Bundles::settle(Bundle& bundle, const Design& design) {
    const BundleBody made = bundle_body(input_, design, bundle.run);
    bundle.skin = made.skin;
    double most_inside = 0.0;
    bundle.j_per_k_m = 0.0;
    for (std::size_t p = bundle.first; p < bundle.last; ++p) {
        Place& place = places[p];
        const WireDesign& wire = design.wires[place.wire.index()];
        bodies[p] =
            solve::wire_in_bundle(heat_body(input_.catalogue, *wire.conductor, *wire.insulation),
                                  made.skin.diameter_m(), made.conductivity_w_per_m_k);
        place.j_per_k_m = solve::copper_j_per_m_k(wire.conductor->copper_area.value());
        bundle.j_per_k_m += place.j_per_k_m;
        most_inside = std::max(most_inside, bodies[p].own_k_m_per_w);
    }
    bundle.most_k_m_per_w = made.skin.most_k_m_per_w() + most_inside +
                            1.0 / (4.0 * std::numbers::pi * made.conductivity_w_per_m_k);
}

} // namespace loomwright
