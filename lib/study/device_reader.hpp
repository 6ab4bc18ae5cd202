// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/state_circuit.hpp"

#include <vector>

namespace loomwright {

/// What is read at the branches of the network in a solved circuit, however it was solved.
class BranchReadings {
public:
    BranchReadings() = default;
    BranchReadings(const BranchReadings&) = delete;
    BranchReadings& operator=(const BranchReadings&) = delete;
    BranchReadings(BranchReadings&&) = delete;
    BranchReadings& operator=(BranchReadings&&) = delete;
    virtual ~BranchReadings() = default;

    [[nodiscard]] virtual double amps(int branch) const = 0;  ///< 0 where open
    [[nodiscard]] virtual double volts(int branch) const = 0; ///< 0 where an end floats
    [[nodiscard]] virtual double volts_between(int from, int to) const = 0; ///< of two nodes
    [[nodiscard]] virtual bool conducts(int branch) const = 0;
};

/// Of a controller whose draw is not given: the best of its feeds over its ground, V.
[[nodiscard]] double bare_controller_volts(const StudyPlan& plan, const ControllerPlan& controller,
                                           const BranchReadings& branches);

/// The state of each device, by DeviceId, with relays and loads as they stand in the circuit.
void read_devices(const StudyPlan& plan, const StateCircuit& circuit,
                  const BranchReadings& branches, std::vector<DeviceState>& out);

} // namespace loomwright
