// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <vector>

namespace loomwright::draw {

/// A node of a graph in the DOT language.
struct DotNode {
    std::string id;
    std::string label; ///< as the user wrote it
    std::string shape;
    int cluster = -1;
};
struct DotEdge {
    std::string from;
    std::string to;
    std::string label;
    double width = 1.0;
};
struct DotGraph {
    std::string title;
    std::vector<std::string> clusters; ///< their labels
    std::vector<DotNode> nodes;
    std::vector<DotEdge> edges;
};

/// The graph as text in the DOT language, in the order given; every text is quoted.
[[nodiscard]] std::string write_dot(const DotGraph& graph);

} // namespace loomwright::draw
