// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checked.hpp"

#include <memory>
#include <string>

namespace loomwright {

/// A vehicle that must come through its sizing, as it is sized and checked.
[[nodiscard]] std::unique_ptr<Checked> checked(const std::string& text);

} // namespace loomwright
