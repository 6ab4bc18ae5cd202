// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/operating.hpp"

#include <vector>

namespace loomwright {

/// The greatest current that a dead short to the metal of the car, just beyond a protective device,
/// can draw through it.
struct Prospect {
    double amps = 0.0;   ///< 0: no source drives any
    double open_v = 0.0; ///< of what drives it, with nothing connected; 0: it limits itself
    StateId state;       ///< in which it is greatest
    /// Of everything on the way from the sources and home; 0 where those limit themselves.
    [[nodiscard]] double ohm() const { return amps > 0.0 ? open_v / amps : 0.0; }
};
/// Both ways through one device.
struct ProspectPair {
    Prospect onward; ///< from its first terminal to its second
    Prospect back;   ///< and the other way, for a device that is fed from both sides
    [[nodiscard]] const Prospect& greater() const {
        return back.amps > onward.amps ? back : onward;
    }
};

/// By DeviceId, of protective devices, over the states that were solved. Prospective as the fuse
/// standards have it: as if the device itself were a piece of metal. Wires at 20 C, other devices
/// cold, batteries as they are in the state, alternators and chargers at their limit whatever the
/// voltage, diodes as metal, no loads: not less than what the car can do, as far as its resistances
/// are right.
[[nodiscard]] std::vector<ProspectPair>
prospective_currents(const StudyInput& input, const Design& design,
                     const std::vector<StateSolution>& states);

} // namespace loomwright
