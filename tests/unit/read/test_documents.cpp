// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What the reader takes of every kind of device is what docs/format/devices.md and the schema say.

#include "read/kinds.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <string>

using namespace loomwright;

namespace {

std::string source_file(const std::string& name) {
    std::ifstream stream(std::string(LOOMWRIGHT_SOURCE_DIR) + "/" + name);
    std::stringstream text;
    text << stream.rdbuf();
    REQUIRE_FALSE(text.str().empty());
    return text.str();
}

std::string between(const std::string& text, const std::string& first, const std::string& last) {
    const std::size_t start = text.find(first);
    REQUIRE_MESSAGE(start != std::string::npos, first);
    return text.substr(start, text.find(last, start + first.size()) - start);
}

} // namespace

TEST_CASE("the table of kinds in the docs has every kind, key and terminal") {
    const std::string docs = source_file("docs/format/devices.md");
    for (const KindInfo& kind : kind_table()) {
        CAPTURE(std::string(kind.word));
        const std::string row = between(docs, "\n| `" + std::string(kind.word) + "`", "\n| `");
        for (const std::string_view key : kind.keys) {
            CHECK_MESSAGE(row.find(key) != std::string::npos, std::string(key));
        }
        for (const std::string_view terminal : kind.terminals) {
            CHECK_MESSAGE(row.find("`" + std::string(terminal) + "`") != std::string::npos,
                          std::string(terminal));
        }
        CHECK((row.find("*case*") != std::string::npos) == kind.may_have_case);
        if (!kind.in.empty()) {
            const std::string pass =
                "`" + std::string(kind.in) + "` / `" + std::string(kind.out) + "`";
            CHECK_MESSAGE(row.find(pass) != std::string::npos, pass);
        }
    }
}

TEST_CASE("the schema has the keys of every kind, and no others") {
    const std::string schema = source_file("schemas/vehicle.schema.json");
    for (const KindInfo& kind : kind_table()) {
        CAPTURE(std::string(kind.word));
        const std::string definition =
            between(schema, "\n    \"kind-" + std::string(kind.word) + "\": {", "\n    },\n");
        std::set<std::string> wanted{"is", "at", "title", "note"};
        wanted.insert(kind.keys.begin(), kind.keys.end());
        if (kind.may_have_case) {
            wanted.insert("case");
        }
        if (kind.may_have_plug) {
            wanted.insert("plug");
        }
        // The properties are the keys of the first level: eight spaces of indentation.
        std::set<std::string> found;
        const std::regex key("\n {8}\"([a-z-]+)\":");
        for (std::sregex_iterator it(definition.begin(), definition.end(), key), end; it != end;
             ++it) {
            found.insert((*it)[1]);
        }
        CHECK(found == wanted);
        CHECK((schema.find("\n    \"inner-" + std::string(kind.word) + "\": {") !=
               std::string::npos) == kind.may_be_inside);
    }
}
