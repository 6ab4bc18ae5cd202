// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <functional>

namespace loomwright {

/// Calls `work` once on the calling thread and once on each of `helpers` further ones, with the
/// number of the call (0: the caller's), and returns when all have returned. An exception of one is
/// thrown on from here, of several that with the lowest number.
void side_by_side(std::size_t helpers, const std::function<void(std::size_t)>& work);

} // namespace loomwright
