// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Labels beside one another: those that would overlap are gathered into a stack that stands at the
// mean of what they want (the pool-adjacent-violators method for the least sum of squared shifts).
#include "draw/chart_labels.hpp"

#include <algorithm>
#include <numeric>

namespace loomwright::draw {
namespace {

struct Stack {
    std::size_t first = 0;
    std::size_t count = 1;
    double height = 0.0;
    double wanted_top = 0.0; ///< sum over its labels of the top that each wants of the stack
    double top = 0.0;
};

void settle(Stack& stack, double top, double bottom) {
    const double mean = stack.wanted_top / static_cast<double>(stack.count);
    stack.top = std::max(top, std::min(mean, bottom - stack.height));
}

/// Puts `lower` under `upper`.
void join(Stack& upper, const Stack& lower) {
    upper.wanted_top += lower.wanted_top - upper.height * static_cast<double>(lower.count);
    upper.height += lower.height;
    upper.count += lower.count;
}

} // namespace

std::vector<double> place_labels(const std::vector<SideLabel>& labels, double top, double bottom) {
    std::vector<std::size_t> order(labels.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) { return labels[i].wanted; });
    std::vector<Stack> stacks;
    for (std::size_t i = 0; i < order.size(); ++i) {
        const SideLabel& label = labels[order[i]];
        Stack stack{i, 1, label.height, label.wanted - label.height / 2.0, 0.0};
        settle(stack, top, bottom);
        stacks.push_back(stack);
        while (stacks.size() > 1) {
            Stack& upper = stacks[stacks.size() - 2];
            if (upper.top + upper.height <= stacks.back().top) {
                break;
            }
            join(upper, stacks.back());
            stacks.pop_back();
            settle(stacks.back(), top, bottom);
        }
    }
    std::vector<double> out(labels.size());
    for (const Stack& stack : stacks) {
        double y = stack.top;
        for (std::size_t i = stack.first; i < stack.first + stack.count; ++i) {
            const double height = labels[order[i]].height;
            out[order[i]] = y + height / 2.0;
            y += height;
        }
    }
    return out;
}

std::vector<int> place_in_rows(const std::vector<std::pair<double, double>>& stretches, int most) {
    std::vector<double> taken_to;
    std::vector<int> out;
    for (const auto& [from, to] : stretches) {
        const auto free =
            std::ranges::find_if(taken_to, [from = from](double end) { return end <= from; });
        const int row = static_cast<int>(free - taken_to.begin());
        if (free != taken_to.end()) {
            *free = to;
        } else if (row < most) {
            taken_to.push_back(to);
        }
        out.push_back(row < most ? row : -1);
    }
    return out;
}

} // namespace loomwright::draw
