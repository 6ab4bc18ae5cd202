// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/checks.hpp"
#include "checks/wording.hpp"

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace loomwright {
namespace {

/// Findings of one rule by the thing they are about: into Findings::all.
using FindingsByName = std::unordered_map<std::string, std::vector<std::size_t>>;

/// The findings that a waiver can accept, by rule: a file may hold many of both.
std::unordered_map<std::string_view, FindingsByName> acceptable(const Findings& findings) {
    std::unordered_map<std::string_view, FindingsByName> out;
    const std::vector<Finding>& all = findings.all();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const RuleInfo& info = rule_info(all[i].rule);
        if (!info.is_input) {
            out[info.id][all[i].subject].push_back(i);
        }
    }
    return out;
}

/// Accepts what the waiver means; names in it that no finding of its rule has go to `idle`. False
/// where it accepts nothing.
bool accept(const Waiver& waiver, const FindingsByName& of_rule, Findings& findings,
            std::vector<std::string>& idle) {
    const auto mark = [&](const std::vector<std::size_t>& meant) {
        for (const std::size_t index : meant) {
            findings.all()[index].waived = fmt::format("{} (by {})", waiver.because, waiver.by);
        }
    };
    if (waiver.on.empty()) {
        for (const auto& [name, meant] : of_rule) {
            mark(meant);
        }
        return !of_rule.empty();
    }
    for (const auto& name : waiver.on) {
        const auto found = of_rule.find(name.value);
        if (found == of_rule.end()) {
            idle.push_back(name.value);
        } else {
            mark(found->second);
        }
    }
    return idle.size() < waiver.on.size();
}

} // namespace

bool needs_sweep(std::string_view rule) {
    return rule == rule_info(Rule::short_not_cleared).id ||
           rule == rule_info(Rule::short_overheats).id || rule == rule_info(Rule::sneak_path).id;
}

void apply_waivers(const Vehicle& vehicle, bool is_swept, Findings& findings) {
    std::vector<std::pair<const Waiver*, std::vector<std::string>>> unused;
    auto by_rule = acceptable(findings);
    for (const Waiver& waiver : vehicle.waivers) {
        std::vector<std::string> idle;
        const bool accepts = accept(waiver, by_rule[waiver.rule], findings, idle);
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
    check_output_feeds(input, findings);
    check_bookkeeping(input, findings);
    if (input.faults != nullptr) {
        check_faults(input, *input.faults, findings);
    }
    apply_waivers(input.study.vehicle, input.faults != nullptr, findings);
    findings.sort();
}

} // namespace loomwright
