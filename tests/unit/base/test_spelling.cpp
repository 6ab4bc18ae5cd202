// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// Published distances:
//   kitten / sitting = 3, intention / execution = 5: D. Jurafsky, J. H. Martin, "Speech and
//   Language
//     Processing", chapter on minimum edit distance, gives 5 for the second with unit costs; the
//     first is the customary example of the same literature (memory).
//   ca / abc = 3 without edits inside a swapped pair, 2 with: L. Boytsov, "Indexing methods for
//     approximate dictionary searching" (2011) tells the two definitions apart by it (memory). Ours
//     is the restricted one, also called optimal string alignment.

#include "base/spelling.hpp"

#include <doctest/doctest.h>

#include <array>
#include <string>
#include <vector>

using namespace loomwright;

TEST_CASE("edit distance meets published examples") {
    CHECK(edit_distance("kitten", "sitting") == 3);
    CHECK(edit_distance("intention", "execution") == 5);
    CHECK(edit_distance("saturday", "sunday") == 3);
    CHECK(edit_distance("ca", "abc") == 3);
}

TEST_CASE("one edit of each kind counts one") {
    CHECK(edit_distance("fuse", "fuse") == 0);
    CHECK(edit_distance("fuse", "fused") == 1);
    CHECK(edit_distance("fuse", "use") == 1);
    CHECK(edit_distance("fuse", "fuze") == 1);
    CHECK(edit_distance("fuse", "fsue") == 1);
    CHECK(edit_distance("", "relay") == 5);
    CHECK(edit_distance("relay", "") == 5);
    CHECK(edit_distance("", "") == 0);
}

namespace {

/// Every word of up to `longest` letters from a and b.
std::vector<std::string> short_words(std::size_t longest) {
    std::vector<std::string> words{""};
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (words[i].size() < longest) {
            words.push_back(words[i] + "a");
            words.push_back(words[i] + "b");
        }
    }
    return words;
}

/// The definition itself, by recursion: slow, and written in another way than the program's.
std::size_t distance_by_definition(const std::string& a, const std::string& b) {
    if (a.empty() || b.empty()) {
        return a.size() + b.size();
    }
    const std::string a_less = a.substr(0, a.size() - 1);
    const std::string b_less = b.substr(0, b.size() - 1);
    std::size_t best = distance_by_definition(a_less, b_less) + (a.back() == b.back() ? 0 : 1);
    best = std::min(best, distance_by_definition(a_less, b) + 1);
    best = std::min(best, distance_by_definition(a, b_less) + 1);
    if (a.size() > 1 && b.size() > 1 && a.back() == b_less.back() && a_less.back() == b.back()) {
        best = std::min(best, distance_by_definition(a_less.substr(0, a_less.size() - 1),
                                                     b_less.substr(0, b_less.size() - 1)) +
                                  1);
    }
    return best;
}

} // namespace

TEST_CASE("edit distance is its definition on every pair of short words") {
    const std::vector<std::string> words = short_words(4);
    REQUIRE(words.size() == 31);
    for (const std::string& a : words) {
        for (const std::string& b : words) {
            CAPTURE(a);
            CAPTURE(b);
            CHECK(edit_distance(a, b) == distance_by_definition(a, b));
            CHECK(edit_distance(a, b) == edit_distance(b, a));
        }
    }
}

TEST_CASE("the nearest word is a slip of the pen away") {
    const std::vector<std::string> keys{"zones", "points", "runs", "devices", "circuits"};
    CHECK(nearest_word("device", keys) == "devices");
    CHECK(nearest_word("cirucits", keys) == "circuits");
    CHECK(nearest_word("Zones", keys) == "zones");
    CHECK(nearest_word("pionts", keys) == "points");
    CHECK_FALSE(nearest_word("waivers", keys).has_value());
    CHECK_FALSE(nearest_word("", keys).has_value());
    CHECK_FALSE(nearest_word("devices", std::vector<std::string>{}).has_value());
}

TEST_CASE("short words may be off by one only") {
    const std::array<std::string_view, 2> names{"F10", "GND2"};
    CHECK(nearest_word("F1O", names) == "F10");
    CHECK(nearest_word("F1", names) == "F10");
    CHECK_FALSE(nearest_word("K3", names).has_value());
    CHECK_FALSE(nearest_word("X99", names).has_value());
}

TEST_CASE("of two equally near words the first wins, a nearer one before both") {
    CHECK(nearest_word("F11", std::vector<std::string>{"F12", "F13"}) == "F12");
    CHECK(nearest_word("F11", std::vector<std::string>{"F13", "F12"}) == "F13");
    CHECK(nearest_word("F11", std::vector<std::string>{"F12", "F13", "f11"}) == "f11");
}

TEST_CASE("of two equally near words the one that begins alike is meant") {
    const std::vector<std::string> names{"G2", "F2", "M1", "M3"};
    CHECK(nearest_word("M2", names) == "M1");
    CHECK(nearest_word("m2", names) == "M1");
    CHECK(nearest_word("K2", names) == "G2"); // none begins alike: the first
    CHECK(nearest_word("2.9", std::vector<std::string>{"1.9", "2.1"}) == "2.1");
    CHECK(nearest_word("fC", std::vector<std::string>{"C", "F"}) == "C"); // units
    // A nearer one goes before one that begins alike: relay and delay are one letter apart.
    CHECK(nearest_word("relay", std::vector<std::string>{"relic", "delay"}) == "delay");
}

TEST_CASE("letters of another alphabet look the same") {
    CHECK(looks_alike("b\xD0\xB0y", "bay")); // U+0430, Cyrillic a
    CHECK(looks_alike("E1", "\xD0\x95"
                            "1")); // U+0415, Cyrillic Ie
    CHECK(looks_alike("\xCE\x9A"
                      "1",
                      "K1")); // U+039A, Greek Kappa
    CHECK(looks_alike("\xEF\xBC\xAB"
                      "1",
                      "K1"));                  // U+FF2B, full-width K
    CHECK(looks_alike("K\xEF\xBC\x91", "K1")); // U+FF11, full-width 1
    CHECK_FALSE(looks_alike("K1", "K1"));
    CHECK_FALSE(looks_alike("K1", "k1"));
    CHECK_FALSE(looks_alike("T\xC3\xBCr", "Tur")); // u with two dots is another letter to the eye
    CHECK_FALSE(looks_alike("\xEF\xBC", "K"));     // a character cut short
    CHECK_FALSE(looks_alike("", "a"));
}

TEST_CASE("the article goes by the sound") {
    CHECK(with_article("fuse") == "a fuse");
    CHECK(with_article("alternator") == "an alternator");
    CHECK(with_article("led-lamp") == "a led-lamp");
    CHECK(with_article("unit") == "a unit");
}

TEST_CASE("a page of text is no slip of the pen") {
    const std::string page(100000, 'x');
    CHECK_FALSE(nearest_word(page, std::vector<std::string>{page}).has_value());
}
