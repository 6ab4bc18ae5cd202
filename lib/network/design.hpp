// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/routing.hpp"
#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <optional>
#include <vector>

namespace loomwright {

/// The copper, insulation and length a wire has in the design that is computed.
struct WireDesign {
    const Conductor* conductor = nullptr;
    const Insulation* insulation = nullptr;
    Metres length;
    [[nodiscard]] double r20_ohm() const { return conductor->r20_ohm_per_m * length.value(); }
};

/// Sizes and ratings with every `auto` replaced by a choice.
struct Design {
    std::vector<WireDesign> wires;            ///< by WireId
    std::vector<std::optional<Amps>> ratings; ///< by DeviceId: of protective devices
};

} // namespace loomwright
