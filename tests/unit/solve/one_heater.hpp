// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "solve/circuit.hpp"

#include <cstdint>
#include <vector>

namespace loomwright::solve::testing {

inline std::vector<std::uint8_t> all_in_force(const Circuit& circuit) {
    return std::vector<std::uint8_t>(circuit.branch_count(), 1);
}

/// A battery of 12 V behind 0.1 ohm at node 1, a wire of 0.4 ohm to node 2, a heater of 5.5 ohm
/// there, ground at node 0.
inline Circuit one_heater() {
    Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(Law::source, 1, 0, 12.0, 10.0);
    circuit.add(Law::conductance, 1, 2, 1.0 / 0.4);
    circuit.add(Law::conductance, 2, 0, 1.0 / 5.5);
    return circuit;
}

} // namespace loomwright::solve::testing
