// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <span>
#include <string>
#include <vector>

namespace loomwright {

/// The device's terminal at a node; "" when none of its own is there, as inside a starter.
[[nodiscard]] std::string terminal_at(const StudyInput& input, DeviceId device, int node);

/// What a branch is to people: "12.2", "F10", "X3.1", "K3.30-87", "A1.fan", "GND2", "M1 case",
/// "engine-loom.power-feed".
[[nodiscard]] std::string branch_name(const StudyInput& input, int index);

/// The names along a way of branches, each once where several of one device follow each other.
[[nodiscard]] std::vector<std::string> way_names(const StudyInput& input, std::span<const int> way);

} // namespace loomwright
