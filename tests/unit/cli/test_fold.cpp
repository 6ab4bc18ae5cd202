// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "fold.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace loomwright::cli;

TEST_CASE("a line that fits is left as it is") {
    CHECK(folded("", 40).empty());
    CHECK(folded("one\n\n  two  \n", 40) == "one\n\n  two  \n");
    CHECK(folded("no end of line", 40) == "no end of line");
    CHECK(folded(std::string(40, 'x') + "\n", 40) == std::string(40, 'x') + "\n");
}

TEST_CASE("a wide line goes on under its text") {
    CHECK(folded("aaaa bbbb cccc\n", 10) == "aaaa bbbb\n  cccc\n");
    CHECK(folded("  aaaa bbbb cccc\n", 12) == "  aaaa bbbb\n    cccc\n");
    // a list of two columns goes on under the second
    CHECK(folded("ab   cccc dddd eeee\n", 14) == "ab   cccc dddd\n     eeee\n");
}

TEST_CASE("a word that is wider than the line is broken inside") {
    CHECK(folded("abcdefghijkl\n", 10) == "abcdefghij\n  kl\n");
    CHECK(folded("ab abcdefghijklm\n", 8) == "ab\n  abcdef\n  ghijkl\n  m\n");
}

// Columns as UAX 11 (East Asian Wide) and the combining marks of Unicode count them.
TEST_CASE("wide characters count two columns, marks and colours none") {
    CHECK(line_width("\u914d\u7dda") == 4);
    CHECK(line_width("e\u0301a\u0308") == 2);
    CHECK(line_width("\x1b[1;31mred\x1b[0m") == 3);
    CHECK(line_width("\r\x1b[Kx") == 1);
    CHECK(line_width("a\tb") == 9);
    CHECK(folded("\u914d\u7dda \u914d\u7dda\u914d\n", 8) == "\u914d\u7dda\n  \u914d\u7dda\u914d\n");
    CHECK(folded("\x1b[1;31maaaa\x1b[0m bbbb\n", 9) == "\x1b[1;31maaaa\x1b[0m bbbb\n");
    // a mark stays on its letter
    CHECK(folded("abcde\u0301fg\n", 5) == "abcde\u0301\n  fg\n");
}

TEST_CASE("of a line of the file that part is kept at which the caret points") {
    const std::string head = "  22 | ";
    const std::string text = "0123456789abcdefghijklmnopqrstuvwxyz";
    const std::string carets = "     | " + std::string(30, ' ') + "^^^\n";
    const std::string out = folded(head + text + "\n" + carets, 27);
    const std::size_t end = out.find('\n');
    const std::string line = out.substr(0, end);
    const std::string below = out.substr(end + 1);
    CHECK(line.size() <= 27);
    REQUIRE(below.find('^') != std::string::npos);
    CHECK(line.substr(below.find('^'), 3) == "uvw");
    CHECK(below.find("^^^\n") == below.find('^'));
    // without carets below it is a line like any other
    CHECK(folded(head + text + "\n", 60) == head + text + "\n");
}
