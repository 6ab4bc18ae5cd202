// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/time_current.hpp"
#include "study/operating.hpp"

namespace loomwright {

/// Air at a device as its two sides need it: that of its place, and the hottest of that and of the
/// states that have their own. A state colder than its place counts for nothing here: there the
/// wires are colder too, and gain more by it (docs/method/curves.md).
[[nodiscard]] AirRange air_range(const StudyInput& input, DeviceId device);

/// The band of a protective device of this rating in its place: of its family or of the vehicle
/// file's curve, moved by the air there (`in_air`); of a fusible link by its conductor, whatever
/// the rating. Empty sides where nothing is known of it, and for a device that protects nothing.
[[nodiscard]] TimeCurrentBand band_in_place(const StudyInput& input, DeviceId device,
                                            double rating_a, AirRange air);
[[nodiscard]] TimeCurrentBand band_in_place(const StudyInput& input, DeviceId device,
                                            double rating_a);
/// The same in one air, C.
[[nodiscard]] TimeCurrentBand band_in_air(const StudyInput& input, DeviceId device, double rating_a,
                                          double air_c);
/// To what share of their currents air moves the shortest opening times; 1 where none are known.
[[nodiscard]] double moved_share(const StudyInput& input, DeviceId device, double rating_a,
                                 double air_c);
/// The air that opening times are stated in: at it, or below, the shortest side is as published.
constexpr double cool_air_c = 23.0;

/// What devices of this rating together ask of the wires behind them, `device` being the largest:
/// by the slow side of its band in the air of its place.
[[nodiscard]] DeviceBand band_before_wires(const StudyInput& input, DeviceId device,
                                           double rating_a);

} // namespace loomwright
