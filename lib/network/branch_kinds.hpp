// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

namespace loomwright {

/// What drives current.
[[nodiscard]] constexpr bool is_source(BranchKind kind) {
    return kind == BranchKind::battery || kind == BranchKind::alternator ||
           kind == BranchKind::charger;
}

/// Conductors that nothing opens: wires, supplied leads, joints of connectors.
[[nodiscard]] constexpr bool is_copper(BranchKind kind) {
    return kind == BranchKind::wire || kind == BranchKind::lead || kind == BranchKind::joint;
}

/// Copper and the metal of the car with what joins it.
[[nodiscard]] constexpr bool is_copper_or_metal(BranchKind kind) {
    return is_copper(kind) || kind == BranchKind::bond || kind == BranchKind::strap;
}

} // namespace loomwright
