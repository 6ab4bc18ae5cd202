// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/fault_circuit.hpp"
#include "study/fault_heat.hpp"
#include "study/faults.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Opens branches of one state, one after another: what goes dead, what wakes, what burns.
class OpenRunner {
public:
    /// All of it outlives this. `curves` by DeviceId. `sneak_share`: of its rated voltage, from
    /// which a device counts as awake that should be off.
    OpenRunner(const FaultBase& base, const FaultHeat& heat, FaultCircuit& circuit,
               std::span<const OpeningCurve> curves, double breaker_cooling_s, double sneak_share);

    /// `open` comes with its state and branch.
    void run(OpenCase& open);

private:
    void compare(OpenCase& open);
    void look_for_sneak(std::size_t device, OpenCase& open);
    void compare_controllers(OpenCase& open) const;
    void look_for_heat(OpenCase& open);
    [[nodiscard]] bool is_raised(int branch) const;
    [[nodiscard]] std::vector<int> way_of(int branch) const;
    [[nodiscard]] int busiest_load(std::size_t device) const;

    const FaultBase& base_;
    FaultCircuit& circuit_;
    std::vector<double> sneak_v_;  ///< by DeviceId; infinite: it cannot be woken by a low voltage
    std::vector<DeviceId> turned_; ///< motors that something else turns in this state
    /// A controller is awake that draws nothing: it lives by a voltage over branches without
    /// current.
    bool has_one_without_current_ = false;
    std::vector<DeviceState> devices_;
    std::span<const OpeningCurve> curves_;
    double breaker_cooling_s_;
    double lasts_s_; ///< how long the state goes on: cranking has an end
    HeatRun heat_run_;
};

} // namespace loomwright
