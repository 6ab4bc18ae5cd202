// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The rules and examples of RFC 4180, section 2, and what spreadsheets write beside it.
#include "read/csv.hpp"

#include <doctest/doctest.h>

#include <memory>
#include <optional>

using namespace loomwright;

namespace {

struct Read {
    SourceFiles files;
    Findings findings;
    FileId file;
    std::optional<CsvTable> table;
};

/// Kept where it was made: cells point into its text.
std::unique_ptr<Read> read(std::string text) {
    auto out = std::make_unique<Read>();
    out->file = out->files.add("a.csv", std::move(text));
    out->table = read_csv(out->file, out->files.file(out->file).text, out->findings);
    return out;
}

std::vector<std::string> texts(const CsvRow& row) {
    std::vector<std::string> out;
    for (const CsvCell& cell : row.cells) {
        out.push_back(cell.text);
    }
    return out;
}

using Texts = std::vector<std::string>;

} // namespace

TEST_CASE(
    "rule 1 to 4: records, a head, the last line end may be missing, spaces are part of a cell") {
    for (const char* text :
         {"a,b\r\nx, y \r\n", "a,b\r\nx, y ", "a,b\nx, y \n", "a,b\n\n,\nx, y \n"}) {
        const auto got = read(text);
        REQUIRE(got->table.has_value());
        CHECK(texts(got->table->head) == Texts{"a", "b"});
        REQUIRE(got->table->rows.size() == 1);
        CHECK(texts(got->table->rows[0]) == Texts{"x", " y "});
    }
}

TEST_CASE("rule 5 to 7: quotes, line ends and commas inside them, a quote written twice") {
    const auto got = read("\"aaa\",\"b \r\nbb\",\"ccc\"\r\n\"a,\"\"b\"\"\",,\"\"\r\nx,y,z\r\n");
    REQUIRE(got->table.has_value());
    CHECK(texts(got->table->head) == Texts{"aaa", "b \r\nbb", "ccc"});
    CHECK(texts(got->table->rows[0]) == Texts{"a,\"b\"", "", ""});
    CHECK(got->table->rows[0].line == 3);
    CHECK(got->table->rows[1].line == 4);
    CHECK(got->table->rows[1].original == "x,y,z");
}

TEST_CASE("the separator is what the head has most of, outside quotes") {
    CHECK(read("a;b;c,d\n")->table->separator == ';');
    CHECK(read("a\tb,c\td\n")->table->separator == '\t');
    CHECK(read("\"a;b;c\",d\n")->table->separator == ',');
    CHECK(read("a\nb\n")->table->separator == ',');
    const auto named = read("sep=|\na|b\n1|2\n");
    CHECK(texts(named->table->rows[0]) == Texts{"1", "2"});
    CHECK(named->table->rows[0].line == 3);
}

TEST_CASE("places count characters, not bytes, from 1") {
    const auto got = read("a,b\n\xC3\xBC\xC3\xBC,\"x\"\n");
    const SourceRange where =
        place_of(got->file, got->files.file(got->file).text, got->table->rows[0].cells[1]);
    CHECK(where.line == 2);
    CHECK(where.column == 4);
    CHECK(where.end_column == 7);
}

TEST_CASE("a fault is told at its place and gives no table") {
    struct Case {
        const char* text;
        int line;
        int column;
    };
    for (const Case& c : {Case{"a,\"b\nc\n", 1, 3}, Case{"a\n\"b\"c\n", 2, 4},
                          Case{"a\nb\"c\n", 2, 2}, Case{"", 1, 1}, Case{"\n\n", 1, 1}}) {
        const auto got = read(c.text);
        CAPTURE(std::string(c.text));
        CHECK_FALSE(got->table.has_value());
        REQUIRE(got->findings.all().size() == 1);
        CHECK(got->findings.all()[0].where.line == c.line);
        CHECK(got->findings.all()[0].where.column == c.column);
    }
}
