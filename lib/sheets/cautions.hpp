// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <span>
#include <string_view>

namespace loomwright {

/// What every paper that leaves the house opens with.
[[nodiscard]] std::span<const std::string_view> cautions();

} // namespace loomwright
