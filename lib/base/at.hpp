// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>

namespace loomwright {

/// The place in a list of a node or branch, whose numbers are signed because -1 says "none".
[[nodiscard]] constexpr std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

} // namespace loomwright
