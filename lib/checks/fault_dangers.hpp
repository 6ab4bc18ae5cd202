// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/zones.hpp"
#include "sizing/sizing.hpp"
#include "study/faults.hpp"

#include <cstddef>
#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace loomwright {

/// Every short and every open in each state that a sizing has solved; `progress` as in FaultOrder.
[[nodiscard]] FaultSweep sweep_faults(const StudyInput& study, const Sizing& sizing,
                                      std::function<void(std::uint64_t, std::uint64_t)> progress);

/// What `faults` answers from.
struct FaultAnswer {
    const StudyInput& study;
    const FaultSweep& sweep;
    const std::vector<SourceZone>& zones; ///< with every contact closed
};

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

/// A conductor that current burns which took another way until something was opened.
struct OpenDanger {
    std::vector<int> branches;       ///< what is opened, in the order of the file
    const OpenCase* worst = nullptr; ///< its `overheated` is not empty
    std::vector<std::size_t> states; ///< into FaultSweep::states, rising
};
/// In the order of the file; what burns the same conductors first of all stands together.
[[nodiscard]] std::vector<OpenDanger> open_dangers(const FaultAnswer& answer);

/// The conductor that gives way first: the one that is soonest too hot, else the hottest.
[[nodiscard]] const HotConductor& first_to_go(const std::vector<HotConductor>& hot);

/// Neither end of what the short does to conductors is good.
[[nodiscard]] bool burns(ShortOutcome outcome);

/// True when a short behind a protective device burns a conductor, or a case has no answer.
[[nodiscard]] bool has_fault_danger(const FaultAnswer& answer);
/// "F2 by 0.1 s, then F3 or F10 by 0.4 s".
[[nodiscard]] std::string openings_text(const StudyInput& study, const ShortEvent& event);
/// What it has: "work", "current, the wrong way".
[[nodiscard]] std::string sneak_text(const UnexpectedDevice& device);
/// Temperature as it is told: what is over 1000 C is as good as that.
[[nodiscard]] double told_c(double celsius);

} // namespace loomwright
