// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/finding.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace loomwright;

namespace {

Finding& add_with_margin(Findings& findings, Rule rule, const char* subject, double observed,
                         double limit) {
    Finding& finding = findings.add(rule, subject, {}, "message");
    finding.figures = {{"seen", observed, "A", FigureRole::observed},
                       {"limit", limit, "A", FigureRole::limit}};
    return finding;
}

std::vector<std::string> subjects(const Findings& findings) {
    std::vector<std::string> out;
    for (const Finding& finding : findings.all()) {
        out.push_back(finding.subject);
    }
    return out;
}

} // namespace

TEST_CASE("severity and source come from the catalogue until the check says otherwise") {
    Findings findings;
    Finding& finding =
        findings.add(Rule::fuse_over_wire, "12.2", {FileId(0), 3, 5, 9}, "message", "remedy");
    CHECK(finding.severity == Severity::danger);
    CHECK(finding.source == rule_info(Rule::fuse_over_wire).standard);
    CHECK(finding.subject == "12.2");
    CHECK(finding.message == "message");
    CHECK(finding.remedy == "remedy");
    CHECK(finding.where.line == 3);
    CHECK(finding.waived.empty());
}

TEST_CASE("the margin is the part of the limit that is left") {
    Findings findings;
    CHECK(add_with_margin(findings, Rule::drop_limit, "a", 0.4, 0.5).margin().value() ==
          doctest::Approx(0.2));
    CHECK(add_with_margin(findings, Rule::drop_limit, "b", 20.0, 15.0).margin().value() ==
          doctest::Approx(-1.0 / 3.0));
}

TEST_CASE("there is no margin without both figures, nor against a limit of zero") {
    Findings findings;
    CHECK_FALSE(findings.add(Rule::drop_limit, "a", {}, "m").margin().has_value());
    Finding& half = findings.add(Rule::drop_limit, "a", {}, "m");
    half.figures = {{"seen", 1.0, "V", FigureRole::observed},
                    {"other", 2.0, "V", FigureRole::input}};
    CHECK_FALSE(half.margin().has_value());
    CHECK_FALSE(add_with_margin(findings, Rule::drop_limit, "b", 1.0, 0.0).margin().has_value());
}

TEST_CASE("only the first figure of each role counts") {
    Findings findings;
    Finding& finding = add_with_margin(findings, Rule::drop_limit, "a", 0.5, 1.0);
    finding.figures.push_back({"also seen", 9.0, "A", FigureRole::observed});
    CHECK(finding.margin().value() == doctest::Approx(0.5));
}

TEST_CASE("findings sort by severity, then the worst margin, then the order of writing") {
    Findings findings;
    findings.add(Rule::estimated_length, "note-1", {}, "m");
    add_with_margin(findings, Rule::drop_limit, "fault-slightly-over", 1.1, 1.0);
    add_with_margin(findings, Rule::drop_limit, "fault-far-over", 3.0, 1.0);
    findings.add(Rule::no_return, "fault-no-figures", {}, "m");
    add_with_margin(findings, Rule::fuse_over_wire, "danger", 20.0, 15.0);
    findings.add(Rule::least_size, "caution", {}, "m");
    findings.add(Rule::estimated_length, "note-2", {}, "m");
    findings.sort();
    CHECK(subjects(findings) == std::vector<std::string>{"danger", "fault-far-over",
                                                         "fault-slightly-over", "fault-no-figures",
                                                         "caution", "note-1", "note-2"});
}

TEST_CASE("a margin that is kept sorts after one that is not, and the tighter one first") {
    Findings findings;
    add_with_margin(findings, Rule::drop_limit, "kept-easily", 0.2, 1.0);
    add_with_margin(findings, Rule::drop_limit, "kept-just", 0.9, 1.0);
    add_with_margin(findings, Rule::drop_limit, "not-kept", 1.2, 1.0);
    findings.sort();
    CHECK(subjects(findings) == std::vector<std::string>{"not-kept", "kept-just", "kept-easily"});
}

TEST_CASE("what was waived sorts behind everything that was not") {
    Findings findings;
    findings.add(Rule::fuse_missing, "waived-danger", {}, "m").waived =
        "kept as it is, by workshop";
    findings.add(Rule::estimated_length, "note", {}, "m");
    findings.sort();
    CHECK(subjects(findings) == std::vector<std::string>{"note", "waived-danger"});
}

TEST_CASE("faults of the input come first, by their place") {
    Findings findings;
    findings.add(Rule::fuse_missing, "danger", {}, "m");
    findings.add(Rule::unknown_key, "second-file", {FileId(1), 1, 1, 2}, "m");
    findings.add(Rule::unknown_key, "line-10", {FileId(0), 10, 1, 2}, "m");
    findings.add(Rule::missing_unit, "line-9-column-20", {FileId(0), 9, 20, 21}, "m");
    findings.add(Rule::unknown_key, "line-9-column-3", {FileId(0), 9, 3, 4}, "m");
    findings.add(Rule::bad_file, "no-place", {}, "m");
    findings.sort();
    CHECK(subjects(findings) == std::vector<std::string>{"no-place", "line-9-column-3",
                                                         "line-9-column-20", "line-10",
                                                         "second-file", "danger"});
}

TEST_CASE(
    "sorting twice changes nothing, and the order of adding does not decide between unequals") {
    Findings forward;
    Findings backward;
    const std::vector<double> seen{1.5, 2.5, 1.1, 9.0, 3.3};
    for (const double amps : seen) {
        add_with_margin(forward, Rule::drop_limit, std::to_string(amps).c_str(), amps, 1.0);
    }
    for (auto amps = seen.rbegin(); amps != seen.rend(); ++amps) {
        add_with_margin(backward, Rule::drop_limit, std::to_string(*amps).c_str(), *amps, 1.0);
    }
    forward.sort();
    backward.sort();
    CHECK(subjects(forward) == subjects(backward));
    const auto once = subjects(forward);
    forward.sort();
    CHECK(subjects(forward) == once);
}

TEST_CASE("one fault of the input is enough to make the model unusable") {
    Findings findings;
    CHECK_FALSE(findings.has_input_fault());
    findings.add(Rule::fuse_missing, "a", {}, "m");
    CHECK_FALSE(findings.has_input_fault());
    Findings others;
    others.add(Rule::missing_unit, "b", {}, "m");
    findings.append(others);
    CHECK(findings.has_input_fault());
    CHECK(findings.all().size() == 2);
    CHECK_FALSE(findings.empty());
}
