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
/// end where they let more pass. Of a return the largest counts, not the sum.
struct FeedShare {
    std::span<const DeviceId> devices;
    double rating_a = 0.0;
    double beside_a = 0.0; ///< of sources that limit themselves, at the same end
};
[[nodiscard]] FeedShare worst_share(const Design& design, const WireFeed& feed);

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
