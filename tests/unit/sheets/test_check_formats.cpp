// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What `check` answers to other programs: places from here, one line a finding, SARIF, JUnit XML.
#include "sheets/junit.hpp"
#include "sheets/sarif.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <limits>
#include <string>

using namespace loomwright;

namespace {

/// A table of the program, a vehicle file and a parts file, with findings about them.
struct Fixture {
    SourceFiles files;
    FileId table;
    FileId car;
    FileId part;
    Findings findings;

    explicit Fixture(const std::string& name)
        : table(files.add("fuses", "")), car(files.add(name, "")),
          part(files.add("parts/lamps.yaml", "")) {}

    [[nodiscard]] CheckAnswer answer() const {
        return {findings, files, car, false, Severity::caution, "1.2.3"};
    }
    [[nodiscard]] std::string line() const { return finding_line(answer(), findings.all().back()); }
    [[nodiscard]] nlohmann::json result() const {
        return nlohmann::json::parse(check_sarif(answer()))["runs"][0]["results"].back();
    }
};

std::string uri(const std::string& name) {
    Fixture f(name);
    f.findings.add(Rule::unused_part, "E1", {f.car, 1, 1, 2}, "is not used");
    const auto result = f.result();
    return result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
}

int count(const std::string& text, const std::string& part) {
    int found = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
        ++found;
    }
    return found;
}

} // namespace

TEST_CASE("a path is from where the program was called") {
    const Fixture below("cars/mine/car.yaml");
    CHECK(path_from_here(below.answer(), below.car) == "cars/mine/car.yaml");
    CHECK(path_from_here(below.answer(), below.part) == "cars/mine/parts/lamps.yaml");
    CHECK(path_from_here(below.answer(), below.table) == "fuses");
    CHECK(path_from_here(below.answer(), FileId()).empty());
    const Fixture here("car.yaml");
    CHECK(path_from_here(here.answer(), here.part) == "parts/lamps.yaml");
    const Fixture root("/car.yaml");
    CHECK(path_from_here(root.answer(), root.part) == "/parts/lamps.yaml");
}

TEST_CASE("a finding on one line, whatever is in its words") {
    Fixture f("car.yaml");
    f.findings.add(Rule::fuse_over_wire, "12.2", {f.car, 5, 22, 31}, "is too thin");
    CHECK(f.line() == "car.yaml:5:22: danger[fuse-over-wire] 12.2: is too thin");
    f.findings.add(Rule::bad_yaml, "", {f.part, 0, 0, 0}, "no\nYAML\x07");
    CHECK(f.line() == "parts/lamps.yaml:1:1: error[bad-yaml] no YAML\\x07");
    f.findings.add(Rule::unused_part, "E1", {f.car, 1, 1, 2}, "is waived").waived = "by me";
    CHECK(count(finding_lines(f.answer()), "\n") == 2);
}

TEST_CASE("a path is a URI: RFC 3986 keeps letters, digits and -._~ and encodes the rest") {
    CHECK(uri("cars/my-car_2.yaml") == "cars/my-car_2.yaml");
    CHECK(uri("../a b#c?d%.yaml") == "../a%20b%23c%3Fd%25.yaml");
    CHECK(uri("c:car.yaml") == "c%3Acar.yaml");          // else `c:` were a scheme
    CHECK(uri("\xC3\xA9\xFF.yaml") == "%C3%A9%FF.yaml"); // any byte
    CHECK(uri("/cars/mine.yaml") == "file:///cars/mine.yaml");
}

TEST_CASE("severities become the levels of SARIF, waived findings are suppressed") {
    Fixture f("car.yaml");
    const auto level = [&](Severity severity) {
        f.findings.add(Rule::sneak_path, "E1", {f.car, 2, 3, 5}, "a {b} c").severity = severity;
        return f.result()["level"].get<std::string>();
    };
    CHECK(level(Severity::danger) == "error");
    CHECK(level(Severity::fault) == "error");
    CHECK(level(Severity::caution) == "warning");
    CHECK(level(Severity::note) == "note");
    CHECK(f.result()["suppressions"].empty());
    CHECK(f.result()["message"]["text"] == "E1: a {{b}} c");
    f.findings.all().back().waived = "seen (by me)";
    CHECK(f.result()["suppressions"][0]["kind"] == "inSource");
    CHECK(f.result()["suppressions"][0]["justification"] == "seen (by me)");
    // Four of one rule on one subject are told apart.
    CHECK(f.result()["partialFingerprints"]["ruleAndSubject/v1"] == "sneak-path:E1:4");
}

TEST_CASE("figures that are no numbers are null in SARIF") {
    Fixture f("car.yaml");
    Finding& finding = f.findings.add(Rule::drop_limit, "E1", {f.car, 2, 3, 5}, "is dim");
    finding.figures = {
        {"drop", std::numeric_limits<double>::quiet_NaN(), "V", FigureRole::observed},
        {"limit", 0.5, "V", FigureRole::limit}};
    const auto properties = f.result()["properties"];
    CHECK(properties["figures"][0]["value"].is_null());
    CHECK_FALSE(properties.contains("margin"));
}

TEST_CASE("JUnit: what fails, what passes with words, what is skipped") {
    Fixture f("a&b.yaml");
    f.findings.add(Rule::fuse_over_wire, "1.1", {f.car, 5, 2, 3}, "is <thin>]]>");
    f.findings.add(Rule::unused_part, "E1", {f.car, 6, 2, 3},
                   "is not used"); // a note: under caution
    f.findings.add(Rule::least_size, "1.2", {f.car, 7, 2, 3}, "is thin").waived = "old \"lamp\"";
    const std::string xml = check_junit(f.answer());
    const std::string counts = "tests=\"" + std::to_string(rule_catalogue().size()) +
                               "\" failures=\"1\" errors=\"0\" skipped=\"4\"";
    CHECK(count(xml, counts) == 2); // of the suite, and of all suites
    CHECK(count(xml, "<testcase ") == static_cast<int>(rule_catalogue().size()));
    CHECK(count(xml, "<failure type=\"danger\"") == 1);
    CHECK(count(xml, "is &lt;thin&gt;]]&gt;") == 1);
    CHECK(count(xml, "<system-out>a&amp;b.yaml:6:2: note[unused-part] E1: is not used") == 1);
    CHECK(count(xml, "<skipped message=\"waived: 1.2: old &quot;lamp&quot;\"/>") == 1);
    // short-not-cleared, short-overheats and sneak-path are judged in full by a sweep only.
    CHECK(count(xml, "check --faults") == 3);
}
