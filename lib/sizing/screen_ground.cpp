// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/screen_ground.hpp"

#include <algorithm>
#include <array>
#include <string_view>

namespace loomwright {

bool is_screen_ground(const Vehicle& vehicle, const Network& network,
                      const std::vector<std::uint8_t>& ground, TerminalRef at) {
    const int node = network.node(at);
    if (node >= 0 && ground[static_cast<std::size_t>(node)] != 0) {
        return true;
    }
    const Device& device = vehicle.device(at.device);
    const auto index = static_cast<std::size_t>(at.terminal);
    const auto* controller = device.as<Controller>();
    if (controller != nullptr && controller->parts[index].part == TerminalPart::ground) {
        return true;
    }
    const std::string_view name = device.terminals[index];
    constexpr std::array<std::string_view, 3> words{"ground", "shield", "screen"};
    return name.starts_with("31") || std::ranges::any_of(words, [name](std::string_view word) {
               return name.find(word) != std::string_view::npos;
           });
}

} // namespace loomwright
