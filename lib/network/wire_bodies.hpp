// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "loom/bundle.hpp"
#include "network/design.hpp"

namespace loomwright {

/// What the wires of a design are to their bundles: outside diameters and masses of the tables.
[[nodiscard]] WireBodies wire_bodies(const Catalogue& catalogue, const Design& design);

} // namespace loomwright
