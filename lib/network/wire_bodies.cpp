// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/wire_bodies.hpp"

namespace loomwright {

WireBodies wire_bodies(const Catalogue& catalogue, const Design& design) {
    WireBodies out;
    out.outside_m.reserve(design.wires.size());
    out.kg_per_m.reserve(design.wires.size());
    for (const WireDesign& wire : design.wires) {
        out.outside_m.push_back(
            catalogue.outside_diameter(*wire.conductor, *wire.insulation).value());
        out.kg_per_m.push_back(catalogue.mass_kg_per_m(*wire.conductor, *wire.insulation));
    }
    return out;
}

} // namespace loomwright
