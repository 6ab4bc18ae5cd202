// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <unordered_map>
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

/// A piece parted into meshes: edges of which any two lie on one ring. An edge on no ring is a mesh
/// by itself, one from a place to itself is in none. All ways from a node to the root that pass no
/// place twice lead through the same meshes, and every edge of those lies on one of the ways.
struct Meshes {
    std::vector<std::vector<std::size_t>> edges; ///< by mesh
    std::vector<int> next;                       ///< by mesh, on the way to the root; -1: none
    std::unordered_map<int, int> first; ///< by node: the mesh that it leaves by; not of the root
};
[[nodiscard]] Meshes meshes_towards(int root, std::span<const PieceEdge> edges);

} // namespace loomwright
