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

/// Conductors that nothing opens: wires, supplied leads, joints of connectors, a meter's shunt.
[[nodiscard]] constexpr bool is_copper(BranchKind kind) {
    return kind == BranchKind::wire || kind == BranchKind::lead || kind == BranchKind::joint ||
           kind == BranchKind::shunt;
}

/// Copper and the metal of the car with what joins it.
[[nodiscard]] constexpr bool is_copper_or_metal(BranchKind kind) {
    return is_copper(kind) || kind == BranchKind::bond || kind == BranchKind::strap;
}

/// What only conducts: it may cost a load voltage without being a load, a coil or a part meant to
/// drop it.
[[nodiscard]] constexpr bool is_conductor(BranchKind kind) {
    return is_copper_or_metal(kind) || kind == BranchKind::protection ||
           kind == BranchKind::contact || kind == BranchKind::output;
}

} // namespace loomwright
