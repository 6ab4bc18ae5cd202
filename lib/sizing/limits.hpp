// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <string>

namespace loomwright {

/// A limit with where it comes from: the file's policy, or the tables.
struct Limit {
    double value = 0.0;
    std::string source;
};

/// Permitted share of a protective device's rating, continuously.
[[nodiscard]] Limit fuse_loading_limit(const StudyInput& input);
/// Permitted drop of the whole circuit of a class, for the vehicle's nominal voltage.
[[nodiscard]] Limit drop_limit(const StudyInput& input, CircuitId circuit);
/// Least conductor area that lasts in a car, m2.
[[nodiscard]] Limit least_area(const StudyInput& input);
/// Least voltage for a controller that must stay awake.
[[nodiscard]] Limit least_controller_voltage(const StudyInput& input, const Controller& controller);
/// How far the ground of a sensor, or of another controller, may stand from a controller's.
[[nodiscard]] Limit ground_offset_limit(const StudyInput& input, bool is_sensor);
/// How long cranking is taken to last.
[[nodiscard]] Limit cranking_time(const StudyInput& input, StateId state);
/// Longest unfused length of wire from its source: bare, covered all the way, or at a battery's
/// post.
[[nodiscard]] Limit unfused_length_limit(const StudyInput& input, bool is_covered, bool at_battery);

/// The loops for making the ends again, both ends together: so much longer than needed a wire that
/// is cut may be, and still lie well.
[[nodiscard]] Limit service_loops(const StudyInput& input);

/// The standard that `auto` picks from for a wire: that of the policy, else the one most written
/// sizes are of, else mm2; but one on which the wire's insulation is sold.
[[nodiscard]] SizeStandard auto_standard(const StudyInput& input, const Insulation& insulation);
/// The insulation of a wire: its own, or the policy's, or the tables'.
[[nodiscard]] const Insulation* insulation_of(const StudyInput& input, const Wire& wire);
/// Air round a device in a state.
[[nodiscard]] Celsius device_air(const StudyInput& input, DeviceId device, const State* state);
/// Share of its rating that a protective device keeps in hot air: 1 - slope x (air - from), 0.1 at
/// least.
[[nodiscard]] double temperature_factor(const FuseFamily& family, Celsius air);

} // namespace loomwright
