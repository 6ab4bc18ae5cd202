// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/device_bands.hpp"

#include "sizing/limits.hpp"
#include "sizing/link_band.hpp"
#include "sizing/protect.hpp"

#include <algorithm>

namespace loomwright {

AirRange air_range(const StudyInput& input, DeviceId device) {
    const double here = device_air(input, device, nullptr).value();
    AirRange out{here, here};
    for (const State& state : input.vehicle.states) {
        out.hottest_c = std::max(out.hottest_c, device_air(input, device, &state).value());
    }
    return out;
}

TimeCurrentBand band_in_place(const StudyInput& input, DeviceId device, double rating_a,
                              AirRange air) {
    const FuseFamily* family = family_of(input, device);
    if (family == nullptr) {
        return {};
    }
    const Conductor* link = link_conductor(input, device);
    if (link != nullptr && family->gates.empty()) {
        return link_band(*link, air);
    }
    return rating_a > 0.0 ? in_air(time_current_band(*family, rating_a), family->opening_per_k, air)
                          : TimeCurrentBand();
}

TimeCurrentBand band_in_place(const StudyInput& input, DeviceId device, double rating_a) {
    return band_in_place(input, device, rating_a, air_range(input, device));
}

TimeCurrentBand band_in_air(const StudyInput& input, DeviceId device, double rating_a,
                            double air_c) {
    return band_in_place(input, device, rating_a, {air_c, air_c});
}

double moved_share(const StudyInput& input, DeviceId device, double rating_a, double air_c) {
    const TimeCurrentBand cool = band_in_air(input, device, rating_a, cool_air_c);
    const TimeCurrentBand there = band_in_air(input, device, rating_a, air_c);
    return cool.shortest.empty() ? 1.0 : there.shortest.front().amps / cool.shortest.front().amps;
}

DeviceBand band_before_wires(const StudyInput& input, DeviceId device, double rating_a) {
    const FuseFamily* family = family_of(input, device);
    if (family == nullptr) {
        return {};
    }
    return band_of(in_air(time_current_band(*family, rating_a), family->opening_per_k,
                          air_range(input, device)));
}

} // namespace loomwright
