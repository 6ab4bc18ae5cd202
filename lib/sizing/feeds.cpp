// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The worst way in which each wire is fed, over the states.
#include "sizing/feeds.hpp"

#include "network/ground.hpp"
#include "sizing/copper_groups.hpp"
#include "sizing/series_feeds.hpp"
#include "study/shelves.hpp"

#include <algorithm>

namespace loomwright {
namespace {

double rating_a(const Design& design, DeviceId device) {
    return design.ratings[device.index()].value_or(Amps(0.0)).value();
}

double total_a(const Design& design, std::span<const DeviceId> devices) {
    double amps = 0.0;
    for (const DeviceId device : devices) {
        amps += rating_a(design, device);
    }
    return amps;
}

/// The one of a row that lets least pass, and less than `amps` (0: not known); nullptr: none.
const DeviceId* least_below(const Design& design, double amps, const std::vector<DeviceId>& row) {
    const DeviceId* least = nullptr;
    for (const DeviceId& device : row) {
        const double here = rating_a(design, device);
        if (here > 0.0 && (here < amps || amps <= 0.0)) {
            least = &device;
            amps = here;
        }
    }
    return least;
}

/// One fault at a time: one device, or those that feed one load together.
FeedShare share_of_return(const Design& design, const WireFeed& feed) {
    FeedShare out{feed.devices, 0.0, 0.0, false};
    for (std::size_t k = 0; k < feed.devices.size(); ++k) {
        const DeviceId& least = least_in_row(design, feed, k);
        if (!feed.in_way_home.empty() && (k == 0 || rating_a(design, least) > out.rating_a)) {
            out.devices = std::span(&least, 1);
        }
        out.rating_a = std::max(out.rating_a, rating_a(design, least));
    }
    for (const FeedGroup& group : feed.together) {
        const double sum = total_a(design, group.devices);
        const DeviceId* less = least_below(design, sum, group.in_way_home);
        const double here = less != nullptr ? rating_a(design, *less) : sum;
        if (here > out.rating_a) {
            out.rating_a = here;
            out.is_sum = less == nullptr;
            out.devices = out.is_sum ? std::span(group.devices) : std::span(less, 1);
        }
    }
    return out;
}

/// All that can come in at the worse end of a wire.
double passed_a(const Design& design, const WireFeed& feed) {
    const FeedShare share = worst_share(design, feed);
    return share.rating_a + share.beside_a;
}

/// The worse of two: unprotected, then the more that can come in, then the higher limited current.
bool is_worse(const WireFeed& a, double a_passed, const WireFeed& b, double b_passed) {
    if (a.is_unprotected != b.is_unprotected) {
        return a.is_unprotected;
    }
    if (a_passed != b_passed) {
        return a_passed > b_passed;
    }
    return a.self_limited_a > b.self_limited_a;
}

} // namespace

const DeviceId& least_in_row(const Design& design, const WireFeed& feed, std::size_t k) {
    const DeviceId& own = feed.devices[k];
    const DeviceId* less = k < feed.in_way_home.size()
                               ? least_below(design, rating_a(design, own), feed.in_way_home[k])
                               : nullptr;
    return less != nullptr ? *less : own;
}

FeedShare worst_share(const Design& design, const WireFeed& feed) {
    if (feed.is_return) {
        return share_of_return(design, feed);
    }
    const std::span<const DeviceId> all = feed.devices;
    const std::span<const DeviceId> one = all.first(feed.at_one_end);
    const std::span<const DeviceId> others = all.subspan(feed.at_one_end);
    const FeedShare first{one, total_a(design, one), one.empty() ? 0.0 : feed.limited_first_a};
    const FeedShare rest{others, total_a(design, others),
                         others.empty() ? 0.0 : feed.limited_rest_a};
    return first.rating_a + first.beside_a > rest.rating_a + rest.beside_a ? first : rest;
}

FeedTracer::FeedTracer(const StudyInput& input)
    : input_(input), ground_(ground_nodes(input.network)),
      branches_(branches_by_node(input.network)) {
    FeedShelf<Feeds> own;
    auto* const shared = shelf_of<FeedShelf<Feeds>>(input);
    known_ = (shared != nullptr ? *shared : own).of(feed_layout(input.vehicle, input.network));
}

std::shared_ptr<const FeedTracer::Feeds> FeedTracer::find(const std::vector<std::uint8_t>& closed) {
    return known_->of(closed, [&] {
        auto made = std::make_shared<Feeds>(feeds_of_wires(input_, ground_, closed));
        add_series_devices(input_, branches_, closed, ground_, *made);
        return made;
    });
}

std::vector<WireFeed> FeedTracer::trace(const Design& design,
                                        const std::vector<const StateSolution*>& states) {
    struct Worst {
        const WireFeed* feed = nullptr;
        double passed_a = 0.0;
        StateId state;
        const WireFeed* guarded = nullptr; ///< of the states in which devices alone feed it
        double guarded_a = 0.0;
    };
    std::vector<std::shared_ptr<const Feeds>> of_state;
    of_state.reserve(states.size());
    for (const StateSolution* state : states) {
        of_state.push_back(find(state->closed));
    }
    std::vector<Worst> worst(input_.vehicle.wires.size());
    for (std::size_t s = 0; s < states.size(); ++s) {
        for (std::size_t i = 0; i < worst.size(); ++i) {
            const WireFeed& here = (*of_state[s])[i];
            const double passed = passed_a(design, here);
            const bool is_known = here.is_fed || !here.devices.empty();
            if (is_known && (worst[i].feed == nullptr ||
                             is_worse(here, passed, *worst[i].feed, worst[i].passed_a))) {
                worst[i].feed = &here;
                worst[i].passed_a = passed;
                worst[i].state = states[s]->state;
            }
            if (here.is_fed && !here.is_unprotected && !here.is_return &&
                passed > worst[i].guarded_a) {
                worst[i].guarded = &here;
                worst[i].guarded_a = passed;
            }
        }
    }
    // What no state feeds is judged with every contact closed: a switch may be put there by hand.
    std::vector<WireFeed> out(worst.size());
    for (std::size_t i = 0; i < worst.size(); ++i) {
        if (worst[i].feed != nullptr) {
            out[i] = *worst[i].feed;
            if (out[i].is_unprotected && worst[i].guarded_a > worst[i].passed_a) {
                // Short enough to go without a device in one state, it has to suit those that feed
                // it in another all the same.
                const double source_a = out[i].self_limited_a;
                out[i] = *worst[i].guarded;
                out[i].is_unprotected = out[i].is_guarded_elsewhere = true;
                out[i].self_limited_a = source_a;
            }
            out[i].rating_a = worst_share(design, out[i]).rating_a;
            out[i].state = worst[i].state;
        }
    }
    if (std::ranges::any_of(worst, [](const Worst& row) { return row.feed == nullptr; })) {
        const std::shared_ptr<const Feeds> all = find({});
        const Feeds& closed = *all;
        for (std::size_t i = 0; i < worst.size(); ++i) {
            if (worst[i].feed == nullptr) {
                out[i] = closed[i];
                out[i].rating_a = worst_share(design, closed[i]).rating_a;
            }
        }
    }
    return out;
}

} // namespace loomwright
