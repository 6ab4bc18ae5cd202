// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/fault_dangers.hpp"
#include "sizing/sizing.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// A device that works, or gets current, by a way that is not meant for it.
struct SneakWay {
    DeviceId device;
    double volts = 0.0; ///< across it
    double amps = 0.0;
    bool is_on = false;
    bool is_reversed = false;
    std::vector<int> way;            ///< branches along the current
    std::vector<int> opened;         ///< any of these does it; empty: the car as it is
    std::vector<std::string> states; ///< in the order of the file
};

/// What works in a state that expects it off, by a current through another load or from a motor
/// that is turned.
[[nodiscard]] std::vector<SneakWay> state_sneaks(const StudyInput& study, const Sizing& sizing);
/// What wakes, or is turned round, when something is opened.
[[nodiscard]] std::vector<SneakWay> fault_sneaks(const FaultAnswer& answer);

} // namespace loomwright
