// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "base/word_list.hpp"
#include "checks/explain.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

std::vector<std::string> subjects_of(const RuleInfo& rule, const Findings& findings) {
    std::vector<std::string> out;
    for (const Finding& finding : findings.all()) {
        if (finding.rule == rule.rule && std::ranges::find(out, finding.subject) == out.end()) {
            out.push_back(finding.subject);
        }
    }
    return out;
}

/// The rule was asked for a subject on which it has no finding.
void complain_of_subject(const std::string& id, const RuleInfo& rule, const Findings& findings) {
    const std::vector<std::string> subjects = subjects_of(rule, findings);
    print_error(fmt::format(
        "loomwright: `{}` has no finding on `{}`\n  {}\n", rule.id,
        printable(id.substr(rule.id.size() + 1)),
        subjects.empty() ? std::string("it has none on this car")
                         : fmt::format("its findings are on {}", printable(list_of(subjects)))));
}

void complain_of_name(const std::string& id, const Vehicle& vehicle) {
    const auto near = nearest_word(id, explained_names(vehicle));
    print_error(fmt::format(
        "loomwright: there is nothing to explain under `{}`{}\n  give a wire's number, the name of "
        "a device, state, run or point, a rule,\n  or a finding as rule:subject\n",
        printable(id), near ? fmt::format("; did you mean `{}`?", printable(*near)) : ""));
}

} // namespace

int run_explain(const Arguments& arguments) {
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const StudyInput study = project->study();
    Explainer explainer({study, project->sizing}, &project->files);
    auto sections = explainer.explain(arguments.id);
    const RuleInfo* const rule = sections ? nullptr : rule_asked(arguments.id);
    if (rule != nullptr) {
        // A sweep of faults takes its time, and only some rules ask for it.
        check_with_bar(*project, needs_sweep(rule->id));
        sections = explainer.explain_rule(arguments.id, project->findings.all());
    }
    if (!sections) {
        if (rule != nullptr) {
            complain_of_subject(arguments.id, *rule, project->findings);
        } else {
            complain_of_name(arguments.id, project->vehicle);
        }
        return bad_input;
    }
    return deliver(arguments, arguments.json ? proof_json(arguments.id, *sections)
                                             : proof_text(*sections, terminal_width()));
}

} // namespace loomwright::cli
