// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// A text read in pieces gives what the same text gives as a whole, wherever it is cut, and whether
// its pieces were read before or not.

#include "support.hpp"
#include "yaml/piece_shelf.hpp"
#include "yaml/pieces.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

using namespace loomwright;

namespace {

void list_values(const Node& node, std::string& out) {
    out += show_place(node.where()) + " " + std::to_string(static_cast<int>(node.kind())) + " " +
           std::to_string(node.size()) + (node.is_quoted() ? " q " : " ") +
           std::string(node.text()) + "\n";
    for (const Entry entry : node.entries()) {
        list_values(entry.key, out);
        list_values(entry.value, out);
    }
    for (const Node item : node.items()) {
        list_values(item, out);
    }
}

std::string everything(const std::string& text, int threads, PieceShelf* shelf = nullptr) {
    const ReadText read(text, {.threads = threads, .piece_bytes = 1}, shelf);
    std::string out;
    for (const Finding& finding : read.findings.all()) {
        out += describe(finding, read.files);
    }
    if (read.tree) {
        list_values(read.root(), out);
    }
    return out;
}

void check_same(const std::string& text) {
    const std::string whole = everything(text, 1);
    for (int threads = 2; threads <= 12; ++threads) {
        CAPTURE(text);
        CAPTURE(threads);
        CHECK(everything(text, threads) == whole);
    }
    static PieceShelf shelf; // with all that was read before
    CHECK(everything(text, 1, &shelf) == whole);
    CHECK(everything(text, 1, &shelf) == whole);
    CHECK(everything("# A line more.\n" + text, 1, &shelf) ==
          everything("# A line more.\n" + text, 1));
}

std::string joined(const std::vector<Piece>& pieces) {
    std::string out;
    for (const Piece& piece : pieces) {
        out += piece.text;
    }
    return out;
}

} // namespace

TEST_CASE("cuts are made between entries of the topmost map and of its values") {
    const std::string text = "a: 1\nb:\n  c: 1\n  d: {e: f,\n    g: h}\n  i: 2\nk: 3\n";
    const auto pieces = cut_into_pieces(text, 2);
    REQUIRE(pieces.size() == 3);
    CHECK(joined(pieces) == text);
    CHECK(pieces[0].text == "a: 1\nb:\n  c: 1\n  d: {e: f,\n    g: h}\n");
    CHECK(pieces[1].text == "  i: 2\n");
    CHECK(pieces[1].is_inner);
    CHECK(pieces[1].first_line == 5);
    CHECK(pieces[2].text == "k: 3\n");
    CHECK_FALSE(pieces[2].is_inner);
    CHECK(pieces[2].group == 1);
    CHECK(cut_into_pieces(text, 1).size() == 1);
}

TEST_CASE("documents, directives and lists at the start of a line are not cut") {
    for (const char* text :
         {"---\na: 1\nb: 2\nc: 3\n", "%YAML 1.2\n---\na: 1\nb: 2\n", "a: 1\nb: 2\nc: 3\n...\n"}) {
        CHECK(cut_into_pieces(text, 4).size() == 1);
    }
}

TEST_CASE("texts where a line looks like an entry and is none") {
    const char* texts[] = {
        "a: \"x\nb: y\nc: z\"\nd: 1\n",
        "a: 'x\n  b: y\n  c: z'\nd: 1\n",
        "a: {b: c,\nd: e,\nf: g}\nh: i\n",
        "a: {b: c,\n  d: e,\n  f: g}\nh: i\n",
        "a: |\n  b: c\n  d: e\n  f: g\nh: i\n",
        "a:\n  b: |\n    x: y\n  c: >\n    z: y\n    w: v\n  d: 1\nh: i\n",
        "a: b\n  c\n  d\ne: f\n",
        "a: b\n  c: d\n  e: f\n",
        "a:\n- b\n- c\nd:\n- e\nf: g\n",
        "a:\n  - b: c\n    d: e\n  - f: g\n    h: i\nj: k\n",
        "a: &x {b: c}\nd:\n  e: *x\n  f: *x\ng: *x\n",
        "a:\n  b: &x 1\n  c: 2\n  d: *x\ne: 3\n",
        "a: 1\na: 2\nb: 3\nb: 4\na: 5\n",
        "a:\n  b: 1\n  c: 2\n  b: 3\n  d: 4\n  b: 5\ne: 6\n",
        "a:\n  b: 1\n  c: 2\na:\n  b: 3\n  d: 4\n",
        "a:\n  b: 1\n   c: 2\n  d: 3\n",
        "a:\n    b: 1\n    c: 2\n  d: 3\n",
        "a:\n\nb:\n\n  c: 1\n\n  d: 2\n# x\ne: 3\n",
        "a:\n  # comment\n  b: 1\n  # more\n  c: 2\nd: 3",
        "a: 1\nb\nc: 2\nd: 3\n",
        "a: [1,\n2,\n3]\nb: 4\n",
        "{a: 1,\nb: 2,\nc: 3}\n",
        "- a: 1\n- b: 2\n",
        "just a text\nof two lines\n",
        "? a\n: b\nc: d\ne: f\n",
        "a: 1\r\nb:\r\n  c: 2\r\n  d: 3\r\ne: 4\r\n",
        ("\xEF\xBB\xBF"
         "a: 1\nb:\n  c: \xC3\xBC\n  d: \xE7\x81\xAF x\ne: 4\n"),
        "a:\n\tb: 1\nc: 2\nd: 3\n",
        "a: x\nb: !!int 3\nc: 4\n",
        "a:\n  b: {<<: *x}\n  c: 1\nd: 2\n",
        "a:\n  1: x\n  2: y\n  3: z\nb: ~\nc:\nd: null\nnull: 1\n",
        "",
        "\n\n",
        "a",
        "a:",
    };
    for (const char* text : texts) {
        check_same(text);
    }
}

TEST_CASE(
    "an entry that stands elsewhere by now, or beside others, comes from the shelf as it is") {
    PieceShelf shelf;
    const std::string first = "a: 1\nb:\n  c: {x: 1}\n  d: \"two\\tone\"\n  e: [3, 4]\nf: 5\n";
    const std::string later =
        "# new\na: 1\nb:\n  c: {x: 2}\n\n  d: \"two\\tone\"\n  e: [3, 4]\nf: 5\n";
    CHECK(everything(first, 1, &shelf) == everything(first, 1));
    CHECK(shelf.find("  d: \"two\\tone\"\n") != nullptr);
    CHECK(shelf.find("f: 5\n") != nullptr);
    CHECK(shelf.find("  c: {x: 2}\n") == nullptr);
    CHECK(everything(later, 1, &shelf) == everything(later, 1));
    // Twice the same text in one: each with its own lines.
    const std::string twice = "a:\n  c: 1\n  d: 2\nb:\n  c: 1\n  d: 2\n";
    CHECK(everything(twice, 1, &shelf) == everything(twice, 1));
    // What is said of an entry is said whoever read it before.
    const std::string doubled = "a:\n  c: 1\n  d: 2\n  d: 2\n";
    CHECK(ReadText(doubled, {}, &shelf).said() == "duplicate-key 4:3\n");
}

TEST_CASE("a shelf that is full keeps what it has") {
    PieceShelf first;
    const std::string early = "a: 1\nb: 2\n";
    CHECK(everything(early, 1, &first) == everything(early, 1));
    REQUIRE(first.find("b: 2\n") != nullptr);
    PieceShelf shelf(2 * first.find("b: 2\n")->bytes());
    CHECK(everything(early, 1, &shelf) == everything(early, 1));
    CHECK(shelf.find("a: 1\n") != nullptr);
    CHECK(shelf.find("b: 2\n") != nullptr);
    const std::string late = "a: 1\nc: 3\n";
    CHECK(everything(late, 1, &shelf) == everything(late, 1));
    CHECK(shelf.find("c: 3\n") == nullptr);
    CHECK(shelf.find("a: 1\n") != nullptr);
}

TEST_CASE("the limits of a text hold whether it is read as a whole or in pieces") {
    std::string aliases = "loomwright: 1\nb:\n";
    for (int k = 0; k < 12; ++k) {
        aliases += "  k" + std::to_string(k) + ": [&x [1, 2, 3], *x, *x]\n";
    }
    std::string deep = "loomwright: 1\nb:\n  c: 1\n  d: ";
    for (int k = 0; k < 6; ++k) {
        deep += "[";
    }
    deep += std::string(6, ']') + "\n  e: 2\n";
    for (const std::string& text : {aliases, deep}) {
        for (int at = 1; at <= 120; ++at) {
            CAPTURE(text);
            CAPTURE(at);
            const auto most = static_cast<std::size_t>(at);
            for (const YamlLimits& limits :
                 {YamlLimits{.depth = at, .threads = 1}, YamlLimits{.values = most, .threads = 1},
                  YamlLimits{.anchors = most, .threads = 1},
                  YamlLimits{.alias_nodes = most, .threads = 1}}) {
                const std::string whole = ReadText(text, limits).said();
                PieceShelf shelf;
                CHECK(ReadText(text, limits, &shelf).said() == whole);
                YamlLimits many = limits;
                many.threads = 3;
                many.piece_bytes = 1;
                CHECK(ReadText(text, many).said() == whole);
            }
        }
    }
}

TEST_CASE("the examples, the tables and the bad files in pieces") {
    namespace fs = std::filesystem;
    int count = 0;
    PieceShelf shelf;
    for (const char* folder : {"examples", "lib/tables/data", "tests/bad"}) {
        for (const auto& entry :
             fs::recursive_directory_iterator(fs::path(LOOMWRIGHT_SOURCE_DIR) / folder)) {
            if (entry.path().extension() == ".yaml") {
                std::ifstream stream(entry.path(), std::ios::binary);
                std::stringstream text;
                text << stream.rdbuf();
                const std::string whole = everything(text.str(), 1);
                for (const int threads : {2, 3, 7}) {
                    CAPTURE(entry.path().string());
                    CHECK(everything(text.str(), threads) == whole);
                }
                CHECK(everything(text.str(), 1, &shelf) == whole);
                ++count;
            }
        }
    }
    CHECK(count > 100);
}
