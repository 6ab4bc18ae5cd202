// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What each explanation must tell, line by line (explained/*.lines), and every line redone with a
// pocket calculator.
//
// A line of a list is `= formula | numbers put in | answer`, or begins with `-` where there is
// nothing to compute. What stands there in figures is in the vehicle file, in the tables of
// standards and defaults, or follows from them by what a comment beside it says. `*` is a figure
// that the operating point or the heat balance decides: those are held against ngspice and against
// published ampacities elsewhere, and here the calculator says what must come of them. `...` passes
// over lines of the explanation up to the next one of the list. ` || ` goes before the source that
// a line must name. `#` is a thing that is explained,
// `##` a section of its explanation, `;` a comment.
#include "checked.hpp"

#include "checks/explain.hpp"
#include "pocket_calculator.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

using namespace loomwright;

namespace {

const std::string folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/unit/checks/explained/";

bool is_digit(char c) {
    return std::isdigit(static_cast<unsigned char>(c)) != 0;
}

/// Characters of the figure at the beginning of a text, its sign with it; 0 for none.
std::size_t figure_length(std::string_view text) {
    std::size_t at = text.starts_with('-') ? 1 : 0;
    const std::size_t first = at;
    while (at < text.size() && (is_digit(text[at]) || (text[at] == '.' && at > first))) {
        ++at;
    }
    if (at == first) {
        return 0;
    }
    if (at + 1 < text.size() && text[at] == 'e' &&
        (is_digit(text[at + 1]) || text[at + 1] == '-')) {
        at += 2;
        while (at < text.size() && is_digit(text[at])) {
            ++at;
        }
    }
    return at;
}

/// Whether a text is the pattern, with a figure wherever that has a `*`.
bool is_like(std::string_view text, std::string_view pattern) {
    while (!pattern.empty()) {
        if (pattern.front() == '*') {
            const std::size_t length = figure_length(text);
            if (length == 0) {
                return false;
            }
            text.remove_prefix(length);
        } else if (text.empty() || text.front() != pattern.front()) {
            return false;
        } else {
            text.remove_prefix(1);
        }
        pattern.remove_prefix(1);
    }
    return text.empty();
}

/// A line of an explanation as a list has it, without its `=` or `-`.
std::string line_of(const ProofStep& step) {
    return fmt::format("{} | {} | {}", step.formula, step.with, step.gives);
}

struct Told {
    std::string line; ///< "## title" or that of a step
    const ProofStep* step = nullptr;
};

std::vector<Told> told(const std::vector<ProofSection>& proof) {
    std::vector<Told> out;
    for (const ProofSection& section : proof) {
        out.push_back({"## " + section.title, nullptr});
        for (const ProofStep& step : section.steps) {
            out.push_back({line_of(step), &step});
        }
    }
    return out;
}

/// One thing of a list with its lines.
struct Listed {
    std::string name;
    std::vector<std::string> lines;
};

std::vector<Listed> read_list(const std::string& name) {
    std::vector<Listed> out;
    std::istringstream text(text_of(folder + name));
    std::string line;
    while (std::getline(text, line)) {
        if (line.starts_with("# ")) {
            out.push_back({line.substr(2), {}});
        } else if (!line.empty() && !line.starts_with(";")) {
            REQUIRE_MESSAGE(!out.empty(), line);
            out.back().lines.push_back(line);
        }
    }
    return out;
}

bool is_this(const Told& told, const std::string& listed) {
    if (listed.starts_with("## ")) {
        return told.step == nullptr && is_like(told.line, listed);
    }
    const std::size_t source = listed.find(" || ");
    return told.step != nullptr && is_like(told.line, listed.substr(0, source).substr(2)) &&
           (source == std::string::npos || told.step->source == listed.substr(source + 4));
}

void check_listed(const Listed& listed, const std::vector<Told>& lines) {
    CAPTURE(listed.name);
    std::size_t at = 0;
    bool may_skip = false;
    for (const std::string& line : listed.lines) {
        if (line == "...") {
            may_skip = true;
            continue;
        }
        while (may_skip && at < lines.size() && !is_this(lines[at], line)) {
            ++at;
        }
        may_skip = false;
        REQUIRE_MESSAGE(at < lines.size(), "not told: ", line);
        REQUIRE_MESSAGE(is_this(lines[at], line), "listed: ", line, "\n  told: ", lines[at].line);
        if (line.starts_with("=")) {
            const ProofStep& step = *lines[at].step;
            CHECK_MESSAGE(wrong_in(step.formula, step.with, step.gives) == "", lines[at].line);
        }
        ++at;
    }
    CHECK_MESSAGE((may_skip || at == lines.size()), "told too: ", lines[at].line);
}

/// Every line whose numbers are arithmetic, of every explanation of a car. How many there were.
int redo(const Checked& car) {
    const StudyInput study = car.study();
    Explainer explainer({study, car.sizing}, &car.files);
    int redone = 0;
    for (const std::string& name : explained_names(car.vehicle)) {
        CAPTURE(name);
        const auto proof = explainer.explain(name);
        for (const Told& one : proof ? told(*proof) : std::vector<Told>()) {
            // The current and the time of a point of a band stand beside one another.
            if (one.step == nullptr || one.line.find(" opening time, ") != std::string::npos ||
                !compute(one.step->with, one.step->formula).is_arithmetic ||
                figures_in(one.step->gives).empty()) {
                continue;
            }
            const std::string wrong = wrong_in(one.step->formula, one.step->with, one.step->gives);
            CHECK_MESSAGE(wrong == "", one.line);
            ++redone;
        }
    }
    return redone;
}

} // namespace

TEST_CASE("the calculator computes as taught at school, and knows how far a figure may be off") {
    // By hand; a figure of four digits may be half a unit of its fourth away.
    const auto middle = [](const char* text) {
        const Computed it = compute(text, "");
        return it.is_arithmetic ? it.sides.front().middle() : -1e9;
    };
    CHECK(middle("2 + 3 x 4 - 6 / 2") == doctest::Approx(11.0));
    CHECK(middle("(2 + 3) x 4^2") == doctest::Approx(80.0));
    CHECK(middle("-3 + sqrt(16) x ln(exp(2))") == doctest::Approx(5.0));
    CHECK(middle("max(1, 7, 3) - min(4, 2)") == doctest::Approx(5.0));
    CHECK(middle("250 mA x 2 kohm / 1 h") == doctest::Approx(500.0 / 3600.0));
    CHECK(middle("226 sqrt(4)") == doctest::Approx(452.0));
    CHECK(middle("(0.25 mohm/m) x 4 m") == doctest::Approx(0.001));
    CHECK(middle("the engine does not turn it") == -1e9);
    CHECK(middle("2 +") == -1e9);
    const Span rounded = compute("2.5", "").sides.front();
    CHECK(rounded.low == doctest::Approx(2.4995));
    CHECK(rounded.high == doctest::Approx(2.5005));
    CHECK(compute("12345", "").sides.front().half() == doctest::Approx(0.5));
    CHECK(compute("1.45", "I2 <= 1.45 Iz").sides.front().half() == 0.0);
    CHECK(wrong_in("V = I R", "2 x 3", "6 V") == "");
    CHECK(wrong_in("V = I R", "2 x 3", "6.1 V") != "");
    CHECK(wrong_in("V = I R", "2 x 3", "none") != "");
    CHECK(wrong_in("a <= b", "8 <= 10", "holds, 20 % to spare") == "");
    CHECK(wrong_in("a <= b", "8 <= 10", "holds, 25 % to spare") != "");
    CHECK(wrong_in("a <= b", "8 <= 10", "does not hold, 20 % over") != "");
    CHECK(wrong_in("a <= b", "12 <= 10", "does not hold, 20 % over") == "");
    CHECK(wrong_in("a <= b", "12 <= 10", "holds, 20 % to spare") != "");
    CHECK(wrong_in("T <= limit", "90 C <= 100 C", "holds, 10 K to spare") == "");
    CHECK(wrong_in("a <= b", "4 <= 2 x 3 = 7", "holds, 33.3 % to spare") != "");
}

namespace {

void check_lists(const std::string& vehicle, std::initializer_list<const char*> lists) {
    const auto car = check_text(text_of(folder + vehicle));
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const StudyInput study = car->study();
    Explainer explainer({study, car->sizing}, &car->files);
    for (const char* list : lists) {
        CAPTURE(std::string(list));
        const std::vector<Listed> things = read_list(list);
        REQUIRE_FALSE(things.empty());
        for (const Listed& thing : things) {
            const auto proof = rule_asked(thing.name) != nullptr
                                   ? explainer.explain_rule(thing.name, car->findings.all())
                                   : explainer.explain(thing.name);
            REQUIRE_MESSAGE(proof.has_value(), thing.name);
            check_listed(thing, told(*proof));
        }
    }
    CHECK(redo(*car) > 300);
}

} // namespace

TEST_CASE("a car with something of every kind: each thing is explained by the lines of its list") {
    check_lists("wagon.yaml", {"wagon-sources.lines", "wagon-states.lines",
                               "wagon-protection.lines", "wagon-loads.lines", "wagon-joints.lines",
                               "wagon-wires.lines", "wagon-places.lines"});
}

TEST_CASE(
    "a car without states, with figures of its own and much that is wrong: the lines of its list") {
    check_lists("barn.yaml", {"barn-devices.lines", "barn-wires.lines", "barn-findings.lines"});
}

TEST_CASE("what is explained of the cars of all rules can be redone with a pocket calculator") {
    int redone = 0;
    const std::string rules = std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/rules/";
    for (const RuleInfo& info : rule_catalogue()) {
        for (const char* kind : {"/provokes.yaml", "/allows.yaml"}) {
            const std::string of_rule = rules + std::string(info.id);
            const std::string text = text_of(of_rule + kind);
            CAPTURE(of_rule);
            const auto car = text.empty() ? nullptr : check_text(text, of_rule, false);
            redone += car && car->is_sized ? redo(*car) : 0;
        }
    }
    CHECK(redone > 3000);
}
