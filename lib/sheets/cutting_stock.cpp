// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// One-dimensional cutting stock: pieces l_i, n_i of each, from spools of length S.
//   bounds   at least ceil(sum n_i l_i / S) spools, and at least as many as there are pieces longer
//            than S / 2 (no two share a spool)
//   first    longest piece first, each on the first spool that has room (first fit decreasing; at
//            most 11/9 of the least and 6/9, Dosa 2007 - memory)
// Where the two meet the plan is proved; else the linear programme of Gilmore and Gomory (1961) is
// asked (cutting_patterns.hpp).
#include "sheets/cutting_stock.hpp"

#include "sheets/cutting_patterns.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright {
namespace {

/// Indices of the sizes, longest first; equal ones in their order.
std::vector<std::size_t> longest_first(std::span<const CutSize> sizes) {
    std::vector<std::size_t> order(sizes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, std::ranges::greater(),
                             [sizes](std::size_t i) { return sizes[i].length; });
    return order;
}

int simple_bound(std::span<const CutSize> sizes, int spool) {
    long total = 0;
    int large = 0;
    for (const CutSize& size : sizes) {
        total += static_cast<long>(size.length) * size.count;
        large += 2L * size.length > spool ? size.count : 0;
    }
    return std::max(static_cast<int>((total + spool - 1) / spool), large);
}

struct OpenSpool {
    int room = 0;
    std::vector<int> pieces;
};

std::vector<SpoolPattern> first_fit(std::span<const CutSize> sizes, int spool) {
    std::vector<OpenSpool> open;
    for (const std::size_t i : longest_first(sizes)) {
        // Pieces of one length never find room on a spool that the last one did not fit on.
        std::size_t at = 0;
        for (int piece = 0; piece < sizes[i].count; ++piece) {
            while (at < open.size() && open[at].room < sizes[i].length) {
                ++at;
            }
            if (at == open.size()) {
                open.push_back({spool, std::vector<int>(sizes.size(), 0)});
            }
            open[at].room -= sizes[i].length;
            ++open[at].pieces[i];
        }
    }
    std::vector<SpoolPattern> out;
    for (OpenSpool& one : open) {
        if (!out.empty() && out.back().pieces == one.pieces) {
            ++out.back().spools;
        } else {
            out.push_back({1, std::move(one.pieces)});
        }
    }
    return out;
}

int spools_of(const std::vector<SpoolPattern>& patterns) {
    int out = 0;
    for (const SpoolPattern& pattern : patterns) {
        out += pattern.spools;
    }
    return out;
}

} // namespace

long SpoolPattern::used(std::span<const CutSize> sizes) const {
    long out = 0;
    for (std::size_t i = 0; i < sizes.size(); ++i) {
        out += static_cast<long>(sizes[i].length) * pieces[i];
    }
    return out;
}

std::optional<CuttingPlan> plan_cutting(std::span<const CutSize> sizes, int spool) {
    if (std::ranges::any_of(sizes, [spool](const CutSize& size) { return size.length > spool; })) {
        return std::nullopt;
    }
    CuttingPlan plan;
    if (sizes.empty()) {
        return plan; // from a spool of no length too
    }
    plan.patterns = first_fit(sizes, spool);
    plan.spools = spools_of(plan.patterns);
    plan.at_least = simple_bound(sizes, spool);
    if (!plan.is_least()) {
        PatternSearch better = search_patterns(sizes, spool, plan.patterns);
        plan.at_least = std::max(plan.at_least, better.at_least);
        if (!better.patterns.empty()) {
            plan.patterns = std::move(better.patterns);
            plan.spools = spools_of(plan.patterns);
        }
    }
    std::ranges::stable_sort(plan.patterns, std::ranges::greater(),
                             [sizes](const SpoolPattern& pattern) { return pattern.used(sizes); });
    return plan;
}

} // namespace loomwright
