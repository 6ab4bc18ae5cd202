// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Every file of tests/bad begins with the rules it must break and where: exactly these are told.

#include "support.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <vector>

using namespace loomwright;
namespace fs = std::filesystem;

namespace {

std::string read_file(const fs::path& path) {
    std::ifstream stream(path, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

std::string expected(const std::string& text) {
    std::istringstream lines(text);
    std::string out;
    const std::string tag = "# expect: ";
    for (std::string line; std::getline(lines, line);) {
        if (line.starts_with(tag)) {
            out += line.substr(tag.size()) + "\n";
        }
    }
    return out;
}

} // namespace

TEST_CASE("every bad file breaks exactly the rules that its head names, at their places") {
    const fs::path folder = fs::path(LOOMWRIGHT_SOURCE_DIR) / "tests" / "bad";
    std::vector<fs::path> paths;
    for (const auto& entry : fs::directory_iterator(folder)) {
        if (entry.path().extension() == ".yaml") {
            paths.push_back(entry.path());
        }
    }
    std::ranges::sort(paths);
    CHECK(paths.size() >= 60);
    for (const fs::path& path : paths) {
        CAPTURE(path.filename().string());
        const std::string text = read_file(path);
        SourceFiles files;
        Findings findings;
        const Catalogue catalogue = load_catalogue(files, findings);
        const auto include = [&](const std::string& name,
                                 std::string& why_not) -> std::optional<std::string> {
            if (!fs::exists(folder / name)) {
                why_not = "no such file";
                return std::nullopt;
            }
            return read_file(folder / name);
        };
        (void)read_vehicle(path.filename().string(), text, catalogue, include, files, findings);
        findings.sort();
        std::string said;
        for (const Finding& finding : findings.all()) {
            CHECK(rule_info(finding.rule).is_input);
            CHECK_FALSE(finding.message.empty());
            CHECK_FALSE(finding.remedy.empty());
            said += std::string(rule_info(finding.rule).id) + " " +
                    std::to_string(finding.where.line) + ":" +
                    std::to_string(finding.where.column) + "\n";
        }
        CHECK_FALSE(expected(text).empty());
        CHECK(said == expected(text));
    }
}
