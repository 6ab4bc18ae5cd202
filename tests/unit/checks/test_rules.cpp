// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Every rule has a folder in tests/rules with the smallest car that provokes it and one that just
// does not, and a page in docs/rules.
#include "checked.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <set>

using namespace loomwright;

namespace {

const std::string rules_folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/rules";
const std::string pages_folder = std::string(LOOMWRIGHT_SOURCE_DIR) + "/docs/rules";

/// A file that cannot be read has no text that could stand in a folder: the command's own tests
/// have it.
bool has_folder(const RuleInfo& info) {
    return info.rule != Rule::bad_file;
}

} // namespace

TEST_CASE("each rule is found in the car that provokes it and not in the one that just does not") {
    for (const RuleInfo& info : rule_catalogue()) {
        if (!has_folder(info)) {
            continue;
        }
        const std::string id(info.id);
        CAPTURE(id);
        const std::string folder = rules_folder + "/" + id;
        const std::string bad = text_of(folder + "/provokes.yaml");
        const std::string good = text_of(folder + "/allows.yaml");
        REQUIRE_FALSE(bad.empty());
        REQUIRE_FALSE(good.empty());
        const auto provoked = check_text(bad, folder, true, needs_sweep(id));
        INFO(provoked->text());
        const Finding* finding = provoked->find(info.rule);
        REQUIRE(finding != nullptr);
        CHECK(finding->where.is_known());
        CHECK_FALSE(finding->message.empty());
        CHECK_FALSE(finding->remedy.empty());
        const auto allowed = check_text(good, folder, true, needs_sweep(id));
        INFO(allowed->text());
        CHECK(allowed->find(info.rule) == nullptr);
        // What just does not provoke a rule is a car that can be computed.
        CHECK(allowed->is_sized);
        CHECK(provoked->is_sized != info.is_input);
    }
}

TEST_CASE("tests/rules and docs/rules hold the catalogue, no more and no less") {
    std::set<std::string> ids;
    std::set<std::string> with_folder;
    for (const RuleInfo& info : rule_catalogue()) {
        ids.emplace(info.id);
        if (has_folder(info)) {
            with_folder.emplace(info.id);
        }
    }
    std::set<std::string> folders;
    for (const auto& entry : std::filesystem::directory_iterator(rules_folder)) {
        if (entry.is_directory()) {
            folders.insert(entry.path().filename().string());
        }
    }
    CHECK(folders == with_folder);
    std::set<std::string> pages;
    for (const auto& entry : std::filesystem::directory_iterator(pages_folder)) {
        if (entry.path().filename() != "README.md") {
            pages.insert(entry.path().stem().string());
        }
    }
    CHECK(pages == ids);
}

TEST_CASE("a rule's page names its severity and shows its example") {
    for (const RuleInfo& info : rule_catalogue()) {
        const std::string id(info.id);
        CAPTURE(id);
        const std::string page = text_of(pages_folder + "/" + id + ".md");
        CHECK(page.find("# " + id) == 0);
        CHECK(page.find(std::string(info.is_input ? "error" : severity_name(info.severity))) !=
              std::string::npos);
        CHECK(page.find(std::string(info.title)) != std::string::npos);
        for (const char* heading : {"## Why", "## Figures", "## How to fix", "## Example"}) {
            CHECK(page.find(heading) != std::string::npos);
        }
        if (!has_folder(info)) {
            continue;
        }
        // The finding that the page shows is the one the program gives.
        const std::string folder = rules_folder + "/" + id;
        const auto provoked =
            check_text(text_of(folder + "/provokes.yaml"), folder, true, needs_sweep(id));
        const Finding* finding = provoked->find(info.rule);
        REQUIRE(finding != nullptr);
        CHECK(page.find(describe(*finding, provoked->files)) != std::string::npos);
    }
}
