// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/charging.hpp"

#include <algorithm>

namespace loomwright {
namespace {

constexpr double seconds_a_day = 86400.0;

} // namespace

const Battery& battery_of(const Vehicle& vehicle, DeviceId id) {
    return *vehicle.device(id).as<Battery>();
}

bool is_stopped(const Vehicle& vehicle, StateId state) {
    return !state.is_valid() || vehicle.state(state).engine == EngineCondition::stopped;
}

ChargeRate::ChargeRate(const Vehicle& vehicle, const Catalogue& catalogue)
    : vehicle_(vehicle), efficiency_(catalogue.default_value("battery-charge-efficiency").value),
      self_a_second_(catalogue.default_value("battery-self-discharge").value / seconds_a_day) {}

double ChargeRate::of(DeviceId battery, double amps, bool engine_is_stopped) const {
    const double capacity = battery_of(vehicle_, battery).capacity.value();
    const double useful = amps < 0.0 ? efficiency_ * amps : amps;
    return -useful / capacity - (engine_is_stopped ? self_a_second_ : 0.0);
}

std::vector<double> charge_after(const std::vector<double>& charge, const std::vector<double>& rate,
                                 double seconds) {
    std::vector<double> out = charge;
    for (std::size_t k = 0; k < out.size(); ++k) {
        out[k] = std::clamp(out[k] + rate[k] * seconds, 0.0, 1.0);
    }
    return out;
}

} // namespace loomwright
