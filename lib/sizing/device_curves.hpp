// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/device_bands.hpp"
#include "sizing/sizing.hpp"

#include <optional>
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

/// The currents of dead shorts to the metal of the car that a device has to open, each in the first
/// moment: contacts stand as in the state, conductors are as warm, batteries as charged.
struct FaultCurrents {
    double most_a = 0.0; ///< at the device's own terminals
    StateId most_state;
    double least_a = 0.0; ///< at an end of a wire that it protects, where a third or more of the
                          ///< short passes it
    WireId least_wire;
    StateId least_state;
};
/// Of the states as they are solved; nothing where none of them feeds a wire through the device.
[[nodiscard]] std::optional<FaultCurrents>
fault_currents(const StudyInput& input, const Sizing& sizing, const FuseSizing& fuse);

/// The start of one load as a device on its way sees it: the start pulse at its peak for all the
/// time that is written, while the others run; then what flows once it runs too.
struct LoadStart {
    DeviceId load;
    StateId state;
    double amps = 0.0;
    double seconds = 0.0;
    double after_a = 0.0;
};
/// Of each load fed through the device the start of most I^2 t, the greatest first.
[[nodiscard]] std::vector<LoadStart> load_starts(const StudyInput& input, const Sizing& sizing,
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
