// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// UTF-8 as RFC 3629 has it: its table of well-formed sequences, at both ends of every row.

#include "yaml/text_check.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

TEST_CASE("well-formed sequences at the ends of every range") {
    struct Row {
        const char* bytes;
        std::size_t length;
    };
    const Row good[] = {{"A", 1},
                        {"\xC2\x80", 2},
                        {"\xDF\xBF", 2},
                        {"\xE0\xA0\x80", 3},
                        {"\xE0\xBF\xBF", 3},
                        {"\xED\x9F\xBF", 3},
                        {"\xEE\x80\x80", 3},
                        {"\xEF\xBF\xBF", 3},
                        {"\xF0\x90\x80\x80", 4},
                        {"\xF4\x8F\xBF\xBF", 4}};
    for (const Row& row : good) {
        CAPTURE(row.bytes);
        CHECK(utf8_length(row.bytes) == row.length);
    }
    const char* bad[] = {"\x80",
                         "\xC0\xAF",
                         "\xC1\xBF",
                         "\xC2",
                         "\xC2\x41",
                         "\xE0\x9F\xBF",
                         "\xED\xA0\x80",
                         "\xE2\x82",
                         "\xF0\x8F\xBF\xBF",
                         "\xF4\x90\x80\x80",
                         "\xF5\x80\x80\x80",
                         "\xFE",
                         "\xF0\x90\x80"};
    for (const char* bytes : bad) {
        CAPTURE(bytes);
        CHECK(utf8_length(bytes) == 0);
    }
    CHECK(utf8_length("") == 0);
}

TEST_CASE("places count characters and lines") {
    const std::string text = "a\xC3\xBC"
                             "b\ncd\r\ne";
    CHECK(place_at(text, 0).column == 1);
    CHECK(place_at(text, 3).column == 3);
    CHECK(place_at(text, 5).line == 2);
    CHECK(place_at(text, 9).line == 3);
    CHECK(line_at(text, 2) == "cd");
    CHECK(line_at(text, 3) == "e");
    CHECK(line_at(text, 4).empty());
}

TEST_CASE("tabs and CR LF are characters a text can hold") {
    CHECK_FALSE(find_bad_character("a\tb\r\nc\n"));
    CHECK(find_bad_character("a\x7F")->offset == 1);
    CHECK(without_mark("\xEF\xBB\xBFx") == "x");
    CHECK(is_ascii("plain") == true);
    CHECK(is_ascii("\xC3\xBC") == false);
}
