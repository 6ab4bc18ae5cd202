// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/dominators.hpp"

#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dominator_tree.hpp>

#include <cstdint>

namespace loomwright {
namespace {

/// By vertex: 1 when the root leads to it.
std::vector<std::uint8_t> reached_from(int root, std::size_t count,
                                       const std::vector<std::pair<int, int>>& edges) {
    std::vector<std::vector<int>> next(count);
    for (const auto& [from, to] : edges) {
        next[static_cast<std::size_t>(from)].push_back(to);
    }
    std::vector<std::uint8_t> reached(count, 0);
    std::vector<int> open{root};
    while (!open.empty()) {
        const auto here = static_cast<std::size_t>(open.back());
        open.pop_back();
        if (reached[here] == 0) {
            reached[here] = 1;
            open.insert(open.end(), next[here].begin(), next[here].end());
        }
    }
    return reached;
}

} // namespace

std::vector<int> immediate_dominators(int vertex_count,
                                      const std::vector<std::pair<int, int>>& edges, int root) {
    using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::bidirectionalS>;
    using Vertex = boost::graph_traits<Graph>::vertex_descriptor;
    const auto count = static_cast<std::size_t>(vertex_count);
    Graph graph(count);
    // The library takes an edge from where the root does not lead for one from the root itself.
    const std::vector<std::uint8_t> reached = reached_from(root, count, edges);
    for (const auto& [from, to] : edges) {
        if (reached[static_cast<std::size_t>(from)] != 0) {
            boost::add_edge(static_cast<Vertex>(from), static_cast<Vertex>(to), graph);
        }
    }
    const Vertex none = boost::graph_traits<Graph>::null_vertex();
    std::vector<Vertex> dominator(count, none);
    boost::lengauer_tarjan_dominator_tree(
        graph, static_cast<Vertex>(root),
        boost::make_iterator_property_map(dominator.begin(),
                                          boost::get(boost::vertex_index, graph)));
    std::vector<int> out(count, -1);
    for (std::size_t i = 0; i < count; ++i) {
        if (dominator[i] != none) {
            out[i] = static_cast<int>(dominator[i]);
        }
    }
    return out;
}

} // namespace loomwright
