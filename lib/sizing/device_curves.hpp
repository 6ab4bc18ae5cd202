// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/device_bands.hpp"
#include "sizing/sizing.hpp"

#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// How long the conductor of a wire stands each current: from its class temperature to the
/// short-time limit of its insulation, in its place.
struct WithstandCurve {
    WireId wire;
    std::vector<double> amps; ///< rising
    std::vector<double> seconds;
    double ampacity_a = 0.0;    ///< its class temperature for good
    double least_a = 0.0;       ///< below this current it never comes to the short-time limit
    double withstand_a2s = 0.0; ///< k^2 S^2, what the curve comes to at short times
};
/// The curve from its least current to `most_a`; nothing for a place that is as hot as the class.
[[nodiscard]] std::optional<WithstandCurve>
withstand_curve(const StudyInput& input, const Sizing& sizing, WireId wire, double most_a);

/// The least dead short to the metal of the car (Network::reference) that a device has to open, in
/// the first moment: contacts stand as in the state, conductors are as warm, batteries as charged.
/// It is at an end of a wire that the device protects, where a third or more of the short passes
/// it.
struct LeastShort {
    double amps = 0.0;
    WireId wire;
    StateId state;
};
/// Of each of the devices, in the states as they are solved; nothing where none of them feeds a
/// wire through the device.
[[nodiscard]] std::vector<std::optional<LeastShort>>
least_shorts(const StudyInput& input, const Sizing& sizing, std::span<const FuseSizing> fuses);

/// The starts that a device sees (sizing/joint_starts.hpp), of each set of loads the one of most
/// I^2 t, the greatest first.
[[nodiscard]] std::vector<StartPulse> starts_through(const StudyInput& input, const Sizing& sizing,
                                                     DeviceId device);

/// A protective device that feeds another, with its band in its place.
struct UpstreamBand {
    DeviceId device;
    TimeCurrentBand band;
};
/// The devices that feed the wires on a device's terminals, in the order of the file.
[[nodiscard]] std::vector<UpstreamBand> upstream_bands(const StudyInput& input,
                                                       const Sizing& sizing, DeviceId device);

} // namespace loomwright
