// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Texts that are no YAML, or more of it than a vehicle file needs: place, message, remedy.

#include "support.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

namespace {

struct Bad {
    std::string text;
    std::string said;
    std::string message;
};

} // namespace

TEST_CASE("what is wrong is said where it is, in words of the workshop") {
    const Bad cases[] = {
        {"", "bad-yaml 1:1\n", "the file is empty"},
        {"# only a comment\n", "bad-yaml 1:1\n", "the file is empty"},
        {"a: {b: c\n", "bad-yaml 2:1\n",
         "a map opened with { is not closed, or a comma is missing"},
        {"a: [b, c\n", "bad-yaml 2:1\n",
         "a list opened with [ is not closed, or a comma is missing"},
        {"a: b]\nc: [d]]\n", "bad-yaml 2:7\n", "a bracket closes what was not opened"},
        {"a: b: c\n", "bad-yaml 1:5\n", "a colon stands where no value can begin"},
        {"a:\n\tb: 1\n", "bad-yaml 2:1\n", "this line is indented with a tab"},
        {"a:\n  b: 1\n \tc: 2\n", "bad-yaml 3:2\n", "this line is indented with a tab"},
        {"a: 'x\nb: 1\n", "bad-yaml 1:4\n", "a quoted text begins here and is not closed"},
        {"a: *nobody\n", "bad-yaml 1:4\n", "this alias (`*name`) names nothing"},
        {"a: @x\n", "bad-yaml 1:4\n", "a character stands here that begins no value"},
        {"a: 1\n- b\n", "bad-yaml 2:1\n", "this line does not fit the map it stands in"},
        {"- a\nb: 1\n", "bad-yaml 2:1\n", "this does not belong to what stands before it"},
        {"a: {b: \"x}\n", "bad-yaml 1:8\n", "a quoted text begins here and is not closed"},
        {"a: 1\nb\n", "bad-yaml 2:1\n", "this line has no colon"},
        {"a:\n  b: 1\n  c d\ne: 2\n", "bad-yaml 4:2\n", "a colon stands where no value can begin"},
        {"a: 1\nb\n  c\nd: 2\n", "bad-yaml 4:2\n", "a colon stands where no value can begin"},
        {"{a: 1} b\n", "bad-yaml 1:8\n", "this does not belong to what stands before it"},
        {"a: \"\\q\"\n", "bad-yaml 1:5\n", "an escape in this quoted text is not known"},
        {"a: 1\n---\nb: 2\n", "bad-yaml 2:1\n", "a second document begins here (`---`)"},
        {"? [a, b]\n: c\n", "bad-yaml 1:3\n", "a key must be a word, not a list or a map"},
        {"a: 1\n: 2\n", "bad-yaml 2:1\n", "a key is missing before this colon"},
        {"a: 1\0b\n", "bad-yaml 1:5\n", "a NUL byte stands here: this is not a text file"},
        {"a: x\x01\n", "bad-yaml 1:5\n", "a control character (U+0001) stands here"},
        {"a: \xFFz\n", "bad-yaml 1:4\n", "byte 0xFF is not UTF-8 text"},
        {"b: \xC3\xBC\na: \xC0\xAF\n", "bad-yaml 2:4\n", "byte 0xC0 is not UTF-8 text"},
        {"\xFF\xFE"
         "a",
         "bad-yaml 1:1\n", "the text is UTF-16"},
        {"a: 1\rb: 2\r", "bad-yaml 1:5\n", "a line ends with a carriage return alone"},
    };
    for (Bad bad : cases) {
        if (bad.message.find("NUL") != std::string::npos) {
            bad.text = std::string("a: 1\0b\n", 7);
        }
        CAPTURE(bad.text);
        const ReadText read(bad.text);
        CHECK_FALSE(read.tree);
        CHECK(read.said() == bad.said);
        CHECK(read.message() == bad.message);
        CHECK_FALSE(read.remedy().empty());
    }
}

TEST_CASE("merge keys and tags are refused, the rest is read on") {
    const ReadText merge("base: &base {a: 1}\nb: {<<: *base, c: 2}\n");
    REQUIRE(merge.tree);
    CHECK(merge.said() == "bad-yaml 2:5\n");
    CHECK(merge.message() == "`<<` (merging one map into another) is not understood");
    CHECK(merge.root().find("b").find("c").text() == "2");
    const ReadText tag("a: !!int 7\nb: !own x\nc: !!str off\n");
    REQUIRE(tag.tree);
    CHECK(tag.said() == "bad-yaml 1:4\nbad-yaml 2:4\n");
    CHECK(tag.root().find("c").text() == "off");
}

TEST_CASE("depth is limited, with the place where it is passed") {
    const YamlLimits limits{.depth = 4};
    const ReadText fits("[[[[x]]]]", limits);
    CHECK(fits.tree);
    const ReadText deep("[[[[[x]]]]]", limits);
    CHECK_FALSE(deep.tree);
    CHECK(deep.said() == "bad-yaml 1:5\n");
    CHECK(deep.message() == "maps and lists inside each other go deeper than 4");
}

TEST_CASE("ten thousand open brackets are no danger") {
    for (const char* unit : {"[", "{a: ", "- ", "? ", "{", "&a "}) {
        std::string text;
        for (int i = 0; i < 10'000; ++i) {
            text += unit;
        }
        CAPTURE(unit);
        const ReadText read(text);
        CHECK_FALSE(read.tree);
        CHECK(read.findings.all().size() >= 1);
    }
}

TEST_CASE("size is limited") {
    const ReadText read("a: " + std::string(100, 'x'), {.bytes = 50});
    CHECK_FALSE(read.tree);
    CHECK(read.findings.all().front().rule == Rule::bad_yaml);
    CHECK(read.message().starts_with("the text is larger than"));
}

TEST_CASE("a document mark at the start, and an end mark, are no fault") {
    const ReadText read("---\na: 1\n...\n");
    REQUIRE(read.tree);
    CHECK(read.findings.empty());
    CHECK(read.root().find("a").text() == "1");
}
