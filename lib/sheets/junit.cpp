// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The XML of test reports has no standard; this keeps to what its readers have in common:
// testsuites > testsuite > testcase > failure, error, skipped or system-out, with counts.
#include "sheets/junit.hpp"

#include "checks/checks.hpp"
#include "diag/figure_text.hpp"
#include "sheets/characters.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
#include <vector>

namespace loomwright {
namespace {

enum class Outcome : std::uint8_t { passed, failed, error, skipped };

/// One rule as it came out.
struct Case {
    const RuleInfo& rule;
    std::vector<const Finding*> findings; ///< in the order of the answer
    Outcome outcome = Outcome::passed;
    std::string why; ///< of a failure, an error or of skipping
};

bool fails(const CheckAnswer& answer, const Finding& finding) {
    return finding.waived.empty() && answer.fails_from && finding.severity >= *answer.fails_from;
}

/// The word of the worst finding that is not waived.
std::string_view worst_word(const Case& made) {
    const Finding* worst = nullptr;
    for (const Finding* finding : made.findings) {
        if (finding->waived.empty() && (worst == nullptr || finding->severity > worst->severity)) {
            worst = finding;
        }
    }
    return worst != nullptr ? verdict_name(*worst) : std::string_view();
}

std::string count_of(const Case& made) {
    const auto open = std::ranges::count_if(
        made.findings, [](const Finding* finding) { return finding->waived.empty(); });
    return fmt::format("{} finding{}: {}", open, open == 1 ? "" : "s", made.rule.title);
}

std::string reasons_of(const Case& made) {
    std::string out = "waived: ";
    for (const Finding* finding : made.findings) {
        out += fmt::format("{}{}: {}", finding == made.findings.front() ? "" : "; ",
                           finding->subject, finding->waived);
    }
    return out;
}

void judge(const CheckAnswer& answer, Case& made) {
    const bool is_bad_input = answer.findings.has_input_fault();
    const auto is_waived = [](const Finding* finding) { return !finding->waived.empty(); };
    const auto is_failure = [&](const Finding* finding) { return fails(answer, *finding); };
    if (made.rule.is_input && !made.findings.empty()) {
        made.outcome = Outcome::error;
        made.why = count_of(made);
    } else if (std::ranges::any_of(made.findings, is_failure)) {
        made.outcome = Outcome::failed;
        made.why = count_of(made);
    } else if (!made.findings.empty() && std::ranges::all_of(made.findings, is_waived)) {
        made.outcome = Outcome::skipped;
        made.why = reasons_of(made);
    } else if (is_bad_input && !made.rule.is_input) {
        made.outcome = Outcome::skipped;
        made.why = "not judged: the input is wrong";
    } else if (made.findings.empty() && !answer.is_swept && needs_sweep(made.rule.id)) {
        made.outcome = Outcome::skipped;
        made.why = "judged in full by `check --faults` only";
    }
}

std::vector<Case> cases_of(const CheckAnswer& answer) {
    std::vector<Case> out;
    for (const RuleInfo& info : rule_catalogue()) {
        out.push_back({info, {}, Outcome::passed, {}});
    }
    for (const Finding& finding : answer.findings.all()) {
        out[static_cast<std::size_t>(finding.rule)].findings.push_back(&finding);
    }
    for (Case& made : out) {
        judge(answer, made);
    }
    return out;
}

/// Every finding as for people, line by line.
std::string text_of(const CheckAnswer& answer, const Case& made) {
    std::string out;
    for (const Finding* finding : made.findings) {
        out += markup_text(finding_line(answer, *finding)) + "\n";
        const std::string whole = describe(*finding, answer.files, false);
        const std::string rest = whole.substr(std::min(whole.find('\n') + 1, whole.size()));
        for (std::size_t at = 0; at < rest.size();) {
            const std::size_t end = std::min(rest.find('\n', at), rest.size());
            out += markup_text(std::string_view(rest).substr(at, end - at)) + "\n";
            at = end + 1;
        }
    }
    return out;
}

std::string case_xml(const CheckAnswer& answer, const Case& made, const std::string& suite) {
    std::string out =
        fmt::format(R"(  <testcase name="{}" classname="{}" time="0")", made.rule.id, suite);
    switch (made.outcome) {
    case Outcome::passed:
        if (made.findings.empty()) {
            return out + "/>\n";
        }
        return out + fmt::format(">\n   <system-out>{}</system-out>\n  </testcase>\n",
                                 text_of(answer, made));
    case Outcome::skipped:
        return out + fmt::format(">\n   <skipped message=\"{}\"/>\n  </testcase>\n",
                                 markup_text(made.why));
    case Outcome::failed:
    case Outcome::error:
        break;
    }
    const std::string_view tag = made.outcome == Outcome::error ? "error" : "failure";
    return out + fmt::format(">\n   <{0} type=\"{1}\" message=\"{2}\">{3}</{0}>\n  </testcase>\n",
                             tag, worst_word(made), markup_text(made.why), text_of(answer, made));
}

} // namespace

std::string check_junit(const CheckAnswer& answer) {
    const std::vector<Case> cases = cases_of(answer);
    const auto count = [&](Outcome outcome) {
        return std::ranges::count(cases, outcome, &Case::outcome);
    };
    const std::string counts =
        fmt::format(R"(tests="{}" failures="{}" errors="{}" skipped="{}" time="0")", cases.size(),
                    count(Outcome::failed), count(Outcome::error), count(Outcome::skipped));
    const std::string suite = markup_text(path_from_here(answer, answer.vehicle_file));
    std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    out += fmt::format("<testsuites name=\"loomwright check\" {}>\n", counts);
    out += fmt::format(" <testsuite name=\"{}\" {}>\n", suite, counts);
    out += fmt::format("  <properties><property name=\"loomwright\" value=\"{}\"/></properties>\n",
                       markup_text(answer.version));
    for (const Case& made : cases) {
        out += case_xml(answer, made, suite);
    }
    return out + " </testsuite>\n</testsuites>\n";
}

} // namespace loomwright
