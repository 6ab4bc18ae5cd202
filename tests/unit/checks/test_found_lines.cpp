// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// All that is found on small cars, with every figure as arithmetic (explained/found*.lines).
#include "checked.hpp"

#include "explanation_lists.hpp"
#include "pocket_calculator.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

using namespace loomwright;

namespace {

std::vector<std::string> parted(const std::string& text, std::string_view by) {
    std::vector<std::string> out;
    std::size_t from = 0;
    for (std::size_t at = text.find(by); at != std::string::npos; at = text.find(by, from)) {
        out.push_back(text.substr(from, at - from));
        from = at + by.size();
    }
    out.push_back(text.substr(from));
    return out;
}

/// "title [rule other-rule] +faults"
struct Head {
    std::vector<std::string> rules;
    bool with_faults = false;
};

Head head_of(const std::string& name) {
    const std::size_t from = name.find('[');
    const std::size_t to = name.find(']');
    REQUIRE(to != std::string::npos);
    return {parted(name.substr(from + 1, to - from - 1), " "),
            name.find("+faults") != std::string::npos};
}

void check_figures(const Finding& finding, const std::string& listed) {
    if (listed == "*") {
        return;
    }
    const std::vector<std::string> figures = parted(listed, "; ");
    REQUIRE(finding.figures.size() == figures.size());
    for (std::size_t k = 0; k < figures.size(); ++k) {
        const std::size_t equals = figures[k].find(" = ");
        REQUIRE(equals != std::string::npos);
        const std::string arithmetic = figures[k].substr(equals + 3);
        CHECK(finding.figures[k].label == figures[k].substr(0, equals));
        const Computed it = compute(arithmetic, arithmetic);
        CHECK(it.is_arithmetic != (arithmetic == "*"));
        if (it.is_arithmetic) {
            CAPTURE(figures[k]);
            // Lengths, areas and ratings are as written; a solved current of a constant one has the
            // solver's last digits. As a share: square metres of wires are small numbers.
            const double expected = it.sides.front().middle();
            CHECK(std::abs(finding.figures[k].value - expected) <= 1e-6 * std::abs(expected));
        }
    }
}

void check_more(const Finding& finding, const std::string& line) {
    const std::size_t colon = line.find(": ");
    const std::string what = line.substr(2, colon - 2);
    const std::string listed = line.substr(colon + 2);
    std::string told = what == "remedy" ? finding.remedy : finding.source;
    if (what == "related") {
        std::vector<std::string> labels;
        for (const RelatedPlace& related : finding.related) {
            labels.push_back(related.label);
        }
        told = fmt::format("{}", fmt::join(labels, "; "));
    }
    CHECK_MESSAGE(is_like(told, listed), line, "\n  told: ", told);
}

std::string key_of(const Finding& finding) {
    return fmt::format("{} {} {}", severity_name(finding.severity), rule_info(finding.rule).id,
                       finding.subject);
}

/// What is found of some rules. In which order is for the tests of Findings.
std::vector<const Finding*> found_of(const Checked& car, const std::vector<std::string>& rules) {
    std::vector<const Finding*> out;
    for (const Finding& finding : car.findings.all()) {
        if (std::ranges::find(rules, rule_info(finding.rule).id) != rules.end()) {
            out.push_back(&finding);
        }
    }
    return out;
}

void check_found(const Listed& listed) {
    const Head head = head_of(listed.name);
    std::string text = "loomwright: 1\n";
    for (const std::string& line : listed.lines) {
        if (line.starts_with("|")) {
            text += line.substr(1) + "\n";
        }
    }
    const auto car = check_text(text, {}, true, head.with_faults);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    std::vector<const Finding*> left = found_of(*car, head.rules);
    const Finding* last = nullptr;
    for (const std::string& line : listed.lines) {
        CAPTURE(line);
        if (line.starts_with("~") && last != nullptr) {
            check_more(*last, line);
        }
        if (!line.starts_with("> ")) {
            continue;
        }
        const std::vector<std::string> parts = parted(line.substr(2), " | ");
        REQUIRE(parts.size() == 3);
        const auto found = std::ranges::find(
            left, parts[0], [](const Finding* finding) { return key_of(*finding); });
        CHECK(found != left.end());
        last = found == left.end() ? nullptr : *found;
        if (last != nullptr) {
            left.erase(found);
            CHECK_MESSAGE(is_like(last->message, parts[1]), last->message);
            check_figures(*last, parts[2]);
        }
    }
    for (const Finding* more : left) {
        FAIL_CHECK("found too: " << describe(*more, car->files, false));
    }
}

} // namespace

TEST_CASE("small cars: all that is found of a rule, its words, its figures and nothing besides") {
    for (const char* list : {"found.lines", "found-edges.lines", "found-guards.lines"}) {
        for (const Listed& listed : explained_list(list)) {
            CAPTURE(listed.name);
            check_found(listed);
        }
    }
}
