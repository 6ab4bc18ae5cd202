// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/passing.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <utility>
#include <vector>

namespace loomwright {
namespace {

using Pair = std::pair<std::string_view, std::string_view>;

constexpr std::array<Pair, 3> relay_pairs{Pair{"30", "87"}, Pair{"30", "87a"}, Pair{"85", "86"}};
constexpr std::array<Pair, 2> starter_pairs{Pair{"30", "31"}, Pair{"50", "31"}};

template <std::size_t count>
bool is_one_of(const std::array<Pair, count>& pairs, std::string_view a, std::string_view b) {
    return std::ranges::any_of(pairs, [&](const Pair& pair) {
        return (pair.first == a && pair.second == b) || (pair.first == b && pair.second == a);
    });
}

/// Groups of terminals that are joined, one way or another.
class Joined {
public:
    explicit Joined(std::size_t count) : leader_(count) {
        for (std::size_t i = 0; i < count; ++i) {
            leader_[i] = i;
        }
    }
    void join(int a, int b) {
        if (a >= 0 && b >= 0) {
            leader_[find(static_cast<std::size_t>(a))] = find(static_cast<std::size_t>(b));
        }
    }
    [[nodiscard]] bool are_joined(int a, int b) {
        return find(static_cast<std::size_t>(a)) == find(static_cast<std::size_t>(b));
    }

private:
    std::size_t find(std::size_t i) {
        while (leader_[i] != i) {
            leader_[i] = leader_[leader_[i]];
            i = leader_[i];
        }
        return i;
    }
    std::vector<std::size_t> leader_;
};

bool switch_joins(const Switch& contacts, std::size_t terminals, int in, int out) {
    return std::ranges::any_of(contacts.positions, [&](const SwitchPosition& position) {
        Joined joined(terminals);
        for (const ContactPair& pair : position.closed) {
            joined.join(pair.from, pair.to);
        }
        return joined.are_joined(in, out);
    });
}

bool unit_joins(const Vehicle& vehicle, DeviceId id, int in, int out) {
    Joined joined(vehicle.device(id).terminals.size());
    for (std::size_t i = id.index() + 1; i < vehicle.devices.size(); ++i) {
        const Device& inner = vehicle.devices[i];
        if (inner.housing != id) {
            break; // inner devices follow their unit
        }
        if (const auto* contacts = inner.as<Switch>()) {
            for (const SwitchPosition& position : contacts->positions) {
                for (const ContactPair& pair : position.closed) {
                    joined.join(inner.housing_terminal[static_cast<std::size_t>(pair.from)],
                                inner.housing_terminal[static_cast<std::size_t>(pair.to)]);
                }
            }
        } else if (inner.housing_terminal.size() == 2) {
            joined.join(inner.housing_terminal[0], inner.housing_terminal[1]);
        }
    }
    return joined.are_joined(in, out);
}

} // namespace

bool can_pass(const Vehicle& vehicle, DeviceId id, int in, int out) {
    const Device& device = vehicle.device(id);
    const std::string_view a = device.terminals[static_cast<std::size_t>(in)];
    const std::string_view b = device.terminals[static_cast<std::size_t>(out)];
    if (device.as<Relay>() != nullptr) {
        return is_one_of(relay_pairs, a, b);
    }
    if (device.as<Starter>() != nullptr) {
        return is_one_of(starter_pairs, a, b);
    }
    if (device.as<Connector>() != nullptr) {
        return in == out;
    }
    if (const auto* contacts = device.as<Switch>()) {
        return in != out && switch_joins(*contacts, device.terminals.size(), in, out);
    }
    if (device.as<Unit>() != nullptr) {
        return in != out && unit_joins(vehicle, id, in, out);
    }
    return in != out;
}

} // namespace loomwright
