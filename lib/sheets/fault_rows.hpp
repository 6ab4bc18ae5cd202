// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/fault_sheets.hpp"

#include <string>
#include <vector>

namespace loomwright {

/// One place whose short burns a conductor, over all states.
struct ShortDanger {
    int node = 0;
    std::vector<std::size_t> cases;  ///< into FaultSweep::shorts: ends of wires there, of one state
    std::vector<std::size_t> states; ///< into FaultSweep::states, in which it does
    const ShortEvent* worst = nullptr;
    bool is_before_protection = false; ///< no protective device stands before any wire there
};
/// The worst first; places before any protective device after the others of their kind.
[[nodiscard]] std::vector<ShortDanger> short_dangers(const FaultAnswer& answer);

/// One device woken or turned round by a current that takes one way, whichever of several things is
/// opened for it.
struct SneakDanger {
    std::vector<int> branches;               ///< what is opened, in the order of the file
    const UnexpectedDevice* worst = nullptr; ///< with the highest voltage
    std::vector<std::size_t> states;         ///< into FaultSweep::states, rising
};
/// In the order of the file.
[[nodiscard]] std::vector<SneakDanger> sneak_dangers(const FaultAnswer& answer);

/// Neither end of what the short does to conductors is good.
[[nodiscard]] bool burns(ShortOutcome outcome);

[[nodiscard]] std::string device_list(const StudyInput& study,
                                      const std::vector<DeviceId>& devices);
/// "F2 by 0.1 s, then F3 or F10 by 0.4 s".
[[nodiscard]] std::string openings_text(const StudyInput& study, const ShortEvent& event);
/// What it has: "work", "current, the wrong way".
[[nodiscard]] std::string sneak_text(const UnexpectedDevice& device);
/// Temperature as it is told: what is over 1000 C is as good as that.
[[nodiscard]] double told_c(double celsius);

} // namespace loomwright
