// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <vector>

namespace loomwright {

/// By DeviceId: how many batteries stand in a battery's row, plus to minus, it included; 0 for
/// other devices. Wires, leads, plugs and protective devices join the row; the metal of the car
/// does not.
[[nodiscard]] std::vector<int> battery_rows(const Vehicle& vehicle, const Network& network);

} // namespace loomwright
