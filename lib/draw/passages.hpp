// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"

#include <vector>

namespace loomwright::draw {

/// A way through a device, from one of its terminals to another (or to that of its mate).
struct Passage {
    TerminalRef to;
    bool is_load = false;    ///< current does work on the way: the feed ends here
    DeviceId through;        ///< the device (inside a unit: the inner one) that is passed
    bool is_guarded = false; ///< by a protective device
};

/// The ways through all devices, whatever their contacts may be set to.
class Passages {
public:
    explicit Passages(const Vehicle& vehicle);
    [[nodiscard]] const std::vector<Passage>& from(TerminalRef ref) const {
        return ways_[ref.device.index()][static_cast<std::size_t>(ref.terminal)];
    }

private:
    void add_device(std::size_t index);
    void add(std::size_t device, int from, int to, bool is_load);
    void both(std::size_t device, int a, int b, bool is_load) {
        add(device, a, b, is_load);
        add(device, b, a, is_load);
    }
    void all_to_all(std::size_t device);
    void join_position(std::size_t device, const SwitchPosition& position);

    const Vehicle& vehicle_;
    std::vector<std::vector<std::vector<Passage>>> ways_;
};

} // namespace loomwright::draw
