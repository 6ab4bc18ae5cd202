// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A walk in depth over the piece: an edge of the walk's tree is a bridge when nothing below it
// leads back to above it (R. E. Tarjan, "A note on finding the bridges of a graph", Information
// Processing Letters 2, 1974). The entries below a bridge are on its lower side. Where nothing
// below leads back to above an edge's upper place, what was met since is a mesh, complete but for
// what was taken off before (J. Hopcroft and R. E. Tarjan, "Algorithm 447", Communications of the
// ACM 16, 1973).
#include "sizing/feed_ends.hpp"

#include <algorithm>
#include <unordered_map>

namespace loomwright {
namespace {

constexpr std::size_t no_edge = static_cast<std::size_t>(-1);

struct Place {
    std::vector<std::size_t> edges; ///< that end here
    std::uint64_t entries = 0;      ///< here, and once left: below too
    int node = 0;
    std::size_t by = no_edge; ///< the edge by which the walk came
    int number = 0;           ///< in the order of the walk; 0: not yet met
    int lowest = 0;           ///< least number that it or what lies below leads back to
};

struct Step {
    std::size_t place = 0;
    std::size_t by = no_edge; ///< the edge by which the walk came
    std::size_t next = 0;
};

class Walk {
public:
    Walk(std::span<const PieceEdge> edges, std::span<const int> entry_nodes,
         std::optional<int> root = std::nullopt)
        : out_(edges.size()), mesh_of_edge_(edges.size(), -1) {
        if (root) {
            place_of(*root); // the walk begins at the first place
        }
        for (std::size_t i = 0; i < edges.size(); ++i) {
            ends_.emplace_back(place_of(edges[i].a), place_of(edges[i].b));
            places_[ends_[i].first].edges.push_back(i);
            places_[ends_[i].second].edges.push_back(i);
        }
        for (std::size_t i = 0; i < entry_nodes.size(); ++i) {
            places_[place_of(entry_nodes[i])].entries |= std::uint64_t{1} << i;
            all_ |= std::uint64_t{1} << i;
        }
    }

    std::vector<std::optional<std::uint64_t>> run() {
        for (std::size_t start = 0; start < places_.size(); ++start) {
            if (places_[start].number == 0) {
                walk_from(start);
            }
        }
        return std::move(out_);
    }

    /// Once it has run.
    Meshes meshes() {
        Meshes out;
        out.edges = std::move(mesh_edges_);
        for (const std::size_t top : mesh_tops_) {
            out.next.push_back(mesh_towards_root(places_[top]));
        }
        for (const Place& place : places_) {
            if (place.by != no_edge) {
                out.first.emplace(place.node, mesh_towards_root(place));
            }
        }
        return out;
    }

private:
    std::size_t place_of(int node) {
        const auto [found, is_new] = place_by_node_.try_emplace(node, places_.size());
        if (is_new) {
            places_.emplace_back().node = node;
        }
        return found->second;
    }

    [[nodiscard]] int mesh_towards_root(const Place& place) const {
        return place.by == no_edge ? -1 : mesh_of_edge_[place.by];
    }

    void enter(std::size_t place, std::size_t by) {
        places_[place].number = places_[place].lowest = ++met_;
        places_[place].by = by;
        open_.push_back({place, by, 0});
    }

    void walk_from(std::size_t start) {
        enter(start, no_edge);
        while (!open_.empty()) {
            Step& step = open_.back();
            Place& here = places_[step.place];
            if (step.next == here.edges.size()) {
                leave();
                continue;
            }
            const std::size_t edge = here.edges[step.next++];
            if (edge == step.by) {
                continue;
            }
            const std::size_t other =
                ends_[edge].first == step.place ? ends_[edge].second : ends_[edge].first;
            if (places_[other].number == 0) {
                trail_.push_back(edge);
                enter(other, edge);
            } else {
                if (places_[other].number < here.number) {
                    trail_.push_back(edge);
                }
                here.lowest = std::min(here.lowest, places_[other].number);
            }
        }
    }

    void leave() {
        const Step done = open_.back();
        open_.pop_back();
        if (open_.empty()) {
            return;
        }
        const Place& below = places_[done.place];
        Place& above = places_[open_.back().place];
        above.lowest = std::min(above.lowest, below.lowest);
        if (below.lowest >= above.number) {
            close_mesh(done.by);
        }
        if (below.lowest > above.number) {
            const bool is_a_below = ends_[done.by].first == done.place;
            out_[done.by] = is_a_below ? below.entries : all_ & ~below.entries;
        }
        above.entries |= below.entries;
    }

    /// `last`: the edge back to the place by which all of the mesh goes on, on top of the walk.
    void close_mesh(std::size_t last) {
        const auto begin = std::find(trail_.rbegin(), trail_.rend(), last).base() - 1;
        for (auto edge = begin; edge != trail_.end(); ++edge) {
            mesh_of_edge_[*edge] = static_cast<int>(mesh_edges_.size());
        }
        mesh_edges_.emplace_back(begin, trail_.end());
        mesh_tops_.push_back(open_.back().place);
        trail_.erase(begin, trail_.end());
    }

    std::vector<std::optional<std::uint64_t>> out_;
    std::vector<std::pair<std::size_t, std::size_t>> ends_; ///< by edge: places of a and b
    std::vector<Place> places_;
    std::unordered_map<int, std::size_t> place_by_node_;
    std::vector<Step> open_;
    std::vector<std::size_t> trail_; ///< edges met and in no mesh yet
    std::vector<std::vector<std::size_t>> mesh_edges_;
    std::vector<std::size_t> mesh_tops_; ///< by mesh: its place next to where the walk began
    std::vector<int> mesh_of_edge_;
    std::uint64_t all_ = 0;
    int met_ = 0;
};

} // namespace

std::vector<std::optional<std::uint64_t>> entries_on_side_a(std::span<const PieceEdge> edges,
                                                            std::span<const int> entry_nodes) {
    return Walk(edges, entry_nodes).run();
}

Meshes meshes_towards(int root, std::span<const PieceEdge> edges) {
    Walk walk(edges, {}, root);
    walk.run();
    return walk.meshes();
}

} // namespace loomwright
