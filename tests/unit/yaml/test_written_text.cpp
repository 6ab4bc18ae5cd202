// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "support.hpp"

#include "yaml/written_text.hpp"

#include <doctest/doctest.h>

#include <random>

using namespace loomwright;

TEST_CASE("plain names stay as they are") {
    for (const char* text :
         {"F10", "12.2", "1.5 mm2", "thin-wall pvc", "BK/RD", "to-front", "a_b"}) {
        CHECK(written_text(text) == text);
    }
}

TEST_CASE("what could be read as something else stands in quotes") {
    for (const char* text :
         {"",   "on", "No", "null", "~",  "a: b",  "a #b", "-",  "- a", "[a]", "{a}", "a,b",
          "*a", "&a", "!a", "=1+1", "@a", "\"a\"", "'a'",  "%a", " a",  "a ",  ">a"}) {
        CHECK(written_text(text).front() == '"');
    }
}

TEST_CASE("every text comes back from a map in braces as it was") {
    std::vector<std::string> texts{"on",
                                   "a: b",
                                   "a\\b\"c'",
                                   "a\nb",
                                   "a\r\nb\tc",
                                   "\x01\x7F",
                                   "~",
                                   "=1+1",
                                   "\xC2\x85",
                                   "\xE2\x80\xA8x",
                                   "x\xE2\x80\xA9",
                                   "",
                                   "  a ",
                                   "- a",
                                   "\xE6\x97\xA5\xE6\x9C\xAC"};
    // Characters that mean something to YAML, in random rows (fixed seed: the same rows each time).
    constexpr std::string_view odd = "ab:#-[]{},&*!|>'\"%@`=?~\\ \n\t0.";
    std::mt19937 dice(1961);
    for (int i = 0; i < 2000; ++i) {
        std::string text;
        for (std::size_t n = dice() % 12; n > 0; --n) {
            text += odd[dice() % odd.size()];
        }
        texts.push_back(std::move(text));
    }
    for (const std::string& text : texts) {
        CAPTURE(text);
        SourceFiles files;
        Findings findings;
        const FileId file = files.add("a.yaml", "{k: {v: " + written_text(text) + ", w: x}}\n");
        const auto tree = read_tree(file, files.file(file).text, findings);
        REQUIRE(tree != nullptr);
        CHECK(tree->root().find("k").find("v").text() == text);
        CHECK(tree->root().find("k").find("w").text() == "x");
    }
}

TEST_CASE("a comment stays on its line") {
    CHECK(comment_text("a\nb\rc\x01") == "a b c ");
    CHECK(comment_text("a\xC2\x85"
                       "b\xE2\x80\xA8"
                       "c\xE2\x80\xA9") == "a b c ");
    CHECK(comment_text("# \xE6\x97\xA5") == "# \xE6\x97\xA5");
}
