// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/network.hpp"

#include <cstdint>
#include <vector>

namespace loomwright {

/// By node: 1 for the metal of the car and what wires alone join to it. One more at the end: 1
/// where the plus of a battery is on that metal, and the minus of none.
[[nodiscard]] std::vector<std::uint8_t> ground_nodes(const Network& network);

/// The post of a source that feeds the car: its plus, or its minus in a car whose plus is on its
/// metal. Of a source in a row that is not the one on the metal the car decides.
[[nodiscard]] inline int live_post(const Branch& source, const std::vector<std::uint8_t>& ground) {
    const bool is_plus_grounded =
        ground[static_cast<std::size_t>(source.from)] != 0 || ground.back() != 0;
    return is_plus_grounded && ground[static_cast<std::size_t>(source.to)] == 0 ? source.to
                                                                                : source.from;
}
/// The other post: where the current comes home to.
[[nodiscard]] inline int home_post(const Branch& source, const std::vector<std::uint8_t>& ground) {
    return live_post(source, ground) == source.from ? source.to : source.from;
}

/// The node of a device's case that stands on metal of the car; -1: it has no such case.
[[nodiscard]] int case_node(const Network& network, DeviceId device);

} // namespace loomwright
