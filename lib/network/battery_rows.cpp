// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/battery_rows.hpp"

#include "network/branch_kinds.hpp"
#include "network/ground.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright {
namespace {

bool joins_a_row(BranchKind kind) {
    return is_copper(kind) || kind == BranchKind::protection;
}

/// Pieces of copper, without the metal of the car: by node a number that its piece shares.
std::vector<int> copper_pieces(const Network& network) {
    const std::vector<std::uint8_t> ground = ground_nodes(network);
    std::vector<int> above(static_cast<std::size_t>(network.node_count()));
    std::iota(above.begin(), above.end(), 0);
    const auto root = [&](int node) {
        while (above[static_cast<std::size_t>(node)] != node) {
            int& next = above[static_cast<std::size_t>(node)];
            next = above[static_cast<std::size_t>(next)];
            node = next;
        }
        return node;
    };
    for (const Branch& branch : network.branches) {
        if (joins_a_row(branch.kind) && ground[static_cast<std::size_t>(branch.from)] == 0 &&
            ground[static_cast<std::size_t>(branch.to)] == 0) {
            above[static_cast<std::size_t>(root(branch.from))] = root(branch.to);
        }
    }
    for (std::size_t node = 0; node < above.size(); ++node) {
        above[node] = root(static_cast<int>(node));
    }
    return above;
}

/// How many batteries follow each, up from its plus or down from its minus.
class Rows {
public:
    Rows(const std::vector<const Branch*>& batteries, const std::vector<int>& pieces, bool is_up)
        : follow_(batteries.size(), unknown) {
        for (const Branch* battery : batteries) {
            const int plus = pieces[static_cast<std::size_t>(battery->from)];
            const int minus = pieces[static_cast<std::size_t>(battery->to)];
            leaves_.push_back(is_up ? plus : minus);
            enters_.push_back(is_up ? minus : plus);
        }
    }

    /// The longest way on; a ring of batteries, which is a dead short, ends where it closes.
    int follow(std::size_t at) {
        if (follow_[at] != unknown) {
            return follow_[at];
        }
        follow_[at] = 0;
        int most = 0;
        for (std::size_t next = 0; next < enters_.size(); ++next) {
            if (next != at && enters_[next] == leaves_[at]) {
                most = std::max(most, 1 + follow(next));
            }
        }
        follow_[at] = most;
        return most;
    }

private:
    static constexpr int unknown = -1;
    std::vector<int> follow_;
    std::vector<int> leaves_; ///< the piece at the post that a row goes on from
    std::vector<int> enters_;
};

} // namespace

std::vector<int> battery_rows(const Vehicle& vehicle, const Network& network) {
    std::vector<const Branch*> batteries;
    for (const Branch& branch : network.branches) {
        if (branch.kind == BranchKind::battery) {
            batteries.push_back(&branch);
        }
    }
    std::vector<int> out(vehicle.devices.size(), 0);
    if (batteries.size() < 2) {
        for (const Branch* battery : batteries) {
            out[battery->device.index()] = 1;
        }
        return out;
    }
    const std::vector<int> pieces = copper_pieces(network);
    Rows up(batteries, pieces, true);
    Rows down(batteries, pieces, false);
    for (std::size_t i = 0; i < batteries.size(); ++i) {
        out[batteries[i]->device.index()] = 1 + up.follow(i) + down.follow(i);
    }
    return out;
}

} // namespace loomwright
