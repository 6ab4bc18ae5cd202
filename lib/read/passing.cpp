// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "read/passing.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <string_view>
#include <unordered_map>
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
    void join(int a, int b) { leader_[leader_of(a)] = leader_of(b); }
    [[nodiscard]] bool are_joined(int a, int b) { return leader_of(a) == leader_of(b); }
    /// The same for all of a group; of one that is joined to nothing itself.
    int leader_of(int terminal) {
        auto here = leader_.find(terminal);
        while (here != leader_.end() && here->second != terminal) {
            const auto next = leader_.find(here->second);
            if (next == leader_.end()) {
                return here->second;
            }
            here->second = next->second;
            terminal = next->second;
            here = leader_.find(terminal);
        }
        return terminal;
    }

private:
    std::unordered_map<int, int> leader_;
};

Joined joined_in(const SwitchPosition& position) {
    Joined out;
    for (const ContactPair& pair : position.closed) {
        out.join(pair.from, pair.to);
    }
    return out;
}

bool switch_joins(const Switch& contacts, int in, int out) {
    return std::ranges::any_of(contacts.positions, [&](const SwitchPosition& position) {
        return joined_in(position).are_joined(in, out);
    });
}

/// Terminals of a unit that a device in it joins, all at once: those that a position of a switch
/// joins, or the two of anything else.
struct InnerJoint {
    std::size_t device = 0;
    std::vector<int> terminals; ///< of the unit; one may stand twice
};

void add_switch_joints(std::size_t index, const Device& inner, const Switch& contacts,
                       std::vector<InnerJoint>& out) {
    for (const SwitchPosition& position : contacts.positions) {
        Joined joined = joined_in(position);
        std::unordered_map<int, InnerJoint> groups;
        for (const ContactPair& pair : position.closed) {
            InnerJoint& group = groups[joined.leader_of(pair.from)];
            for (const int end : {pair.from, pair.to}) {
                const int terminal = inner.housing_terminal[static_cast<std::size_t>(end)];
                if (terminal >= 0) {
                    group.terminals.push_back(terminal);
                }
            }
        }
        for (auto& [leader, group] : groups) {
            group.device = index;
            out.push_back(std::move(group));
        }
    }
}

std::vector<InnerJoint> inner_joints(const Vehicle& vehicle, DeviceId id) {
    std::vector<InnerJoint> out;
    for (std::size_t i = id.index() + 1; i < vehicle.devices.size(); ++i) {
        const Device& inner = vehicle.devices[i];
        if (inner.housing != id) {
            break; // inner devices follow their unit
        }
        if (const auto* contacts = inner.as<Switch>()) {
            add_switch_joints(i, inner, *contacts, out);
        } else if (inner.housing_terminal.size() == 2 && inner.housing_terminal[0] >= 0 &&
                   inner.housing_terminal[1] >= 0) {
            out.push_back({i, inner.housing_terminal});
        }
    }
    return out;
}

/// From terminal to terminal, never by the same device twice in a row: what one position of a
/// switch joins it joins at once, and two positions do not hold together.
bool unit_joins(const Vehicle& vehicle, DeviceId id, int in, int out) {
    const std::vector<InnerJoint> joints = inner_joints(vehicle, id);
    const std::size_t count = vehicle.device(id).terminals.size();
    std::vector<std::vector<std::size_t>> at(count);
    for (std::size_t k = 0; k < joints.size(); ++k) {
        for (const int terminal : joints[k].terminals) {
            at[static_cast<std::size_t>(terminal)].push_back(k);
        }
    }
    // The unit stands for what comes from outside.
    std::vector<std::pair<int, std::size_t>> open{{in, id.index()}};
    std::vector<std::vector<std::size_t>> came_by(count); // two at most: no third opens more
    std::vector<std::uint8_t> is_passed(joints.size(), 0);
    while (!open.empty()) {
        const auto [terminal, by] = open.back();
        open.pop_back();
        std::vector<std::size_t>& before = came_by[static_cast<std::size_t>(terminal)];
        if (before.size() == 2 || std::ranges::find(before, by) != before.end()) {
            continue;
        }
        before.push_back(by);
        for (const std::size_t k : at[static_cast<std::size_t>(terminal)]) {
            if (joints[k].device == by || std::exchange(is_passed[k], 1) != 0) {
                continue;
            }
            for (const int next : joints[k].terminals) {
                open.emplace_back(next, joints[k].device);
            }
        }
    }
    return !came_by[static_cast<std::size_t>(out)].empty();
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
        return in != out && switch_joins(*contacts, in, out);
    }
    if (device.as<Unit>() != nullptr) {
        return in != out && unit_joins(vehicle, id, in, out);
    }
    return in != out;
}

} // namespace loomwright
