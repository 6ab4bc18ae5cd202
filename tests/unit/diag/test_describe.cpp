// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The text of a finding, word by word: it is what a person acts on and what an editor jumps by.

#include "diag/finding.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace loomwright;

namespace {

/// A car of a few lines, and findings about it.
struct Fixture {
    SourceFiles files;
    FileId car;
    Findings findings;

    explicit Fixture(std::string text = "loomwright: 1\n"
                                        "devices:\n"
                                        "  F10: {is: fuse, rating: 20 A}\n"
                                        "circuits:\n"
                                        "  fan: {paths: [G1 > F10 > M1]}\n")
        : car(files.add("car.yaml", std::move(text))) {}
};

} // namespace

TEST_CASE("a danger: head, figures with margin, line with caret, related place, source, remedy") {
    Fixture f;
    Finding& finding =
        f.findings.add(Rule::fuse_over_wire, "12.2", {f.car, 5, 22, 31},
                       "fuse F10 does not protect this wire", "use a fuse of 15 A or less");
    finding.figures = {{"fuse", 20.0, "A", FigureRole::observed},
                       {"wire", 15.2, "A", FigureRole::limit},
                       {"length", 0.0125, "ohm", FigureRole::input}};
    finding.related = {{{f.car, 3, 3, 6}, "fuse F10 is here"}};
    CHECK(describe(finding, f.files) ==
          "car.yaml:5:22: danger[fuse-over-wire] 12.2: fuse F10 does not protect this wire\n"
          "  fuse: 20 A; wire: 15.2 A; length: 12.5 mohm; margin: -31.6 %\n"
          "  5 |   fan: {paths: [G1 > F10 > M1]}\n"
          "    |                      ^^^^^^^^^\n"
          "  car.yaml:3:3: fuse F10 is here\n"
          "  source: IEC 60364-4-43 433.1\n"
          "  remedy: use a fuse of 15 A or less\n");
}

TEST_CASE("a fault of the input is an error and needs no source") {
    Fixture f;
    const Finding& finding =
        f.findings.add(Rule::missing_unit, "", {f.car, 3, 26, 28}, "a current needs its unit",
                       "write `20 A` or `20000 mA`");
    CHECK(describe(finding, f.files) ==
          "car.yaml:3:26: error[missing-unit] a current needs its unit\n"
          "  3 |   F10: {is: fuse, rating: 20 A}\n"
          "    |                          ^^\n"
          "  remedy: write `20 A` or `20000 mA`\n");
}

TEST_CASE("without a place there is no line and no caret") {
    Fixture f;
    const Finding& finding = f.findings.add(Rule::bad_file, "nowhere.yaml", {}, "no such file");
    CHECK(describe(finding, f.files) == "error[bad-file] nowhere.yaml: no such file\n");
}

TEST_CASE("the line can be left out") {
    Fixture f;
    const Finding& finding = f.findings.add(Rule::least_size, "1.1", {f.car, 5, 3, 6}, "thin");
    CHECK(describe(finding, f.files, false) == "car.yaml:5:3: caution[least-size] 1.1: thin\n"
                                               "  source: common practice, no source\n");
}

TEST_CASE("a waiver stands right under the head, with its reason") {
    Fixture f;
    Finding& finding = f.findings.add(Rule::least_size, "1.1", {f.car, 5, 3, 6}, "thin");
    finding.waived = "old wiring kept (workshop)";
    CHECK(describe(finding, f.files, false) == "car.yaml:5:3: caution[least-size] 1.1: thin\n"
                                               "  waived: old wiring kept (workshop)\n"
                                               "  source: common practice, no source\n");
}

TEST_CASE("the caret stands under its word after tabs and letters of more than one byte") {
    Fixture f("\tname: x\n  title: M\xC3\xBCller cable\n");
    const Finding& tab = f.findings.add(Rule::unknown_key, "", {f.car, 1, 2, 6}, "m");
    CHECK(describe(tab, f.files) == "car.yaml:1:2: error[unknown-key] m\n"
                                    "  1 | \tname: x\n"
                                    "    | \t^^^^\n");
}

TEST_CASE("a caret is at least one and at most sixty wide") {
    Fixture f(std::string(150, 'x') + "\n");
    const Finding& none = f.findings.add(Rule::unknown_key, "", {f.car, 1, 3, 0}, "m");
    CHECK(describe(none, f.files).find("    |   ^\n") != std::string::npos);
    const Finding& wide = f.findings.add(Rule::unknown_key, "", {f.car, 1, 1, 140}, "m");
    CHECK(describe(wide, f.files).find("    | " + std::string(60, '^') + "\n") !=
          std::string::npos);
}

TEST_CASE("a line as long as a page is not printed") {
    Fixture f(std::string(5000, 'x') + "\n");
    const Finding& finding = f.findings.add(Rule::unknown_key, "", {f.car, 1, 3, 4}, "m");
    CHECK(describe(finding, f.files) == "car.yaml:1:3: error[unknown-key] m\n");
}

TEST_CASE("figures are shown in the units that people read") {
    Fixture f;
    Finding& finding = f.findings.add(Rule::drop_limit, "E1", {}, "m");
    finding.figures = {
        {"area", 1.5e-6, "m2", FigureRole::input}, {"drop", 0.62, "V", FigureRole::observed},
        {"limit", 0.5, "V", FigureRole::limit},    {"time", 0.05, "s", FigureRole::input},
        {"air", 95.0, "C", FigureRole::input},     {"count", 7.0, "", FigureRole::input}};
    CHECK(
        describe(finding, f.files)
            .find("  area: 1.5 mm2; drop: 0.62 V; limit: 0.5 V; time: 50 ms; air: 95 C; count: 7; "
                  "margin: -24 %\n") != std::string::npos);
    CHECK(figure_role_name(FigureRole::observed) == "observed");
    CHECK(figure_role_name(FigureRole::limit) == "limit");
    CHECK(figure_role_name(FigureRole::input) == "input");
}
