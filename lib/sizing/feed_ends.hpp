// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// A conductor or closed contact between two nodes of one piece of copper.
struct PieceEdge {
    int a = 0; ///< node
    int b = 0;
};

/// For each edge of a connected piece, which entries lie on its `a` side: bit i set = the current
/// of the entry at `entry_nodes[i]` comes to the edge from there, the others' from its `b` side.
/// Nothing for an edge with another way around it, whose sides are one. At most 64 entries.
[[nodiscard]] std::vector<std::optional<std::uint64_t>>
entries_on_side_a(std::span<const PieceEdge> edges, std::span<const int> entry_nodes);

} // namespace loomwright
