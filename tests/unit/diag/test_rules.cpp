// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/rules.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <set>
#include <string>

using namespace loomwright;

TEST_CASE("every id is a word of small letters and hyphens, and stands once") {
    std::set<std::string, std::less<>> seen;
    for (const RuleInfo& info : rule_catalogue()) {
        const std::string id(info.id);
        CAPTURE(id);
        CHECK(seen.insert(id).second);
        CHECK(std::ranges::all_of(
            id, [](unsigned char c) { return std::islower(c) != 0 || c == '-'; }));
        CHECK(std::isalpha(static_cast<unsigned char>(id.front())) != 0);
        CHECK(std::isalpha(static_cast<unsigned char>(id.back())) != 0);
        CHECK(id.find("--") == std::string::npos);
    }
}

TEST_CASE("the catalogue stands in the order of the enumeration, without a gap") {
    const auto catalogue = rule_catalogue();
    REQUIRE(catalogue.size() == static_cast<std::size_t>(Rule::size_not_found) + 1);
    for (std::size_t i = 0; i < catalogue.size(); ++i) {
        CHECK(static_cast<std::size_t>(catalogue[i].rule) == i);
        CHECK(&rule_info(catalogue[i].rule) == &catalogue[i]);
        CHECK(find_rule(catalogue[i].id) == &catalogue[i]);
    }
}

TEST_CASE("the id is the enumerator with hyphens") {
    CHECK(rule_info(Rule::fuse_over_wire).id == "fuse-over-wire");
    CHECK(rule_info(Rule::wire_ampacity).id == "wire-ampacity");
    CHECK(rule_info(Rule::unknown_key).id == "unknown-key");
    CHECK(find_rule("fuse_over_wire") == nullptr);
    CHECK(find_rule("") == nullptr);
    CHECK(find_rule("fuse-over-wires") == nullptr);
}

TEST_CASE("every rule has a title and says where its limit comes from") {
    for (const RuleInfo& info : rule_catalogue()) {
        CAPTURE(std::string(info.id));
        CHECK(info.title.size() > 8);
        CHECK(std::isupper(static_cast<unsigned char>(info.title.front())) == 0);
        CHECK(info.title.back() != '.');
        CHECK_FALSE(info.standard.empty());
    }
}

TEST_CASE("the rules that issue and method ask for are there, with their severities") {
    struct Expected {
        const char* id;
        Severity severity;
    };
    // What burns is a danger; what does not work is a fault; what will not last is a caution.
    constexpr std::array expected{
        Expected{"wire-ampacity", Severity::danger}, Expected{"insulation-heat", Severity::danger},
        Expected{"fuse-missing", Severity::danger},  Expected{"fuse-over-wire", Severity::danger},
        Expected{"drop-limit", Severity::fault},     Expected{"no-return", Severity::fault},
        Expected{"fuse-loading", Severity::fault},   Expected{"relay-contact", Severity::fault},
        Expected{"switch-contact", Severity::fault}, Expected{"state-not-met", Severity::fault},
        Expected{"crank-voltage", Severity::fault},  Expected{"least-size", Severity::caution},
        Expected{"unused-part", Severity::note},     Expected{"estimated-length", Severity::note},
    };
    for (const Expected& row : expected) {
        const auto& [id, severity] = row;
        CAPTURE(row.id);
        const RuleInfo* info = find_rule(id);
        REQUIRE(info != nullptr);
        CHECK(info->severity == severity);
        CHECK_FALSE(info->is_input);
    }
}

TEST_CASE("faults of the input stand before all others and are never less than faults") {
    bool is_past_input = false;
    for (const RuleInfo& info : rule_catalogue()) {
        is_past_input = is_past_input || !info.is_input;
        CHECK(info.is_input != is_past_input);
        if (info.is_input) {
            CHECK(info.severity == Severity::fault);
        }
    }
    CHECK(is_past_input);
}

TEST_CASE("severities rise from note to danger and are named") {
    CHECK(Severity::note < Severity::caution);
    CHECK(Severity::caution < Severity::fault);
    CHECK(Severity::fault < Severity::danger);
    CHECK(severity_name(Severity::note) == "note");
    CHECK(severity_name(Severity::caution) == "caution");
    CHECK(severity_name(Severity::fault) == "fault");
    CHECK(severity_name(Severity::danger) == "danger");
}
