// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// A branch carries current only where a loop leads through it and a source. Take the blocks of the
// circuit: parts that no single node cuts in two (a bridge is one by itself). A loop never leaves
// its block. What flows into a block at one node flows out there too, so a block without a source
// balances by itself; with every law i(v) of circuit.hpp other than a source's, v i(v) > 0 unless
// v = 0, and the sum of v i(v) over the block is zero (B. D. H. Tellegen, "A general network
// theorem, with applications", Philips Research Reports 7 (1952). From memory). So every voltage in
// it is zero, and its nodes are all at the voltage of the node where it hangs.
//
// Blocks by depth-first search with low points, O(nodes + branches) (J. Hopcroft and R. Tarjan,
// "Algorithm 447: efficient algorithms for graph manipulation", Communications of the ACM 16
// (1973). From memory).
#include "solve/idle_branches.hpp"

#include "solve/islands.hpp"

#include <algorithm>

namespace loomwright::solve {

namespace {

std::size_t at(Index index) {
    return static_cast<std::size_t>(index);
}

class Blocks {
public:
    Blocks(const Circuit& circuit, const std::vector<Role>& roles)
        : circuit_(circuit), roles_(roles), meetings_(circuit), found_(at(circuit.node_count), 0),
          low_(at(circuit.node_count), 0),
          next_(meetings_.start.begin(), meetings_.start.end() - 1),
          is_idle_(circuit.branch_count(), 0), is_seen_(circuit.branch_count(), 0) {}

    std::vector<std::uint8_t> idle() {
        for (Index node = 0; node < circuit_.node_count; ++node) {
            if (found_[at(node)] == 0) {
                search(node);
            }
        }
        return std::move(is_idle_);
    }

private:
    /// A node on the way from the root to where the search is.
    struct Visit {
        Index node = 0;
        std::size_t first_branch = 0; ///< in open_, that led here: its block begins there
    };

    void search(Index root) {
        enter(root, 0);
        while (!way_.empty()) {
            const Index here = way_.back().node;
            if (next_[at(here)] < meetings_.start[at(here) + 1]) {
                follow(here, meetings_.branch[at(next_[at(here)]++)]);
            } else {
                leave();
            }
        }
    }

    void enter(Index node, std::size_t first_branch) {
        found_[at(node)] = low_[at(node)] = ++count_;
        way_.push_back({node, first_branch});
    }

    void follow(Index here, Index branch) {
        const std::size_t k = at(branch);
        if (roles_[k] == Role::absent || is_seen_[k] != 0) {
            return;
        }
        is_seen_[k] = 1;
        const Index other = circuit_.from[k] == here ? circuit_.to[k] : circuit_.from[k];
        if (other == here) {
            is_idle_[k] = static_cast<std::uint8_t>(roles_[k] != Role::source);
            return;
        }
        open_.push_back(branch);
        if (found_[at(other)] == 0) {
            enter(other, open_.size() - 1);
        } else {
            low_[at(here)] = std::min(low_[at(here)], found_[at(other)]);
        }
    }

    /// Back over the branch that led here. When nothing behind it leads farther back, it is the
    /// first of a block that ends here.
    void leave() {
        const Visit done = way_.back();
        way_.pop_back();
        if (way_.empty()) {
            return;
        }
        const std::size_t before = at(way_.back().node);
        low_[before] = std::min(low_[before], low_[at(done.node)]);
        if (low_[at(done.node)] >= found_[before]) {
            close_block(done.first_branch);
        }
    }

    void close_block(std::size_t first) {
        const auto begin = open_.begin() + static_cast<std::ptrdiff_t>(first);
        const bool is_live = std::any_of(begin, open_.end(), [this](Index branch) {
            return roles_[at(branch)] == Role::source;
        });
        for (auto branch = begin; branch != open_.end() && !is_live; ++branch) {
            is_idle_[at(*branch)] = 1;
        }
        open_.resize(first);
    }

    const Circuit& circuit_;
    const std::vector<Role>& roles_;
    Meetings meetings_;
    std::vector<Index> found_; ///< by node: when the search came to it, from 1; 0: not yet
    std::vector<Index> low_;   ///< by node: the earliest that anything behind it leads back to
    std::vector<Index> next_;  ///< by node: into Meetings::branch
    std::vector<std::uint8_t> is_idle_;
    std::vector<std::uint8_t> is_seen_;
    std::vector<Index> open_; ///< branches of blocks that have not come to their end
    std::vector<Visit> way_;
    Index count_ = 0;
};

} // namespace

std::vector<std::uint8_t> idle_branches(const Circuit& circuit, const std::vector<Role>& roles) {
    return Blocks(circuit, roles).idle();
}

} // namespace loomwright::solve
