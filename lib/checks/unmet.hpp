// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// One device that is not as one or more states expect it.
struct Unmet {
    DeviceId device;
    bool should_be_on = false;
    std::vector<std::string> states;
    SourceRange where;
    double volts = 0.0;
    double amps = 0.0;
    /// The way of its current, where that is through another load; the figures are then those of
    /// the branch of it that carries most.
    std::vector<int> sneak;
    bool is_on = true; ///< false: it only gets current
    /// Of a relay or a starter solenoid that should be in: at its coil, and at which it comes in,
    /// as warm as it is.
    double coil_volts = 0.0;
    double pull_in_v = 0.0; ///< 0: it has no coil
    /// Of a load that should work: the resistor in a row with it without whose voltage it would, so
    /// that its rated point may be another than is written; invalid: none.
    DeviceId ballast{};
};

/// In the order of the states; a device woken by several ways once for each.
[[nodiscard]] std::vector<Unmet> unmet_expectations(const StudyInput& study, const Sizing& sizing);

} // namespace loomwright
