// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/characters.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

TEST_CASE("characters of one to four bytes are read whole, broken ones byte by byte") {
    // The ranges of well-formed UTF-8: Unicode standard, table 3-7.
    CHECK(code_point_at("A", 0).value == U'A');
    CHECK(code_point_at("\xC3\xA9", 0).value == U'\u00E9');
    CHECK(code_point_at("\xE2\x82\xAC", 0).bytes == 3);
    CHECK(code_point_at("\xF0\x9F\x9A\x97", 0).value == U'\U0001F697');
    for (const char* broken : {"\x80", "\xC0\xAF", "\xC3", "\xC3(", "\xE0\x80\x80", "\xED\xA0\x80",
                               "\xF4\x90\x80\x80", "\xF8\x88\x80\x80", "\xFF"}) {
        CAPTURE(broken);
        CHECK_FALSE(code_point_at(broken, 0).is_valid);
        CHECK(code_point_at(broken, 0).bytes == 1);
    }
}

TEST_CASE("a name cannot drive a terminal or break a document") {
    CHECK(plain_text("fan \x1b[31m red") == "fan \\x1b[31m red");
    CHECK(plain_text("two\nlines\tand tab") == "two lines and tab");
    CHECK(plain_text("abc\xE2\x80\xAE"
                     "def") == "abc\\u202edef");
    CHECK(plain_text("\xC2\x9B") == "\\x9b"); // the one-byte form of ESC [ in C1
    CHECK(plain_text("bad \xFF byte") == "bad \\xff byte");
    CHECK(plain_text(std::string_view("nul\0", 4)) == "nul\\x00");
    CHECK(plain_text("T\xC3\xBCr") == "T\xC3\xBCr");
    CHECK(markup_text("<b>&\"'") == "&lt;b&gt;&amp;&quot;&#39;");
}

TEST_CASE("widths on a terminal") {
    CHECK(display_width("fan") == 3);
    CHECK(display_width("T\xC3\xBCr") == 3);
    CHECK(display_width("u\xCC\x88") == 1);    // u with a combining diaeresis
    CHECK(display_width("\xE8\xBB\x8A") == 2); // a wide character
    CHECK(display_width("") == 0);
}

TEST_CASE("wrapping breaks at spaces, and inside a word only when it must") {
    CHECK(wrap("one two three", 7) == std::vector<std::string>{"one two", "three"});
    CHECK(wrap("abcdefgh ij", 3) == std::vector<std::string>{"abc", "def", "gh", "ij"});
    CHECK(wrap("", 5) == std::vector<std::string>{""});
    CHECK(wrap("T\xC3\xBCT\xC3\xBC", 2) == std::vector<std::string>{"T\xC3\xBC", "T\xC3\xBC"});
}
