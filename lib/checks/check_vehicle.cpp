// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright {
namespace {

bool is_meant(const Waiver& waiver, const Finding& finding) {
    if (rule_info(finding.rule).is_input || rule_info(finding.rule).id != waiver.rule) {
        return false;
    }
    return waiver.on.empty() || std::ranges::find(waiver.on, finding.subject,
                                                  &Given<std::string>::value) != waiver.on.end();
}

/// Names in the waiver that no finding of its rule has.
std::vector<std::string> idle_names(const Waiver& waiver, const Findings& findings) {
    std::vector<std::string> idle;
    for (const auto& name : waiver.on) {
        const bool is_used = std::ranges::any_of(findings.all(), [&](const Finding& finding) {
            return finding.subject == name.value && rule_info(finding.rule).id == waiver.rule;
        });
        if (!is_used) {
            idle.push_back(name.value);
        }
    }
    return idle;
}

} // namespace

bool needs_sweep(std::string_view rule) {
    return rule == rule_info(Rule::short_not_cleared).id ||
           rule == rule_info(Rule::short_overheats).id || rule == rule_info(Rule::sneak_path).id;
}

void apply_waivers(const Vehicle& vehicle, bool is_swept, Findings& findings) {
    std::vector<std::pair<const Waiver*, std::vector<std::string>>> unused;
    for (const Waiver& waiver : vehicle.waivers) {
        bool accepts = false;
        for (Finding& finding : findings.all()) {
            if (is_meant(waiver, finding)) {
                finding.waived = fmt::format("{} (by {})", waiver.because, waiver.by);
                accepts = true;
            }
        }
        std::vector<std::string> idle = idle_names(waiver, findings);
        const bool is_judged = is_swept || !needs_sweep(waiver.rule);
        if (is_judged && (!accepts || !idle.empty())) {
            unused.emplace_back(&waiver, std::move(idle));
        }
    }
    for (const auto& [waiver, idle] : unused) {
        findings.add(Rule::unused_waiver, waiver->rule, waiver->where,
                     idle.empty() ? fmt::format("no finding of {} is there to accept", waiver->rule)
                                  : fmt::format("no finding of {} on {} is there to accept",
                                                waiver->rule, list_of(idle)),
                     "take the waiver, or the name, out of the file");
    }
}

void check_vehicle(const CheckInput& input, Findings& findings) {
    check_conductors(input, findings);
    check_drops(input, findings);
    check_protection(input, findings);
    check_contacts(input, findings);
    check_terminals(input, findings);
    check_states(input, findings);
    check_ground_offsets(input, findings);
    check_relay_coils(input, findings);
    check_coil_suppression(input, findings);
    check_energy(input, findings);
    check_short_circuits(input, findings);
    check_stray_returns(input, findings);
    check_retained(input, findings);
    check_bundles(input, findings);
    check_pairs(input, findings);
    check_colours(input, findings);
    check_joints(input, findings);
    check_bulkheads(input, findings);
    check_shields(input, findings);
    check_frozen(input, findings);
    check_bookkeeping(input, findings);
    if (input.faults != nullptr) {
        check_faults(input, *input.faults, findings);
    }
    apply_waivers(input.study.vehicle, input.faults != nullptr, findings);
    findings.sort();
}

} // namespace loomwright
