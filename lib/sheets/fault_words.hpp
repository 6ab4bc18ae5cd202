// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/fault_sheets.hpp"

#include <string>
#include <vector>

namespace loomwright {

[[nodiscard]] std::string device_list(const StudyInput& study,
                                      const std::vector<DeviceId>& devices);

} // namespace loomwright
