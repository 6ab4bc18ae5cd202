// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// Wires of one `twisted` name that lead from the same part to the same part: what can be twisted
/// together.
struct Twist {
    std::string name;
    std::vector<WireId> wires; ///< in the order of the file; one alone has nothing to twist with
};

/// Every wire with a `twisted` name in its twist, in the order of the file. The halves of a pair
/// may stand the other way round, and splices, studs and grounds at one point count as one part; a
/// device of a unit is its unit.
[[nodiscard]] std::vector<Twist> twists(const Vehicle& vehicle);

} // namespace loomwright
