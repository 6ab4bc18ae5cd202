// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The tree: what stands where, text kept as written, repeated keys, aliases.

#include "support.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace loomwright;

TEST_CASE("maps, lists and scalars come out in the order of writing") {
    const ReadText read("b: 1\na: [x, y, [z]]\nc: {d: e, f: {}}\n");
    REQUIRE(read.tree);
    CHECK(read.findings.empty());
    REQUIRE(read.root().is_map());
    CHECK(read.root().size() == 3);
    std::vector<std::string> keys;
    for (const Entry entry : read.root().entries()) {
        keys.emplace_back(entry.key.text());
    }
    CHECK(keys == std::vector<std::string>{"b", "a", "c"});
    const Node list = read.root().find("a");
    REQUIRE(list.is_list());
    CHECK(list.size() == 3);
    std::vector<std::string> items;
    for (const Node item : list.items()) {
        items.emplace_back(item.is_list() ? "list" : item.text());
    }
    CHECK(items == std::vector<std::string>{"x", "y", "list"});
    CHECK(read.root().find("c").find("d").text() == "e");
    CHECK(read.root().find("c").find("f").is_map());
    CHECK(read.root().find("c").find("f").size() == 0);
    CHECK_FALSE(read.root().find("g").is_valid());
    CHECK_FALSE(read.root().find("b").find("g").is_valid());
}

TEST_CASE("a scalar keeps the text it was written in") {
    const ReadText read("{a: 12.10, b: 0000, c: off, d: 'off', e: 1_0, f: 0x10, g: .nan, h: \"1/0 "
                        "AWG\", i: 12:30, j: 2026-01-02}");
    REQUIRE(read.tree);
    const auto text = [&](const char* key) { return std::string(read.root().find(key).text()); };
    CHECK(text("a") == "12.10");
    CHECK(text("b") == "0000");
    CHECK(text("c") == "off");
    CHECK(text("d") == "off");
    CHECK(text("e") == "1_0");
    CHECK(text("f") == "0x10");
    CHECK(text("g") == ".nan");
    CHECK(text("h") == "1/0 AWG");
    CHECK(text("i") == "12:30");
    CHECK(text("j") == "2026-01-02");
    CHECK_FALSE(read.root().find("c").is_quoted());
    CHECK(read.root().find("d").is_quoted());
    CHECK(read.root().find("h").is_quoted());
}

TEST_CASE("words that YAML takes for nothing keep their text") {
    const ReadText read("a: ~\nb: null\nc:\nd: NULL\ne: ''\nnull: x\n~: y\n");
    REQUIRE(read.tree);
    CHECK(read.root().find("a").is_nothing());
    CHECK(read.root().find("a").text() == "~");
    CHECK(read.root().find("b").text() == "null");
    CHECK(read.root().find("c").is_nothing());
    CHECK(read.root().find("c").text() == "");
    CHECK(read.root().find("d").text() == "NULL");
    CHECK(read.root().find("e").is_scalar());
    CHECK(read.root().find("null").text() == "x");
    CHECK(read.root().find("~").text() == "y");
}

TEST_CASE("an empty value before a key called null is empty all the same") {
    const ReadText read("a:\nnull: 1\n");
    REQUIRE(read.tree);
    CHECK(read.root().find("a").is_nothing());
    CHECK(read.root().find("a").text() == "");
    CHECK(read.root().find("null").text() == "1");
    // An empty value stands where its key ends.
    CHECK(show_place(read.root().find("a").where()) == "1:2-2");
}

TEST_CASE("empty values in brackets are empty") {
    const ReadText read("{a, b: , c: [x, ~]}");
    REQUIRE(read.tree);
    CHECK(read.root().find("a").is_nothing());
    CHECK(read.root().find("b").is_nothing());
    CHECK(read.root().find("b").text() == "");
    CHECK(read.root().size() == 3);
}

TEST_CASE("folded, escaped and block texts are joined as YAML says") {
    const ReadText read("a: one\n  two\nb: \"x\\ty\"\nc: |\n  l1\n  l2\nd: 'it''s'\n");
    REQUIRE(read.tree);
    CHECK(read.root().find("a").text() == "one two");
    CHECK(read.root().find("b").text() == "x\ty");
    CHECK(read.root().find("c").text() == "l1\nl2\n");
    CHECK(read.root().find("d").text() == "it's");
}

TEST_CASE("a repeated key is told with both places and left out") {
    const ReadText read("a: 1\nb: 2\na: 3\na: 4\n");
    REQUIRE(read.tree);
    CHECK(read.said() == "duplicate-key 3:1\nduplicate-key 4:1\n");
    REQUIRE(read.findings.all().front().related.size() == 1);
    CHECK(show_place(read.findings.all().front().related.front().where) == "1:1-2");
    CHECK(read.message() == "`a` stands twice in one map");
    CHECK(read.root().find("a").text() == "1");
    int count = 0;
    for (const Entry entry : read.root().entries()) {
        count += entry.key.text() == "a" ? 1 : 0;
    }
    CHECK(count == 1);
}

TEST_CASE("a repeated key is found in large maps and whatever its quotes") {
    std::string text;
    for (int i = 0; i < 500; ++i) {
        text += "k" + std::to_string(i) + ": 1\n";
    }
    const ReadText read(text + "'k7': 2\n");
    CHECK(read.said() == "duplicate-key 501:1\n");
    const ReadText small("{\"x\": 1, x: 2}");
    CHECK(small.said() == "duplicate-key 1:10\n");
}

TEST_CASE("12.1 and 12.10 are two keys") {
    const ReadText read("12.1: a\n12.10: b\n12.100: c\n");
    CHECK(read.findings.empty());
    CHECK(read.root().find("12.10").text() == "b");
}

TEST_CASE("an alias repeats a value with the place of its writing") {
    const ReadText read("a: &lamp {is: lamp, draws: 5 W}\nb: *lamp\nc: [*lamp, x]\n");
    REQUIRE(read.tree);
    CHECK(read.findings.empty());
    CHECK(read.root().find("b").find("draws").text() == "5 W");
    CHECK(show_place(read.root().find("b").find("draws").where()) == "1:28-31");
    CHECK(read.root().find("c").size() == 2);
}

TEST_CASE("aliases of aliases are followed, and bounded") {
    const ReadText read("a: &a [x]\nb: &b [*a, *a]\nc: [*b, *b]\n");
    REQUIRE(read.tree);
    CHECK(read.root().find("c").size() == 2);

    std::string bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n";
    for (int i = 1; i < 12; ++i) {
        const std::string alias = "*a" + std::to_string(i - 1);
        bomb += "a" + std::to_string(i) + ": &a" + std::to_string(i) + " [";
        for (int j = 0; j < 9; ++j) {
            bomb += (j > 0 ? ", " : "") + alias;
        }
        bomb += "]\n";
    }
    const ReadText burst(bomb);
    CHECK_FALSE(burst.tree);
    CHECK(burst.message() == "aliases repeat more than 100000 values");
}

TEST_CASE("an alias of the value it stands in is refused") {
    const ReadText read("a: &a [x, *a]\n");
    CHECK_FALSE(read.tree);
    CHECK(read.said() == "bad-yaml 1:11\n");
    CHECK(read.message() == "this alias repeats the value that it stands in");
}

TEST_CASE("a tree can be moved from and walked later") {
    auto read = std::make_unique<ReadText>("a: {b: c}\n");
    const auto tree = std::move(read->tree);
    read.reset();
    CHECK(tree->root().find("a").find("b").text() == "c");
}
