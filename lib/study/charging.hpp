// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "model/vehicle.hpp"
#include "tables/catalogue.hpp"

#include <vector>

namespace loomwright {

/// A battery of the vehicle.
[[nodiscard]] const Battery& battery_of(const Vehicle& vehicle, DeviceId id);
/// True when the engine stands in the state.
[[nodiscard]] bool is_stopped(const Vehicle& vehicle, StateId state);

/// Charge (0..1) gained each second at a delivered current: the equations of energy.cpp.
class ChargeRate {
public:
    ChargeRate(const Vehicle& vehicle, const Catalogue& catalogue);
    [[nodiscard]] double of(DeviceId battery, double amps, bool engine_is_stopped) const;

private:
    const Vehicle& vehicle_;
    double efficiency_;
    double self_a_second_;
};

/// Charges after a time at these rates, between 0 and 1.
[[nodiscard]] std::vector<double> charge_after(const std::vector<double>& charge,
                                               const std::vector<double>& rate, double seconds);

} // namespace loomwright
