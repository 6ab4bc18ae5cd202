// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <cstddef>

namespace loomwright {

/// A device that is one element or several between its terminals: it has a voltage and a current.
/// The rest have no state of their own.
[[nodiscard]] inline bool has_element(const StudyInput& study, std::size_t device) {
    return study.vehicle.devices[device].as<Connector>() == nullptr &&
           device < study.network.device_branches.size() &&
           !study.network.device_branches[device].empty();
}

} // namespace loomwright
