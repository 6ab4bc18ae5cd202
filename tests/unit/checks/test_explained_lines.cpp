// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What each explanation must tell, line by line (explained/*.lines; how they are written stands in
// explanation_lists.hpp), and every line redone with a pocket calculator.
#include "checked.hpp"

#include "checks/explain.hpp"
#include "explanation_lists.hpp"
#include "pocket_calculator.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

using namespace loomwright;

namespace {

const std::string folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/unit/checks/explained/";

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
    CHECK(middle("(0.25 mohm/m) x 4 m") == doctest::Approx(0.001).scale(0.0));
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
        const std::vector<Listed> things = explained_list(list);
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
