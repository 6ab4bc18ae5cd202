// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/routing.hpp"

#include <compare>
#include <optional>
#include <vector>

namespace loomwright {

/// Where a cable ends: at a point, or at a part that has none.
struct CableEnd {
    PointId point;
    DeviceId device; ///< invalid where there is a point
    friend auto operator<=>(const CableEnd&, const CableEnd&) = default;
};

/// The cable that a shield is round: its wires one after another, through connectors and splices.
struct ScreenedCable {
    std::vector<CableEnd>
        ends; ///< where it begins and stops, in the order of the file; two if good
    std::optional<WireId> strays; ///< leads from one end to another by other runs than the rest
    bool lies_in_run = false;
};

[[nodiscard]] ScreenedCable screened_cable(const Vehicle& vehicle, const Routing& routing,
                                           const Shield& shield);

/// True for a terminal of the part, or at the point, where a cable ends.
[[nodiscard]] bool is_at(const Vehicle& vehicle, TerminalRef terminal, const CableEnd& end);
/// True as well where one of the two has no place, so that nobody knows.
[[nodiscard]] bool may_be_at(const Vehicle& vehicle, TerminalRef terminal, const CableEnd& end);

} // namespace loomwright
