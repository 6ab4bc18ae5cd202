// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The proof of a finding, and what a rule is.
//
//   margin = (limit - observed) / |limit|, the other way round for a least limit
#include "base/display.hpp"
#include "checks/explain.hpp"
#include "checks/proof_figures.hpp"
#include "diag/figure_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace loomwright {
namespace {

std::string page_of(Rule rule) {
    return fmt::format("docs/rules/{}.md", rule_info(rule).id);
}

/// Which of the proofs of its subject belong to a rule, by how their titles begin.
struct Belongs {
    Rule rule;
    std::array<std::string_view, 3> titles;
};
constexpr std::array belongings = {
    Belongs{Rule::wire_ampacity, {"Heat", "Ampacity", ""}},
    Belongs{Rule::insulation_heat, {"Conductor", "Ampacity", ""}},
    Belongs{Rule::least_size, {"Conductor", "Size", ""}},
    Belongs{Rule::drop_limit, {"Voltage drop", "", ""}},
    Belongs{Rule::fuse_missing, {"Sources", "Protection", ""}},
    Belongs{Rule::fuse_over_wire, {"Ampacity", "Sources", "Protection"}},
    Belongs{Rule::fuse_loading, {"Load", "Rating", ""}},
    Belongs{Rule::fuse_inrush, {"Start", "", ""}},
    Belongs{Rule::breaking_capacity, {"Breaking", "", ""}},
    Belongs{Rule::unfused_length, {"Length", "Way", "Sources"}},
    Belongs{Rule::relay_contact, {"Contact", "", ""}},
    Belongs{Rule::switch_contact, {"Contact", "", ""}},
    Belongs{Rule::terminal_rating, {"Cavities", "Wires at it", ""}},
    Belongs{Rule::splice_size, {"Wires at it", "", ""}},
    Belongs{Rule::stud_lugs, {"Lugs", "Wires at it", ""}},
    Belongs{Rule::relay_pull_in, {"Coil", "", ""}},
    Belongs{Rule::charge_balance, {"Source ", "Largest loads", ""}},
    Belongs{Rule::parked_drain, {"Source ", "Largest loads", ""}},
    Belongs{Rule::not_solved, {"What is set", "Operating point", ""}},
    Belongs{Rule::state_not_met, {"Voltage drop", "Current in each state", ""}},
    Belongs{Rule::crank_voltage, {"Voltage drop", "Current in each state", ""}},
    Belongs{Rule::passage_fill, {"Hole", "", ""}},
    Belongs{Rule::bend_radius, {"Bundle", "", ""}},
    Belongs{Rule::support_spacing, {"Bundle", "", ""}},
    Belongs{Rule::estimated_length, {"Length", "Wires in it", ""}},
    Belongs{Rule::size_not_found, {"Ampacity", "Protection", "Size"}},
};

bool belongs(Rule rule, const ProofSection& section) {
    const auto* const row = std::ranges::find(belongings, rule, &Belongs::rule);
    return row != belongings.end() && std::ranges::any_of(row->titles, [&](std::string_view title) {
               return !title.empty() && section.title.starts_with(title);
           });
}

void add_margin(ProofSection& out, const Finding& finding) {
    const auto margin = finding.margin();
    if (!margin) {
        return;
    }
    const double observed =
        std::ranges::find(finding.figures, FigureRole::observed, &Figure::role)->value;
    const Figure& limit = *std::ranges::find(finding.figures, FigureRole::limit, &Figure::role);
    const double first = limit.is_least ? observed : limit.value;
    const double second = limit.is_least ? limit.value : observed;
    out.steps.push_back({limit.is_least ? "margin = (observed - limit) / |limit|"
                                        : "margin = (limit - observed) / |limit|",
                         fmt::format("({} - {}) / {}", figure(first), figure(second),
                                     figure(std::abs(limit.value))),
                         show_percent(*margin), "SI units; negative where the limit is not kept"});
}

std::string subject_of(const Finding& finding) {
    return finding.subject.empty() ? std::string("the car") : finding.subject;
}

ProofSection prove_finding(const Finding& finding, const SourceFiles* files) {
    const RuleInfo& info = rule_info(finding.rule);
    const std::string place = files != nullptr ? files->place(finding.where) : std::string();
    ProofSection out{
        fmt::format("{} of {}: {}", info.id, subject_of(finding), verdict_name(finding)), {}};
    out.steps.push_back({fmt::format("found: {}", info.title), place, finding.message,
                         finding.source.empty() ? page_of(finding.rule) : finding.source});
    for (const Figure& figure : finding.figures) {
        out.steps.push_back({fmt::format("{}, {}", figure.label, figure_role_name(figure.role)), "",
                             figure_value(figure),
                             finding.source.empty() ? page_of(finding.rule) : finding.source});
    }
    add_margin(out, finding);
    for (const RelatedPlace& related : finding.related) {
        out.steps.push_back({"see also", files != nullptr ? files->place(related.where) : "",
                             related.label, "the vehicle file"});
    }
    if (!finding.waived.empty()) {
        out.steps.push_back({"waived", "", finding.waived, "the vehicle file, waivers"});
    }
    if (!finding.remedy.empty()) {
        out.steps.push_back({"what to do", "", finding.remedy, page_of(finding.rule)});
    }
    return out;
}

ProofSection describe_rule(const RuleInfo& info) {
    ProofSection out{fmt::format("Rule {}", info.id), {}};
    out.steps.push_back({"what it finds", "", std::string(info.title), page_of(info.rule)});
    out.steps.push_back({"severity, unless it is worse or milder in a case", "",
                         std::string(info.is_input ? "error" : severity_name(info.severity)),
                         page_of(info.rule)});
    out.steps.push_back(
        {"where its limit comes from", "", std::string(info.standard), page_of(info.rule)});
    return out;
}

ProofSection list_findings(const RuleInfo& info, std::span<const Finding> findings,
                           const SourceFiles* files) {
    ProofSection out{"Its findings on this car", {}};
    for (const Finding& finding : findings) {
        if (finding.rule != info.rule) {
            continue;
        }
        const auto margin = finding.margin();
        out.steps.push_back(
            {fmt::format("{}: {}", subject_of(finding), verdict_name(finding)),
             files != nullptr ? files->place(finding.where) : std::string(),
             finding.message + (margin ? "; margin " + show_percent(*margin) : std::string()),
             finding.waived.empty() ? fmt::format("`explain {}:{}`", info.id, finding.subject)
                                    : "waived: " + finding.waived});
    }
    if (out.steps.empty()) {
        out.steps.push_back({"findings of it", "",
                             needs_sweep(info.id) ? "none that `check --faults` has" : "none",
                             page_of(info.rule)});
    }
    return out;
}

} // namespace

const RuleInfo* rule_asked(std::string_view id) {
    return find_rule(id.substr(0, id.find(':')));
}

std::vector<ProofSection> Explainer::explain_finding(const Finding& finding) {
    std::vector<ProofSection> out{prove_finding(finding, files_)};
    if (rule_info(finding.rule).is_input || finding.subject.empty()) {
        return out;
    }
    if (auto proof = explain(finding.subject)) {
        std::ranges::copy_if(*proof, std::back_inserter(out), [&](const ProofSection& section) {
            return belongs(finding.rule, section);
        });
    }
    return out;
}

std::optional<std::vector<ProofSection>>
Explainer::explain_rule(std::string_view id, std::span<const Finding> findings) {
    const RuleInfo* const info = rule_asked(id);
    if (info == nullptr) {
        return std::nullopt;
    }
    const std::size_t colon = id.find(':');
    if (colon == std::string_view::npos) {
        return std::vector{describe_rule(*info), list_findings(*info, findings, files_)};
    }
    std::vector<ProofSection> out;
    for (const Finding& finding : findings) {
        if (finding.rule == info->rule && finding.subject == id.substr(colon + 1)) {
            std::ranges::move(explain_finding(finding), std::back_inserter(out));
        }
    }
    return out.empty() ? std::nullopt : std::optional(std::move(out));
}

} // namespace loomwright
