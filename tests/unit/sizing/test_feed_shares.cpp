// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// How many amperes can meet in one part of a wire: sums by hand, by the sentences of
// lib/sizing/feeds.hpp.

#include "sizing/feeds.hpp"
#include "sizing/sizing.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

namespace {

/// Devices 0 to 3: fuses of 10, 7.5 and 15 A, and one whose rating is not known yet.
Design ratings() {
    Design design;
    design.ratings = {Amps(10.0), Amps(7.5), Amps(15.0), std::nullopt};
    return design;
}

WireFeed fed_by(std::vector<DeviceId> devices, std::size_t at_one_end) {
    WireFeed feed;
    feed.is_fed = true;
    feed.devices = std::move(devices);
    feed.at_one_end = at_one_end;
    return feed;
}

} // namespace

TEST_CASE("feed shares: fuses at one end add up, those at two ends do not") {
    const Design design = ratings();
    const WireFeed one_end = fed_by({DeviceId(0), DeviceId(1)}, 0);
    CHECK(worst_share(design, one_end).rating_a == 17.5);
    const WireFeed two_ends = fed_by({DeviceId(0), DeviceId(1)}, 1);
    const FeedShare worse = worst_share(design, two_ends);
    CHECK(worse.rating_a == 10.0);
    REQUIRE(worse.devices.size() == 1);
    CHECK(worse.devices[0] == DeviceId(0));
    const WireFeed rest = fed_by({DeviceId(0), DeviceId(1), DeviceId(2)}, 1);
    CHECK(worst_share(design, rest).rating_a == 22.5);
}

TEST_CASE("feed shares: a device without a rating lets nothing more pass") {
    const Design design = ratings();
    CHECK(worst_share(design, fed_by({DeviceId(0), DeviceId(3)}, 0)).rating_a == 10.0);
    CHECK(worst_share(design, fed_by({DeviceId(3)}, 0)).rating_a == 0.0);
}

TEST_CASE("feed shares: what limits itself counts at its own end") {
    const Design design = ratings();
    WireFeed feed = fed_by({DeviceId(0), DeviceId(1)}, 1);
    feed.limited_first_a = 1.0;
    feed.limited_rest_a = 5.0;
    const FeedShare worse = worst_share(design, feed); // 10 + 1 against 7.5 + 5
    CHECK(worse.rating_a == 7.5);
    CHECK(worse.beside_a == 5.0);
    feed.limited_rest_a = 3.0; // 10 + 1 against 7.5 + 3
    CHECK(worst_share(design, feed).rating_a == 10.0);
    CHECK(worst_share(design, feed).beside_a == 1.0);
}

TEST_CASE("feed shares: of a return the largest fuse counts, not the sum") {
    const Design design = ratings();
    WireFeed feed = fed_by({DeviceId(0), DeviceId(1), DeviceId(2)}, 0);
    feed.is_return = true;
    CHECK(worst_share(design, feed).rating_a == 15.0);
    CHECK(worst_share(design, feed).devices.size() == 3);
    CHECK(worst_share(design, feed).beside_a == 0.0);
    feed.devices = {DeviceId(3)};
    CHECK(worst_share(design, feed).rating_a == 0.0);
}

TEST_CASE(
    "feed shares: of devices in a row on a way home the least counts, and of the rows the most") {
    const Design design = ratings();
    WireFeed feed = fed_by({DeviceId(2)}, 0); // 15 A, and 7.5 A in its way home
    feed.is_return = true;
    feed.in_way_home = {{DeviceId(1)}};
    CHECK(worst_share(design, feed).rating_a == 7.5);
    REQUIRE(worst_share(design, feed).devices.size() == 1);
    CHECK(worst_share(design, feed).devices[0] == DeviceId(1));
    feed.devices.emplace_back(0U); // 10 A, with nothing in its way home
    CHECK(worst_share(design, feed).rating_a == 10.0);
    CHECK(worst_share(design, feed).devices[0] == DeviceId(0));
    feed.in_way_home = {{DeviceId(1), DeviceId(3)}, {DeviceId(2)}}; // 7.5 A, and 10 A before 15 A
    CHECK(worst_share(design, feed).rating_a == 10.0);
    // A rating that is not known does not say that less passes; one that is known does.
    feed.devices = {DeviceId(3)};
    feed.in_way_home = {{DeviceId(1)}};
    CHECK(worst_share(design, feed).rating_a == 7.5);
}

TEST_CASE("feed shares: of a return those that feed one load together add up") {
    const Design design = ratings();
    WireFeed feed = fed_by({DeviceId(0), DeviceId(1), DeviceId(2)}, 0);
    feed.is_return = true;
    feed.together = {{{DeviceId(0), DeviceId(1)}, {}}}; // 10 + 7.5 A against 15 A
    CHECK(worst_share(design, feed).rating_a == 17.5);
    CHECK(worst_share(design, feed).is_sum);
    CHECK(worst_share(design, feed).devices.size() == 2);
    feed.together = {{{DeviceId(0), DeviceId(3)}, {}}}; // 10 A and one not known, against 15 A
    CHECK(worst_share(design, feed).rating_a == 15.0);
    CHECK_FALSE(worst_share(design, feed).is_sum);
    // 10 + 7.5 A through 15 A in the way home; 10 A and 7.5 A alone are less.
    feed.devices = {DeviceId(0), DeviceId(1)};
    feed.in_way_home = {{DeviceId(2)}, {DeviceId(2)}};
    feed.together = {{{DeviceId(0), DeviceId(1)}, {DeviceId(2)}}};
    CHECK(worst_share(design, feed).rating_a == 15.0);
    CHECK_FALSE(worst_share(design, feed).is_sum);
    REQUIRE(worst_share(design, feed).devices.size() == 1);
    CHECK(worst_share(design, feed).devices[0] == DeviceId(2));
}
