// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/routing.hpp"
#include "model/vehicle.hpp"
#include "network/design.hpp"
#include "tables/catalogue.hpp"

#include <stdexcept>

namespace loomwright::testing {

/// The built-in tables.
inline Catalogue tables() {
    SourceFiles files;
    Findings findings;
    Catalogue catalogue = load_catalogue(files, findings);
    if (!findings.empty()) {
        throw std::runtime_error("the built-in tables have faults");
    }
    return catalogue;
}

/// Sizes as written (2.5 mm2 where nothing is), lengths as routed, ratings as written (20 A where
/// nothing is).
inline Design design_as_written(const Vehicle& vehicle, const Catalogue& catalogue,
                                const Routing& routing) {
    Design design;
    const Insulation* fallback = &catalogue.insulations().front();
    for (std::size_t i = 0; i < vehicle.wires.size(); ++i) {
        const Wire& wire = vehicle.wires[i];
        WireDesign made;
        made.conductor = catalogue.find_conductor(
            wire.size ? wire.size->value : ConductorSize{SizeStandard::iso, "2.5"});
        if (made.conductor == nullptr) {
            throw std::runtime_error("no such conductor: wire " + wire.number);
        }
        const Insulation* insulation = catalogue.find_insulation(wire.insulation.value);
        made.insulation = insulation != nullptr ? insulation : fallback;
        made.length = routing.wires[i].length;
        design.wires.push_back(made);
    }
    for (const Device& device : vehicle.devices) {
        const auto* protection = device.as<Protection>();
        design.ratings.push_back(protection != nullptr ? protection->rating.value_or(Amps(20.0))
                                                       : std::optional<Amps>());
    }
    return design;
}

} // namespace loomwright::testing
