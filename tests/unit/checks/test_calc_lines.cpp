// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Single questions with every figure of their answers as arithmetic from published tables, the
// lines of their proofs, and what is said of a slip of the pen (explained/calc*.lines).
#include "checked.hpp"

#include "checks/calc.hpp"
#include "explanation_lists.hpp"
#include "pocket_calculator.hpp"
#include "tables/reference.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>

using namespace loomwright;

namespace {

std::string_view stripped(std::string_view text) {
    while (text.starts_with(' ')) {
        text.remove_prefix(1);
    }
    while (text.ends_with(' ')) {
        text.remove_suffix(1);
    }
    return text;
}

/// "drop --size 2.5 mm2 --return": the question and its options.
struct Typed {
    std::string question;
    std::vector<TypedOption> options;
};

Typed typed(std::string_view line) {
    Typed out;
    constexpr std::string_view dashes = " --";
    std::size_t at = line.find(dashes);
    out.question = std::string(line.substr(0, at));
    while (at != std::string_view::npos) {
        const std::size_t from = at + dashes.size();
        at = line.find(dashes, from);
        const std::string_view one = line.substr(from, at - from);
        const std::size_t blank = one.find(' ');
        TypedOption option{std::string(one.substr(0, blank)), std::nullopt};
        if (blank != std::string_view::npos) {
            option.text = std::string(stripped(one.substr(blank)));
        }
        out.options.push_back(std::move(option));
    }
    return out;
}

struct Answered {
    SourceFiles files;
    Findings findings;
    std::optional<CalcAnswer> answer;
};

std::unique_ptr<Answered> answered(const Catalogue& catalogue, const std::string& line) {
    const Typed asked = typed(line);
    const CalcQuestion* question = find_calc_question(asked.question);
    REQUIRE_MESSAGE(question != nullptr, asked.question);
    auto out = std::make_unique<Answered>();
    out->answer = answer_question(*question, asked.options, catalogue, out->files, out->findings);
    return out;
}

/// The arithmetic with the answer's own figures in the place of their keys.
std::string with_figures(std::string text, const CalcAnswer& answer) {
    for (const CalcFigure& figure : answer.figures) {
        const auto* value = std::get_if<double>(&figure.value);
        for (std::size_t at = text.find(figure.key); value != nullptr && at != std::string::npos;
             at = text.find(figure.key)) {
            text.replace(at, figure.key.size(), fmt::format("{}", *value));
        }
    }
    return text;
}

void check_figure(const CalcFigure& figure, const std::string& listed, const CalcAnswer& answer) {
    CAPTURE(figure.shown);
    if (listed == "none") {
        CHECK(std::holds_alternative<std::monostate>(figure.value));
    } else if (listed == "yes" || listed == "no") {
        REQUIRE(std::holds_alternative<bool>(figure.value));
        CHECK(std::get<bool>(figure.value) == (listed == "yes"));
    } else if (listed.starts_with('"')) {
        REQUIRE(std::holds_alternative<std::string>(figure.value));
        CHECK(std::get<std::string>(figure.value) == listed.substr(1, listed.size() - 2));
    } else {
        const std::string text = with_figures(listed, answer);
        const Computed it = compute(text, text); // as it stands: nothing was rounded
        REQUIRE_MESSAGE(it.is_arithmetic, text);
        REQUIRE(std::holds_alternative<double>(figure.value));
        // The constants of the lists have six digits.
        CHECK(std::get<double>(figure.value) ==
              doctest::Approx(it.sides.front().middle()).epsilon(2e-6));
    }
}

/// ": drop_v = 2 x 3", ":2 carries = no".
void check_figure_line(const std::string& line, const CalcAnswer& answer) {
    const bool is_of_wire = line[1] != ' ';
    const std::size_t equals = line.find(" = ");
    const std::string key(stripped(std::string_view(line).substr(2, equals - 2)));
    const std::string listed = line.substr(equals + 3);
    REQUIRE((!is_of_wire || static_cast<std::size_t>(line[1] - '0') <= answer.wires.size()));
    const std::vector<CalcFigure>& figures =
        is_of_wire ? answer.wires[static_cast<std::size_t>(line[1] - '1')] : answer.figures;
    const auto found = std::ranges::find(figures, key, &CalcFigure::key);
    if (listed == "absent") {
        CHECK(found == figures.end());
        return;
    }
    REQUIRE_MESSAGE(found != figures.end(), key);
    check_figure(*found, listed, answer);
}

/// "missing-key --amps | message", "out-of-range --length:1:1-5 | message".
std::string line_of(const Finding& finding, const SourceFiles& files) {
    const std::string place =
        finding.where.is_known()
            ? fmt::format("{}-{}", files.place(finding.where), finding.where.end_column)
            : finding.subject;
    return fmt::format("{} {} | {}", rule_info(finding.rule).id, place, finding.message);
}

} // namespace

TEST_CASE("each question gets the figures that follow from the tables, and tells how") {
    const Catalogue catalogue = built_in();
    for (const Listed& listed : explained_list("calc.lines")) {
        CAPTURE(listed.name);
        const auto it = answered(catalogue, listed.name);
        for (const Finding& finding : it->findings.all()) {
            FAIL_CHECK(describe(finding, it->files));
        }
        REQUIRE(it->answer.has_value());
        CHECK(it->answer->question == typed(listed.name).question);
        bool has_lines = false;
        for (const std::string& line : listed.lines) {
            CAPTURE(line);
            if (line.starts_with(":")) {
                check_figure_line(line, *it->answer);
            } else if (line.starts_with("!")) {
                CHECK(it->answer->holds == (line == "! holds"));
            } else {
                has_lines = true;
            }
        }
        if (has_lines) {
            check_listed(listed, told(it->answer->sections));
        }
    }
}

TEST_CASE("what is typed wrongly is told with its place, and what is just right is answered") {
    const Catalogue catalogue = built_in();
    for (const Listed& listed : explained_list("calc-faults.lines")) {
        CAPTURE(listed.name);
        const auto it = answered(catalogue, listed.name);
        const std::vector<Finding>& found = it->findings.all();
        CHECK(it->answer.has_value() == listed.lines.empty());
        REQUIRE(found.size() == listed.lines.size());
        for (std::size_t k = 0; k < found.size(); ++k) {
            const std::string line = line_of(found[k], it->files);
            CHECK_MESSAGE(is_like(line, listed.lines[k].substr(2)), listed.lines[k],
                          "\n  told: ", line);
            CHECK_FALSE(found[k].remedy.empty());
        }
    }
}
