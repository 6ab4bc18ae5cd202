// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Cheapest ways by Dijkstra's algorithm (Boost.Graph). The tree is made from the distances
// afterwards, so that ways of equal cost are chosen by the order of the file and not by the order
// in which the heap happened to give the points out.
#include "loom/ways.hpp"

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths_no_color_map.hpp>

namespace loomwright {
namespace {

struct RunEdge {
    std::size_t run = 0;
};

using Graph = boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS,
                                    boost::no_property, RunEdge>;

constexpr double least_run_m = 1e-6; ///< a run of no length would let a tree bite its own tail
constexpr double equal_m = 1e-9;     ///< two ways nearer than this are equally good

} // namespace

struct Ways::Impl {
    Graph graph;
    std::vector<std::size_t> from;
    std::vector<std::size_t> to;
    std::vector<double> run_cost_m;
};

Ways::Ways(const Vehicle& vehicle, const std::vector<double>& run_costs_m)
    : impl_(std::make_unique<Impl>()) {
    impl_->graph = Graph(vehicle.points.size());
    for (std::size_t i = 0; i < vehicle.runs.size(); ++i) {
        const Run& run = vehicle.runs[i];
        const bool is_whole = run.from.is_valid() && run.to.is_valid();
        impl_->from.push_back(is_whole ? run.from.index() : 0);
        impl_->to.push_back(is_whole ? run.to.index() : 0);
        impl_->run_cost_m.push_back(is_whole ? std::max(run_costs_m[i], least_run_m) : no_way_m);
        if (is_whole) {
            boost::add_edge(run.from.index(), run.to.index(), RunEdge{i}, impl_->graph);
        }
    }
}

Ways::~Ways() = default;
Ways::Ways(Ways&&) noexcept = default;
Ways& Ways::operator=(Ways&&) noexcept = default;

void Ways::find(PointId root, const std::vector<std::uint8_t>& closed, WayTree& tree) const {
    const Impl& graph = *impl_;
    std::vector<double> cost = graph.run_cost_m;
    for (std::size_t i = 0; i < closed.size(); ++i) {
        if (closed[i] != 0) {
            cost[i] = no_way_m;
        }
    }
    const std::size_t count = boost::num_vertices(graph.graph);
    tree.cost_m.assign(count, no_way_m);
    tree.run_in.assign(count, -1);
    if (count == 0) {
        return;
    }
    boost::dijkstra_shortest_paths_no_color_map(
        graph.graph, root.index(),
        boost::distance_map(boost::make_iterator_property_map(
                                tree.cost_m.begin(), boost::get(boost::vertex_index, graph.graph)))
            .weight_map(boost::make_iterator_property_map(cost.begin(),
                                                          boost::get(&RunEdge::run, graph.graph)))
            .distance_inf(no_way_m)
            .distance_combine(boost::closed_plus<double>(no_way_m)));
    for (std::size_t run = 0; run < cost.size(); ++run) {
        const auto enter = [&](std::size_t near, std::size_t far) {
            const double here = tree.cost_m[near];
            const double there = tree.cost_m[far];
            if (tree.run_in[far] < 0 && here < there && here + cost[run] <= there + equal_m) {
                tree.run_in[far] = static_cast<int>(run);
            }
        };
        if (cost[run] < no_way_m) {
            enter(graph.from[run], graph.to[run]);
            enter(graph.to[run], graph.from[run]);
        }
    }
}

std::optional<std::vector<RunId>> Ways::way_to(const WayTree& tree, PointId target) const {
    std::size_t here = target.index();
    if (tree.cost_m[here] == no_way_m) {
        return std::nullopt;
    }
    std::vector<RunId> runs;
    while (tree.run_in[here] >= 0) {
        const auto run = static_cast<std::size_t>(tree.run_in[here]);
        runs.emplace_back(run);
        here = impl_->from[run] == here ? impl_->to[run] : impl_->from[run];
    }
    std::ranges::reverse(runs);
    return runs;
}

} // namespace loomwright
