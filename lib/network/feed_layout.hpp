// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/shelf.hpp"
#include "network/network.hpp"

#include <cstdint>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace loomwright {

/// All that the feeds of a car go by but for which contacts are closed: who is joined to whom by
/// what, and what each source can give. Cars with the same are fed alike, whatever the lengths and
/// sizes of their wires.
using FeedLayout = std::vector<std::int64_t>;
[[nodiscard]] FeedLayout feed_layout(const Vehicle& vehicle, const Network& network);

/// What goes by the layout and the closed contacts, of cars that may be alike.
template <typename Answer> class FeedShelf {
public:
    /// Of one layout, by the branches that conduct (empty: all).
    class OfLayout {
    public:
        template <typename Make>
        [[nodiscard]] std::shared_ptr<const Answer> of(const std::vector<std::uint8_t>& closed,
                                                       Make make) {
            return known_.of({closed.begin(), closed.end()}, 1, make);
        }

    private:
        static constexpr std::size_t most_answers = 200;

        Shelf<std::string, const Answer> known_{most_answers};
    };

    [[nodiscard]] std::shared_ptr<OfLayout> of(const FeedLayout& layout) {
        return known_.of(layout, layout.size(), [] { return std::make_shared<OfLayout>(); });
    }

private:
    static constexpr std::size_t most_numbers = 250'000; ///< of the layouts: a hundred cars

    Shelf<FeedLayout, OfLayout> known_{most_numbers};
};

} // namespace loomwright
