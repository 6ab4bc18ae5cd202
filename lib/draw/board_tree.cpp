// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/board_tree.hpp"

#include <algorithm>
#include <numeric>
#include <queue>
#include <utility>

namespace loomwright::draw {
namespace {

/// Things that are joined step by step.
class Joints {
public:
    explicit Joints(std::size_t count) : head_(count) { std::iota(head_.begin(), head_.end(), 0); }

    int head(int thing) {
        while (head_[at(thing)] != thing) {
            head_[at(thing)] = head_[at(head_[at(thing)])];
            thing = head_[at(thing)];
        }
        return thing;
    }
    /// False: they hung together already.
    bool join(int a, int b) {
        const int first = std::min(head(a), head(b));
        const int last = std::max(head(a), head(b));
        head_[at(last)] = first;
        return first != last;
    }

private:
    static std::size_t at(int thing) { return static_cast<std::size_t>(thing); }
    std::vector<int> head_;
};

struct TreeLink {
    std::size_t run = 0;
    int to = 0;
};

class TreeMaker {
public:
    TreeMaker(std::size_t points, const std::vector<BoardRun>& runs) : runs_(runs) {
        Joints same(points);
        for (const BoardRun& run : runs_) {
            if (run.length < least_run) {
                same.join(run.from, run.to);
            }
        }
        out_.node_of.assign(points, -1);
        for (std::size_t i = 0; i < points; ++i) {
            int& head = out_.node_of[static_cast<std::size_t>(same.head(static_cast<int>(i)))];
            if (head < 0) {
                head = out_.nodes++;
            }
            out_.node_of[i] = head;
        }
    }

    BoardTree make() {
        link_runs();
        parent_.assign(links_.size(), -1);
        way_.assign(links_.size(), 0.0);
        behind_.assign(links_.size(), 0.0);
        std::vector<bool> is_done(links_.size(), false);
        for (std::size_t i = 0; i < links_.size(); ++i) {
            if (!is_done[i]) {
                add_piece(static_cast<int>(i), is_done);
            }
        }
        return std::move(out_);
    }

private:
    [[nodiscard]] const std::vector<TreeLink>& links(int node) const {
        return links_[static_cast<std::size_t>(node)];
    }

    void add_link(std::size_t run, int a, int b) {
        links_[static_cast<std::size_t>(a)].push_back({run, b});
        links_[static_cast<std::size_t>(b)].push_back({run, a});
    }

    void link_runs() {
        std::vector<std::size_t> order;
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            if (runs_[i].length >= least_run) {
                order.push_back(i);
            }
        }
        std::ranges::stable_sort(order, std::greater<>(),
                                 [&](std::size_t run) { return runs_[run].thickness; });
        Joints joints(static_cast<std::size_t>(out_.nodes));
        std::vector<bool> is_cut(runs_.size(), false);
        for (const std::size_t i : order) {
            is_cut[i] = !joints.join(node(runs_[i].from), node(runs_[i].to));
        }
        links_.resize(static_cast<std::size_t>(out_.nodes));
        for (std::size_t i = 0; i < runs_.size(); ++i) {
            if (runs_[i].length < least_run) {
                continue;
            }
            int far = node(runs_[i].to);
            if (is_cut[i]) {
                out_.cuts.push_back(i);
                far = out_.nodes++;
                links_.emplace_back();
            }
            add_link(i, node(runs_[i].from), far);
        }
    }

    [[nodiscard]] int node(int point) const {
        return out_.node_of[static_cast<std::size_t>(point)];
    }

    /// The nodes of a piece, each after its parent; `parent_` is set, -1 for the root.
    std::vector<int> walk(int root) {
        std::vector<int> out = {root};
        parent_[static_cast<std::size_t>(root)] = -1;
        for (std::size_t i = 0; i < out.size(); ++i) {
            for (const TreeLink& link : links(out[i])) {
                if (link.to != parent_[static_cast<std::size_t>(out[i])]) {
                    parent_[static_cast<std::size_t>(link.to)] = out[i];
                    out.push_back(link.to);
                }
            }
        }
        return out;
    }

    /// The node of the piece that is the longest way off; the first of equals.
    int farthest(int root) {
        std::vector<double> distance(links_.size(), 0.0);
        int out = root;
        for (const int at : walk(root)) {
            for (const TreeLink& link : links(at)) {
                if (link.to != parent_[static_cast<std::size_t>(at)]) {
                    distance[static_cast<std::size_t>(link.to)] =
                        distance[static_cast<std::size_t>(at)] + runs_[link.run].length;
                }
            }
            if (distance[static_cast<std::size_t>(at)] >
                distance[static_cast<std::size_t>(out)] + 1e-6) {
                out = at;
            }
        }
        return out;
    }

    /// `way_` and `behind_` of every node of the piece.
    void measure(const std::vector<int>& nodes) {
        for (std::size_t i = nodes.size(); i-- > 0;) {
            const int at = nodes[i];
            double& way = way_[static_cast<std::size_t>(at)];
            double& behind = behind_[static_cast<std::size_t>(at)];
            for (const TreeLink& link : links(at)) {
                if (link.to != parent_[static_cast<std::size_t>(at)]) {
                    way = std::max(way, way_of(link));
                    behind += runs_[link.run].length + behind_[static_cast<std::size_t>(link.to)];
                }
            }
        }
    }
    [[nodiscard]] double way_of(const TreeLink& link) const {
        return runs_[link.run].length + way_[static_cast<std::size_t>(link.to)];
    }

    struct Head {
        double loom = 0.0; ///< of the branch, mm
        int near = 0;
        TreeLink link;
        std::size_t number = 0;
        friend bool operator<(const Head& a, const Head& b) {
            return a.loom < b.loom || (a.loom == b.loom && a.number > b.number);
        }
    };

    [[nodiscard]] BoardStep step_of(const TreeLink& link, int near, bool is_onward) const {
        BoardStep out;
        out.run = link.run;
        out.near = near;
        out.far = link.to;
        out.is_onward = is_onward;
        out.leaving = links(link.to).size() - 1;
        for (const TreeLink& other : links(link.to)) {
            if (other.to != near) {
                out.longest_leaving = std::max(out.longest_leaving, runs_[other.run].length);
            }
        }
        return out;
    }

    void add_piece(int start, std::vector<bool>& is_done) {
        BoardPiece piece;
        piece.root = farthest(farthest(start));
        const std::vector<int> nodes = walk(piece.root);
        for (const int at : nodes) {
            is_done[static_cast<std::size_t>(at)] = true;
        }
        measure(nodes);
        std::priority_queue<Head> heads;
        std::size_t number = 0;
        const auto add_head = [&](int near, const TreeLink& link) {
            heads.push({runs_[link.run].length + behind_[static_cast<std::size_t>(link.to)], near,
                        link, number++});
        };
        for (const TreeLink& link : links(piece.root)) {
            add_head(piece.root, link);
        }
        while (!heads.empty()) {
            int near = heads.top().near;
            const TreeLink* onward = &heads.top().link;
            TreeLink first = *onward;
            heads.pop();
            onward = &first;
            bool is_onward = piece.steps.empty(); // the first goes straight on from nowhere
            while (onward != nullptr) {
                const TreeLink here = *onward;
                piece.steps.push_back(step_of(here, near, is_onward));
                onward = nullptr;
                is_onward = true;
                for (const TreeLink& link : links(here.to)) {
                    if (link.to != near && (onward == nullptr || way_of(link) > way_of(*onward))) {
                        onward = &link;
                    }
                }
                for (const TreeLink& link : links(here.to)) {
                    if (link.to != near && &link != onward) {
                        add_head(here.to, link);
                    }
                }
                near = here.to;
            }
        }
        out_.pieces.push_back(std::move(piece));
    }

    const std::vector<BoardRun>& runs_;
    BoardTree out_;
    std::vector<std::vector<TreeLink>> links_; ///< by node
    std::vector<int> parent_;                  ///< by node
    std::vector<double> way_;                  ///< by node: mm to the farthest end behind it
    std::vector<double> behind_;               ///< by node: mm of loom behind it
};

} // namespace

BoardTree board_tree(std::size_t points, const std::vector<BoardRun>& runs) {
    return TreeMaker(points, runs).make();
}

} // namespace loomwright::draw
