// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
// Properties of the channel router on random nets: every target is reached, and lines of two nets
// never run on one another. Pins keep the distances that the layout gives them.
#include "draw/channel.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <set>

using namespace loomwright::draw;

namespace {

constexpr double near = 1e-6;

bool touch(const RoutedLine& line, Spot spot) {
    const double left = std::min(line.a.x, line.b.x) - near;
    const double right = std::max(line.a.x, line.b.x) + near;
    const double top = std::min(line.a.y, line.b.y) - near;
    const double bottom = std::max(line.a.y, line.b.y) + near;
    return spot.x >= left && spot.x <= right && spot.y >= top && spot.y <= bottom;
}

/// True when a chain of touching lines of the net leads from `start` to `end`.
bool is_connected(const std::vector<RoutedLine>& lines, int net, Spot start, Spot end) {
    std::set<std::size_t> reached;
    std::vector<Spot> open = {start};
    while (!open.empty()) {
        const Spot spot = open.back();
        open.pop_back();
        for (std::size_t i = 0; i < lines.size(); ++i) {
            if (lines[i].net != net || reached.contains(i) || !touch(lines[i], spot)) {
                continue;
            }
            reached.insert(i);
            if (touch(lines[i], end)) {
                return true;
            }
            // Arms end on trunks and trunks pass the ends of arms: try all ends that lie on it.
            for (const RoutedLine& other : lines) {
                for (const Spot tip : {other.a, other.b, lines[i].a, lines[i].b}) {
                    if (touch(lines[i], tip)) {
                        open.push_back(tip);
                    }
                }
            }
        }
    }
    return false;
}

bool is_upright(const RoutedLine& line) {
    return std::abs(line.a.x - line.b.x) < near;
}

/// Shared length of two parallel lines that are nearer than `distance`.
double shared(const RoutedLine& p, const RoutedLine& q, double distance) {
    if (is_upright(p) != is_upright(q)) {
        return 0.0;
    }
    const auto across = [](const RoutedLine& line) {
        return is_upright(line) ? line.a.x : line.a.y;
    };
    const auto along = [](const RoutedLine& line) {
        const double a = is_upright(line) ? line.a.y : line.a.x;
        const double b = is_upright(line) ? line.b.y : line.b.x;
        return std::pair{std::min(a, b), std::max(a, b)};
    };
    if (std::abs(across(p) - across(q)) >= distance) {
        return 0.0;
    }
    const auto [p1, p2] = along(p);
    const auto [q1, q2] = along(q);
    return std::min(p2, q2) - std::max(p1, q1);
}

/// Pins of one side: at least 4 mm apart, as boxes in a column keep them.
std::vector<double> pins(std::mt19937& random, std::size_t count) {
    std::uniform_int_distribution<int> step(8, 24);
    std::vector<double> out;
    double y = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        y += 0.5 * step(random);
        out.push_back(y);
    }
    std::ranges::shuffle(out, random);
    return out;
}

std::vector<ChannelNet> random_nets(std::mt19937& random) {
    const std::size_t count = 1 + random() % 14;
    const std::vector<double> sources = pins(random, count);
    const std::vector<double> targets = pins(random, count + random() % 10);
    std::vector<ChannelNet> nets;
    for (const double source : sources) {
        nets.push_back({source, {}});
    }
    for (std::size_t i = 0; i < targets.size(); ++i) {
        const std::size_t net = i < count ? i : random() % count;
        nets[net].targets.push_back({targets[i], 0.25});
    }
    return nets;
}

void check_channel(const std::vector<ChannelNet>& nets) {
    const Channel channel = route_channel(nets);
    for (std::size_t n = 0; n < nets.size(); ++n) {
        for (const auto& target : nets[n].targets) {
            CHECK(is_connected(channel.lines, static_cast<int>(n), {0.0, nets[n].source},
                               {channel.width, target.y}));
        }
    }
    for (std::size_t i = 0; i < channel.lines.size(); ++i) {
        for (std::size_t k = i + 1; k < channel.lines.size(); ++k) {
            if (channel.lines[i].net != channel.lines[k].net) {
                CHECK(shared(channel.lines[i], channel.lines[k], 1.0) <= near);
            }
        }
    }
}

} // namespace

TEST_CASE("a line between level pins is straight") {
    const Channel channel = route_channel({{10.0, {{10.0, 0.5}}}});
    REQUIRE(channel.lines.size() == 1);
    CHECK(channel.lines[0].a.y == channel.lines[0].b.y);
    CHECK(channel.dots.empty());
}

TEST_CASE("a dot where lines part, none at a bend") {
    CHECK(route_channel({{10.0, {{20.0, 0.25}}}}).dots.empty());
    const Channel fork = route_channel({{10.0, {{0.0, 0.25}, {20.0, 0.25}}}});
    REQUIRE(fork.dots.size() == 1);
    CHECK(fork.dots[0].y == doctest::Approx(10.0));
}

TEST_CASE("two nets that would each have to stand left of the other") {
    check_channel({{0.0, {{10.0, 0.25}}}, {10.0, {{0.0, 0.25}}}});
    check_channel({{0.0, {{10.0, 0.25}}}, {10.0, {{20.0, 0.25}}}, {20.0, {{0.0, 0.25}}}});
}

TEST_CASE("random channels: all reached, nothing on top of another") {
    std::mt19937 random(20240611);
    for (int i = 0; i < 400; ++i) {
        CAPTURE(i);
        check_channel(random_nets(random));
    }
}
