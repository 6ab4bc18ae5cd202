// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Line and column (from 1, in characters) of every key and value, and where a scalar ends.

#include "support.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

namespace {

/// Every scalar of a tree as "text@line:column-end", keys too.
void list_places(const Node& node, std::string& out) {
    if (node.is_map()) {
        for (const Entry entry : node.entries()) {
            list_places(entry.key, out);
            list_places(entry.value, out);
        }
    } else if (node.is_list()) {
        for (const Node item : node.items()) {
            list_places(item, out);
        }
    } else {
        out += std::string(node.text()) + "@" + show_place(node.where()) + " ";
    }
}

std::string places(const std::string& text) {
    const ReadText read(text);
    REQUIRE(read.tree);
    std::string out;
    list_places(read.root(), out);
    return out;
}

} // namespace

TEST_CASE("block maps and lists") {
    CHECK(places(
              "loomwright: 1\ndevices:\n  G1:\n    is: battery\n  list:\n    - one\n    - two\n") ==
          "loomwright@1:1-11 1@1:13-14 devices@2:1-8 G1@3:3-5 is@4:5-7 battery@4:9-16 list@5:3-7 "
          "one@6:7-10 two@7:7-10 ");
}

TEST_CASE("maps and lists in brackets, over lines") {
    CHECK(places("a: {b: c, 'd e': [f,\n  g]}\n") ==
          "a@1:1-2 b@1:5-6 c@1:8-9 d e@1:11-16 f@1:19-20 g@2:3-4 ");
}

TEST_CASE("an empty item of a list stands at its dash") {
    CHECK(places("a:\n  -\n  - b\n") == "a@1:1-2 @2:3-3 b@3:5-6 ");
    CHECK(places("a:\n  - b\n  - # none - yet\n\n  # nor here\nc: d\n") ==
          "a@1:1-2 b@2:5-6 @3:3-3 c@6:1-2 d@6:4-5 ");
    CHECK(places("ä:\n  - ö\n  -\r\n  -\n") == "ä@1:1-2 ö@2:5-6 @3:3-3 @4:3-3 ");
    CHECK(places("a: [b]\nc:\n- ~\n-\n- d\n") == "a@1:1-2 b@1:5-6 c@2:1-2 ~@3:3-4 @4:1-1 d@5:3-4 ");
}

TEST_CASE("quoted scalars begin and end with their quotes") {
    CHECK(places("a: \"x y\"\nb: 'it''s'\nc: \"\\x41\"\n") ==
          "a@1:1-2 x y@1:4-9 b@2:1-2 it's@2:4-11 c@3:1-2 A@3:4-10 ");
}

TEST_CASE("a text over several lines ends where its first line does") {
    CHECK(places("a: one two\n  three\nb: |\n  x\n") ==
          "a@1:1-2 one two three@1:4-11 b@3:1-2 x\n@3:4-5 ");
}

TEST_CASE("columns count characters, not bytes") {
    CHECK(places("m\xC3\xBC: \xE2\x84\xA6 x\n\xF0\x9F\x9A\x97: {\xC3\xA9: f, g: h}\n") ==
          "m\xC3\xBC@1:1-3 \xE2\x84\xA6 x@1:5-8 \xF0\x9F\x9A\x97@2:1-2 \xC3\xA9@2:5-6 f@2:8-9 "
          "g@2:11-12 h@2:14-15 ");
}

TEST_CASE("a byte-order mark and CR LF change no place") {
    CHECK(places("\xEF\xBB\xBFloomwright: 1\r\ntitle: x y\r\nlist:\r\n  - 'q'\r\n") ==
          "loomwright@1:1-11 1@1:13-14 title@2:1-6 x y@2:8-11 list@3:1-5 q@4:5-8 ");
}

TEST_CASE("comments and blank lines count") {
    CHECK(places("# head\n\na: 1   # one\n\n# mid\nb: 2\n") == "a@3:1-2 1@3:4-5 b@6:1-2 2@6:4-5 ");
}

TEST_CASE("a part of a scalar has a place of its own") {
    const ReadText read("a: G1 > F\xC3\xB6 > M1\nb: \"G1 > F1\"\nc: G1 >\n  F1\n");
    REQUIRE(read.tree);
    const Node plain = read.root().find("a");
    CHECK(show_place(plain.where(plain.text().find("M1"), 2)) == "1:14-16");
    const Node in_quotes = read.root().find("b");
    CHECK(show_place(in_quotes.where(in_quotes.text().find("F1"), 2)) == "2:10-12");
    const Node folded = read.root().find("c");
    CHECK(show_place(folded.where(folded.text().find("F1"), 2)) == show_place(folded.where()));
}

TEST_CASE("a value with an anchor stands where the value does") {
    CHECK(places("a: &x 5 V\nb: &y 'q'\nc: *x\nd: !!str on\n") ==
          "a@1:1-2 5 V@1:7-10 b@2:1-2 q@2:7-10 c@3:1-2 5 V@1:7-10 d@4:1-2 on@4:10-12 ");
    const ReadText read("a: &x {b: c}\nd: &y\n  e: f\n");
    CHECK(show_place(read.root().find("a").where()) == "1:7-7");
    CHECK(read.root().find("d").where().line == 2);
}

TEST_CASE("maps and lists stand where they begin") {
    const ReadText read("a: {b: c}\nd:\n  e: f\ng:\n  - h\n");
    CHECK(show_place(read.root().find("a").where()) == "1:4-4");
    CHECK(show_place(read.root().find("d").where()) == "3:3-3");
    CHECK(show_place(read.root().find("g").where()) == "5:3-3");
}

TEST_CASE("lines of many thousand characters cost no more than their length") {
    std::string text = "a: [";
    for (int i = 0; i < 60'000; ++i) {
        text += "\xC3\xBC, ";
    }
    const ReadText read(text + "x]\n");
    REQUIRE(read.tree);
    CHECK(read.root().find("a").size() == 60'001);
}
