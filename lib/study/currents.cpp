// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/currents.hpp"

#include "network/branch_kinds.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace loomwright {
Currents::Currents(const Network& network, const std::vector<double>& branch_amps,
                   std::span<const int> turned)
    : network_(network), amps_(branch_amps), turned_(turned),
      count_(static_cast<std::size_t>(network.node_count())), most_in_(count_, -1),
      most_out_(count_, -1) {
    for (std::size_t i = 0; i < amps_.size(); ++i) {
        if (amps_[i] != 0.0) {
            const auto branch = static_cast<int>(i);
            take_larger(most_out_[at(start(branch))], branch);
            take_larger(most_in_[at(end(branch))], branch);
        }
    }
}

double Currents::size(int branch) const {
    return std::abs(amps_[at(branch)]);
}

bool Currents::is_a_source(int branch) const {
    return is_source(of(branch).kind) || std::ranges::find(turned_, branch) != turned_.end();
}

void Currents::take_larger(int& best, int branch) const {
    if (best < 0 || size(branch) > size(best)) {
        best = branch;
    }
}

Way Currents::follow_up(int node) const {
    Way way;
    for (int best = most_in_[at(node)]; best >= 0 && way.branches.size() < amps_.size();
         best = most_in_[at(node)]) {
        if (is_a_source(best) && node == of(best).from) {
            way.source = best;
            break;
        }
        way.branches.push_back(best);
        node = start(best);
    }
    return way;
}

Way Currents::follow_down(int node, int source) {
    Way way;
    int here = node;
    for (int best = most_out_[at(here)]; best >= 0 && way.branches.size() < amps_.size();
         best = most_out_[at(here)]) {
        if (is_a_source(best) && here == of(best).to) {
            way.source = best;
            break;
        }
        way.branches.push_back(best);
        here = end(best);
    }
    if (way.source == source) {
        return way;
    }
    const std::vector<int>& next = widest_ways_to(source);
    if (node != of(source).to && next[at(node)] < 0) {
        return way;
    }
    way = {.branches = {}, .source = source};
    for (here = node; here != of(source).to; here = end(next[at(here)])) {
        way.branches.push_back(next[at(here)]);
    }
    return way;
}

const std::vector<int>& Currents::widest_ways_to(int source) {
    const auto [place, is_new] = widest_.try_emplace(source);
    std::vector<int>& next = place->second;
    if (!is_new) {
        return next;
    }
    list_arriving();
    next.assign(count_, -1);
    std::vector<double> width(count_, 0.0);
    std::vector<std::pair<double, int>> heap{{HUGE_VAL, of(source).to}};
    width[at(of(source).to)] = HUGE_VAL;
    while (!heap.empty()) {
        std::ranges::pop_heap(heap);
        const auto [reach, here] = heap.back();
        heap.pop_back();
        if (reach < width[at(here)]) {
            continue; // reached by a wider way meanwhile
        }
        for (const int branch : arriving_[at(here)]) {
            const int near = start(branch);
            const double through = std::min(reach, size(branch));
            if (!is_a_source(branch) && through > width[at(near)]) {
                width[at(near)] = through;
                next[at(near)] = branch;
                heap.emplace_back(through, near);
                std::ranges::push_heap(heap);
            }
        }
    }
    return next;
}

void Currents::list_arriving() {
    if (!arriving_.empty()) {
        return;
    }
    arriving_.resize(count_);
    for (std::size_t i = 0; i < amps_.size(); ++i) {
        if (amps_[i] != 0.0) {
            const auto branch = static_cast<int>(i);
            arriving_[at(end(branch))].push_back(branch);
        }
    }
}

std::vector<int> turned_branches(const Network& network, const Turning& turning) {
    std::vector<int> out;
    for (const int index : network.device_branches[turning.device.index()]) {
        if (network.branches[static_cast<std::size_t>(index)].kind == BranchKind::load) {
            out.push_back(index);
        }
    }
    return out;
}

std::vector<int> turned_branches(const Network& network, const State* state) {
    std::vector<int> out;
    if (state != nullptr) {
        for (const Turning& turning : state->turning) {
            const std::vector<int> here = turned_branches(network, turning);
            out.insert(out.end(), here.begin(), here.end());
        }
    }
    return out;
}

std::vector<std::vector<int>> ways_through(const Network& network, std::vector<double> branch_amps,
                                           std::span<const int> turned,
                                           std::span<const int> branches) {
    for (double& amps : branch_amps) {
        amps = std::abs(amps) <= nothing_a ? 0.0 : amps;
    }
    Currents currents(network, branch_amps, turned);
    std::vector<std::vector<int>> out;
    out.reserve(branches.size());
    for (const int branch : branches) {
        std::vector<int>& way = out.emplace_back();
        if (branch_amps[static_cast<std::size_t>(branch)] == 0.0) {
            continue;
        }
        const Way up = currents.follow_up(currents.start(branch));
        if (std::ranges::find(turned, up.source) != turned.end()) {
            way.push_back(up.source);
        }
        way.insert(way.end(), up.branches.rbegin(), up.branches.rend());
        way.push_back(branch);
        const Way down = currents.follow_down(currents.end(branch), up.source);
        way.insert(way.end(), down.branches.begin(), down.branches.end());
    }
    return out;
}

std::vector<int> way_through(const Network& network, std::vector<double> branch_amps,
                             std::span<const int> turned, int branch) {
    const std::array<int, 1> alone{branch};
    return ways_through(network, std::move(branch_amps), turned, alone).front();
}

} // namespace loomwright
