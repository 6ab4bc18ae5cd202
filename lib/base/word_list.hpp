// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <vector>

namespace loomwright {

/// "1.2, 1.3 and 4.1".
[[nodiscard]] std::string list_of(const std::vector<std::string>& words);

} // namespace loomwright
