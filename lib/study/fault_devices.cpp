// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/fault_devices.hpp"

namespace loomwright {
namespace {

constexpr double lost_share = 0.01;

} // namespace

bool is_worker(const Device& device) {
    return device.as<Load>() != nullptr || device.as<Sensor>() != nullptr ||
           device.as<Controller>() != nullptr || device.as<Relay>() != nullptr ||
           device.as<Starter>() != nullptr || device.as<Alternator>() != nullptr ||
           device.as<Charger>() != nullptr;
}

bool gives_current(const Device& device) {
    return device.as<Alternator>() != nullptr || device.as<Charger>() != nullptr;
}

bool has_died(const Device& device, const DeviceState& before, const DeviceState& now) {
    if (!before.on) {
        return false;
    }
    return gives_current(device) ? now.amps < lost_share * before.amps : !now.on;
}

} // namespace loomwright
