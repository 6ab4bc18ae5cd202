// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <utility>
#include <vector>

namespace loomwright {

/// The immediate dominator of every vertex of a directed graph (Lengauer and Tarjan, Boost.Graph):
/// the last vertex that every way from `root` to it passes. -1 for the root and for what it does
/// not reach.
[[nodiscard]] std::vector<int>
immediate_dominators(int vertex_count, const std::vector<std::pair<int, int>>& edges, int root);

} // namespace loomwright
