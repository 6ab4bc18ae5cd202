// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/feed_layout.hpp"
#include "sizing/series_feeds.hpp"
#include "sizing/sizing.hpp"

#include <memory>
#include <span>

namespace loomwright {

/// The protective devices whose current can meet in one part of a wire: those that feed it from the
/// end where they let more pass. Of a return the largest counts, or the sum of those that feed one
/// load together; where devices lie in its way home, the one alone that it is held against.
struct FeedShare {
    std::span<const DeviceId> devices;
    double rating_a = 0.0;
    double beside_a = 0.0; ///< of sources that limit themselves, at the same end
    bool is_sum = true;    ///< of all their ratings; false: the largest of them
};
[[nodiscard]] FeedShare worst_share(const Design& design, const WireFeed& feed);

/// Of the device number `k` of a wire's feed and those in a row with it in the way home: the one
/// that lets least pass. One without a rating is not known to let less pass than another.
[[nodiscard]] const DeviceId& least_in_row(const Design& design, const WireFeed& feed,
                                           std::size_t k);

/// Tells how each wire is fed. Contacts that stand as they stood before are not walked again.
class FeedTracer {
public:
    explicit FeedTracer(const StudyInput& input);
    /// Each wire in the state in which that is worst; a wire that no state feeds is judged with
    /// every contact closed.
    [[nodiscard]] std::vector<WireFeed> trace(const Design& design,
                                              const std::vector<const StateSolution*>& states);

private:
    using Feeds = std::vector<WireFeed>; ///< by WireId, without ratings
    [[nodiscard]] std::shared_ptr<const Feeds> find(const std::vector<std::uint8_t>& closed);

    const StudyInput& input_;
    std::vector<std::uint8_t>
        ground_; ///< by node: the metal of the car and what wires alone join to it
    BranchesByNode branches_;
    std::shared_ptr<FeedShelf<Feeds>::OfLayout> known_;
};

} // namespace loomwright
