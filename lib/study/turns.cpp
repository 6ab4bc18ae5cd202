// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Some of those that want to turn over do, in the order of the file; if a stand comes back, fewer
// and fewer at once. When it is one at a time and a stand comes back, those that turned over on the
// way are a loop. Others may have wanted to turn over at every stand of it and never had their
// turn: they come first from now on. They may give the loop its rest, come to rest by themselves,
// or be a loop of their own. A trigger that wants to turn over at some stands of the loop only
// follows from it and is no news.
#include "study/turns.hpp"

#include <algorithm>

namespace loomwright {
namespace {

using Triggers = Turns::Triggers;

bool holds(const Triggers& triggers, std::size_t trigger) {
    return std::ranges::find(triggers, trigger) != triggers.end();
}

bool any_holds(const std::vector<Triggers>& loops, std::size_t trigger) {
    return std::ranges::any_of(loops,
                               [trigger](const Triggers& loop) { return holds(loop, trigger); });
}

bool share_one(const Triggers& some, const Triggers& others) {
    return std::ranges::any_of(some,
                               [&others](std::size_t trigger) { return holds(others, trigger); });
}

} // namespace

bool Turns::is_endless(const std::vector<std::uint8_t>& is_on, const Triggers& wanting) {
    const auto before = std::ranges::find(seen_, is_on, &Stand::is_on);
    if (before != seen_.end()) {
        if (!is_one_by_one_) {
            divisor_ *= 4;
        } else if (close_circle(static_cast<std::size_t>(before - seen_.begin()))) {
            return true;
        }
        begin_anew();
    }
    seen_.push_back({is_on, wanting});
    return false;
}

Triggers Turns::next(Triggers wanting) {
    std::ranges::stable_sort(wanting, {}, [this](std::size_t trigger) { return rank_[trigger]; });
    wanting.resize(std::clamp<std::size_t>(wanting.size() / divisor_, 1, wanting.size()));
    is_one_by_one_ = is_one_by_one_ && wanting.size() == 1;
    turned_.insert(turned_.end(), wanting.begin(), wanting.end());
    return wanting;
}

std::vector<Triggers> Turns::loops() const {
    std::vector<Triggers> out = loops_;
    if (!turned_.empty()) {
        out.push_back(turned_);
    }
    std::ranges::stable_sort(out, {}, [](const Triggers& loop) { return std::ranges::min(loop); });
    return out;
}

void Turns::begin_anew() {
    seen_.clear();
    turned_.clear();
    is_one_by_one_ = true;
}

/// Of the stands from `begin` on, those who wanted to turn over at each.
Triggers Turns::waiting_since(std::size_t begin) const {
    Triggers waiting = seen_[begin].wanting;
    for (std::size_t k = begin + 1; k < seen_.size(); ++k) {
        const Triggers& wanting = seen_[k].wanting; // in the order of the file
        std::erase_if(waiting, [&wanting](std::size_t trigger) {
            return !std::ranges::binary_search(wanting, trigger);
        });
    }
    return waiting;
}

/// Takes what turned over since the stand at `begin` for a loop. True when everything that waits
/// has had its turn.
bool Turns::close_circle(std::size_t begin) {
    const auto middle = turned_.begin() + static_cast<std::ptrdiff_t>(begin);
    const Triggers on_the_way(turned_.begin(), middle);
    const Triggers circle(middle, turned_.end());
    const Triggers waiting = waiting_since(begin);
    // Where others have moved meanwhile, the loops found before must be shown anew.
    if (std::ranges::any_of(on_the_way, [&](std::size_t trigger) {
            return !holds(circle, trigger) && !any_holds(loops_, trigger);
        })) {
        loops_.clear();
        std::ranges::fill(had_turn_, 0);
    }
    std::erase_if(loops_, [&](const Triggers& loop) {
        return share_one(loop, circle) || !share_one(loop, waiting);
    });
    loops_.push_back(circle);
    for (const std::size_t trigger : circle) {
        had_turn_[trigger] = 1;
    }
    turned_.clear();
    --first_rank_;
    bool is_end = true;
    for (const std::size_t trigger : waiting) {
        if (had_turn_[trigger] == 0) {
            rank_[trigger] = first_rank_;
            is_end = false;
        }
    }
    return is_end;
}

} // namespace loomwright
