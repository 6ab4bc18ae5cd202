// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/sneak_ways.hpp"

#include "checks/unmet.hpp"

#include <utility>

namespace loomwright {

std::vector<SneakWay> state_sneaks(const StudyInput& study, const Sizing& sizing) {
    std::vector<SneakWay> out;
    for (Unmet& unmet : unmet_expectations(study, sizing)) {
        if (!unmet.sneak.empty()) {
            out.push_back({.device = unmet.device,
                           .volts = unmet.volts,
                           .amps = unmet.amps,
                           .is_on = unmet.is_on,
                           .is_reversed = unmet.amps < 0.0,
                           .way = std::move(unmet.sneak),
                           .opened = {},
                           .states = std::move(unmet.states)});
        }
    }
    return out;
}

std::vector<SneakWay> fault_sneaks(const FaultAnswer& answer) {
    std::vector<SneakWay> out;
    for (SneakDanger& danger : sneak_dangers(answer)) {
        const UnexpectedDevice& worst = *danger.worst;
        SneakWay sneak{.device = worst.device,
                       .volts = worst.volts,
                       .amps = worst.amps,
                       .is_on = worst.is_on,
                       .is_reversed = worst.is_reversed,
                       .way = worst.way,
                       .opened = std::move(danger.branches),
                       .states = {}};
        for (const std::size_t state : danger.states) {
            sneak.states.push_back(
                state_name(answer.study.vehicle, answer.sweep.states[state].state));
        }
        out.push_back(std::move(sneak));
    }
    return out;
}

} // namespace loomwright
