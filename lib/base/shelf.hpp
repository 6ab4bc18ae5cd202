// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <functional>
#include <iterator>
#include <memory>
#include <mutex>
#include <type_traits>
#include <unordered_map>
#include <utility>

namespace loomwright {

/// A number by which lists of numbers are told apart soon: each is stirred into the sum of those
/// before it.
struct ListHash {
    template <typename List> [[nodiscard]] std::size_t operator()(const List& list) const {
        std::size_t sum = std::size(list);
        for (const auto& number : list) {
            sum = (sum ^ std::hash<std::remove_cvref_t<decltype(number)>>()(number)) *
                  std::size_t{0x9e3779b97f4a7c15};
            sum ^= sum >> 29U;
        }
        return sum;
    }
};

/// What was worked out once, by all that it goes by: who asks again gets the same. Several threads
/// may use one shelf. When it is full, what is new is worked out each time.
template <typename Key, typename Value> class Shelf {
public:
    /// Room in whatever the sizes are counted in.
    explicit Shelf(std::size_t room) : room_(room) {}

    /// What stands here under the key, else what `make()` gives: a std::shared_ptr<Value>, of this
    /// size. Two threads that ask at once may both make it; both get the one that stood first.
    template <typename Make>
    [[nodiscard]] std::shared_ptr<Value> of(const Key& key, std::size_t size, Make make) {
        {
            const std::lock_guard lock(mutex_);
            if (const auto found = known_.find(key); found != known_.end()) {
                return found->second;
            }
        }
        std::shared_ptr<Value> made = make();
        const std::lock_guard lock(mutex_);
        if (taken_ + size > room_) {
            return made;
        }
        const auto [place, is_new] = known_.try_emplace(key, std::move(made));
        taken_ += is_new ? size : 0;
        return place->second;
    }

private:
    std::mutex mutex_;
    std::unordered_map<Key, std::shared_ptr<Value>, ListHash> known_;
    std::size_t room_;
    std::size_t taken_ = 0;
};

} // namespace loomwright
