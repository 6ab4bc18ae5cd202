// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/compare.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <unordered_map>

namespace loomwright {
namespace {

std::string protection_text(const Protection& protection, const FuseSizing& sized) {
    if (protection.link) {
        return fmt::format("{} {}", protection.family, show(*protection.link));
    }
    return sized.rating_a > 0.0
               ? fmt::format("{} {}", protection.family, show(Amps(sized.rating_a)))
               : protection.family + " of no rating";
}

std::optional<Amps> rating_of(const FuseSizing& sized) {
    return sized.rating_a > 0.0 ? std::optional(Amps(sized.rating_a)) : std::nullopt;
}

using FusesByName = std::unordered_map<std::string_view, const FuseSizing*>;

FusesByName fuses_by_name(const ComparedVehicle& side) {
    FusesByName out;
    for (const FuseSizing& sized : side.sizing.fuses) {
        out.emplace(side.study.vehicle.device(sized.device).name, &sized);
    }
    return out;
}

std::string protection_text(const ComparedVehicle& side, const FuseSizing& sized) {
    return protection_text(*side.study.vehicle.device(sized.device).as<Protection>(), sized);
}

std::vector<RatingComparison> compare_ratings(const ComparedVehicle& before,
                                              const ComparedVehicle& now) {
    const FusesByName old_fuses = fuses_by_name(before);
    const FusesByName new_fuses = fuses_by_name(now);
    std::vector<RatingComparison> out;
    for (const FuseSizing& sized : now.sizing.fuses) {
        const std::string& name = now.study.vehicle.device(sized.device).name;
        RatingComparison row{name,     "", protection_text(now, sized), {}, rating_of(sized),
                             sized.why};
        if (const auto other = old_fuses.find(name); other != old_fuses.end()) {
            row.was = protection_text(before, *other->second);
            row.was_rating = rating_of(*other->second);
        }
        if (row.was != row.now) {
            out.push_back(std::move(row));
        }
    }
    for (const FuseSizing& sized : before.sizing.fuses) {
        const std::string& name = before.study.vehicle.device(sized.device).name;
        if (!new_fuses.contains(name)) {
            out.push_back({name, protection_text(before, sized), "", rating_of(sized), {}, ""});
        }
    }
    return out;
}

/// Findings of one rule on one thing, in the order of the file.
using VerdictKey = std::pair<Rule, std::string>;
using Verdicts = std::map<VerdictKey, std::vector<const Finding*>>;

/// A wire is judged on under the number that it has now.
std::unordered_map<std::string, std::string> new_numbers(const std::vector<WireComparison>& wires) {
    std::unordered_map<std::string, std::string> out;
    for (const WireComparison& wire : wires) {
        if (!wire.was_number.empty()) {
            out.emplace(wire.was_number, wire.number);
        }
    }
    return out;
}

std::string what_changed(const Finding& was, const Finding& is) {
    std::string out;
    if (was.severity != is.severity) {
        out = fmt::format("{} instead of {}", severity_name(is.severity),
                          severity_name(was.severity));
    }
    if (was.waived.empty() != is.waived.empty()) {
        out += out.empty() ? "" : ", ";
        out += is.waived.empty() ? "waived no more" : "waived now";
    }
    return out;
}

std::vector<VerdictComparison> compare_verdicts(const ComparedVehicle& before,
                                                const ComparedVehicle& now,
                                                const std::vector<WireComparison>& wires) {
    const auto numbers = new_numbers(wires);
    const auto subject_now = [&](const std::string& subject) {
        const auto found = numbers.find(subject);
        return found == numbers.end() ? subject : found->second;
    };
    Verdicts old_verdicts;
    for (const Finding& finding : before.findings.all()) {
        old_verdicts[{finding.rule, subject_now(finding.subject)}].push_back(&finding);
    }
    std::vector<VerdictComparison> out;
    for (const Finding& finding : now.findings.all()) {
        VerdictComparison row{VerdictChange::came, finding.rule,    finding.severity,
                              finding.subject,     finding.message, ""};
        const auto found = old_verdicts.find({finding.rule, finding.subject});
        if (found != old_verdicts.end() && !found->second.empty()) {
            row.change = VerdictChange::changed;
            row.why = what_changed(*found->second.front(), finding);
            found->second.erase(found->second.begin());
        }
        if (row.change == VerdictChange::came || !row.why.empty()) {
            out.push_back(std::move(row));
        }
    }
    for (const Finding& finding : before.findings.all()) {
        const auto& left = old_verdicts[{finding.rule, subject_now(finding.subject)}];
        if (std::ranges::find(left, &finding) != left.end()) {
            out.push_back({VerdictChange::went, finding.rule, finding.severity,
                           subject_now(finding.subject), finding.message, ""});
        }
    }
    return out;
}

} // namespace

std::string_view verdict_change_name(VerdictChange change) {
    switch (change) {
    case VerdictChange::came:
        return "came";
    case VerdictChange::went:
        return "went";
    case VerdictChange::changed:
        return "changed";
    }
    return "came";
}

int DesignComparison::count(WireChange change) const {
    return static_cast<int>(std::ranges::count(wires, change, &WireComparison::change));
}

bool DesignComparison::has_change() const {
    return count(WireChange::same) != static_cast<int>(wires.size()) || !ratings.empty() ||
           !verdicts.empty();
}

DesignComparison compare_vehicles(const ComparedVehicle& before, const ComparedVehicle& now) {
    DesignComparison out;
    out.wires = compare_wires(before.study, before.sizing, now.study, now.sizing);
    out.ratings = compare_ratings(before, now);
    out.verdicts = compare_verdicts(before, now, out.wires);
    return out;
}

} // namespace loomwright
