// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/layered_layout.hpp"

#include <vector>

namespace loomwright::draw {

/// Lines that start at one pin at the left of a channel and end at pins at its right.
struct ChannelNet {
    struct Target {
        double y = 0.0;
        double width = 0.25;
    };
    double source = 0.0;
    std::vector<Target> targets;
};

/// The lines of one channel, x from 0 at its left, and the width that it needs.
struct Channel {
    std::vector<RoutedLine> lines;
    std::vector<Spot> dots;
    double width = 0.0;
};

/// Routes the nets of a channel between two columns: each as one upright trunk with arms, on a
/// track of its own where trunks would touch. Where two nets ask to be left of each other, one of
/// them gets a second trunk.
[[nodiscard]] Channel route_channel(const std::vector<ChannelNet>& nets);

} // namespace loomwright::draw
