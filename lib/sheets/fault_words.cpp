// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/fault_words.hpp"

namespace loomwright {

std::string_view outcome_name(ShortOutcome outcome) {
    switch (outcome) {
    case ShortOutcome::harmless:
        return "harmless";
    case ShortOutcome::carried:
        return "carried";
    case ShortOutcome::cleared:
        return "cleared";
    case ShortOutcome::cycles:
        return "cycles";
    case ShortOutcome::too_late:
        return "too-late";
    case ShortOutcome::overheats:
        return "overheats";
    case ShortOutcome::fire:
        return "fire";
    }
    return "";
}

std::string device_list(const StudyInput& study, const std::vector<DeviceId>& devices) {
    std::string out;
    for (const DeviceId device : devices) {
        out += (out.empty() ? "" : " ") + study.vehicle.device(device).name;
    }
    return out;
}

} // namespace loomwright
