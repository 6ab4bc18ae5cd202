// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "tables/catalogue_reader.hpp"

#include <algorithm>

using namespace loomwright;

namespace {

struct ReadText {
    SourceFiles files;
    Findings findings;
    std::optional<DataTable> table;
};

ReadText read_text(const std::string& text) {
    ReadText out;
    out.table = read_data_text("test.yaml", text, out.files, out.findings);
    return out;
}

/// True when some finding has this word in its message, at this line.
bool has(const ReadText& read, const std::string& word, int line) {
    return std::ranges::any_of(read.findings.all(), [&](const Finding& finding) {
        return finding.message.find(word) != std::string::npos && finding.where.line == line;
    });
}

const std::string head = "table: defaults\n"
                         "description: d\n"
                         "edition: e\n"
                         "licence: l\n"
                         "validity: v\n"
                         "sources: {one: \"read: a book\"}\n"
                         "columns: [[name, \"\"], [value, mm, \"@from\"], [from, \"\"]]\n";

/// What the reader of defaults says to these rows.
Findings findings_of_defaults(const std::string& rows) {
    const ReadText read =
        read_text("table: defaults\ndescription: d\nedition: e\nlicence: l\nvalidity: v\n"
                  "sources: {one: \"read: a book\"}\n"
                  "columns: [[name, \"\"], [value, \"\", \"@from\"], [unit, \"\"], [from, \"\"], "
                  "[what, \"\"]]\n" +
                  rows);
    REQUIRE(read.table.has_value());
    CHECK(read.findings.empty());
    Catalogue tables;
    SourceFiles files;
    Findings findings;
    CatalogueReader(tables, files, findings).read_defaults(*read.table);
    return findings;
}

} // namespace

TEST_CASE("every data file says what it is, where from, which edition and how far it reaches") {
    const std::vector<std::string> names = data_table_names();
    CHECK(names.size() >= 16);
    for (const std::string& name : names) {
        SourceFiles files;
        Findings findings;
        const auto table = read_data_table(name, files, findings);
        INFO(name);
        CHECK(findings.empty());
        REQUIRE(table.has_value());
        CHECK(table->name == name);
        CHECK(!table->description.empty());
        CHECK(!table->edition.empty());
        CHECK(!table->licence.empty());
        CHECK(!table->validity.empty());
        CHECK(!table->sources.empty());
        CHECK(table->row_count() > 0);
    }
}

TEST_CASE("every figure of every row has a provenance and a source") {
    for (const std::string& name : data_table_names()) {
        SourceFiles files;
        Findings findings;
        const auto table = read_data_table(name, files, findings);
        REQUIRE(table.has_value());
        for (std::size_t row = 0; row < table->row_count(); ++row) {
            bool has_one = false;
            for (std::size_t column = 0; column < table->columns.size(); ++column) {
                const DataColumn& from = table->columns[column];
                const bool is_sourced = from.origin || from.origin_column >= 0;
                if (is_sourced && table->cell(row, column).is_given()) {
                    INFO(name, " row ", row, " ", from.name);
                    CHECK(!table->origin(row, column).source.empty());
                    has_one = true;
                }
            }
            INFO(name, " row ", row);
            CHECK(has_one);
        }
    }
}

TEST_CASE("the catalogue is read whole and without a finding") {
    SourceFiles files;
    Findings findings;
    const Catalogue tables = load_catalogue(files, findings);
    CHECK(findings.empty());
    CHECK(tables.conductors(SizeStandard::iso).size() >= 30);
    CHECK(tables.conductors(SizeStandard::sae).size() == 16);
    CHECK(tables.conductors(SizeStandard::awg).size() == 34);
    CHECK(tables.fuse_families().size() >= 10);
}

TEST_CASE("a good file is read in its units") {
    const ReadText read = read_text(head + "rows:\n  - [a, 2.5, one]\n  - [b, ~, ~]\n");
    REQUIRE(read.table.has_value());
    CHECK(read.findings.empty());
    Findings findings;
    RowReader row(*read.table, findings);
    row.go_to(0);
    CHECK(*row.number("value") == doctest::Approx(0.0025).scale(0.0));
    CHECK(row.origin("value").provenance == Provenance::read);
    CHECK(row.origin("value").source == "a book");
    row.go_to(1);
    CHECK_FALSE(row.number("value").has_value());
    CHECK(findings.empty());
}

TEST_CASE("a source may stand in the row itself") {
    const ReadText read = read_text(head + "rows:\n  - [a, 2.5, \"memory: a man\"]\n");
    REQUIRE(read.table.has_value());
    CHECK(read.table->origin(0, 1).provenance == Provenance::memory);
    CHECK(read.table->origin(0, 1).source == "a man");
}

TEST_CASE("faults of a data file have their place") {
    SUBCASE("too many cells") {
        CHECK(has(read_text(head + "rows:\n  - [a, 2.5, one]\n  - [b, 1, one, 2]\n"), "cells", 10));
    }
    SUBCASE("too few cells") {
        CHECK(has(read_text(head + "rows:\n  - [a, 2.5, one]\n  - [b, 1]\n"), "source", 10));
    }
    SUBCASE("a source that is not listed") {
        CHECK(has(read_text(head + "rows:\n  - [a, 2.5, two]\n"), "source", 9));
    }
    SUBCASE("a figure without a source") {
        CHECK(has(read_text(head + "rows:\n  - [a, 2.5, ~]\n"), "source", 9));
    }
    SUBCASE("a source without its mark") {
        std::string text = head;
        text.replace(text.find("read: a book"), 12, "a book");
        CHECK(has(read_text(text + "rows:\n  - [a, 2.5, one]\n"), "read, memory or derived", 6));
    }
    SUBCASE("an unknown unit") {
        std::string text = head;
        text.replace(text.find("mm"), 2, "ell");
        CHECK(has(read_text(text + "rows:\n  - [a, 2.5, one]\n"), "unit", 7));
    }
    SUBCASE("no edition") {
        std::string text = head;
        text.erase(text.find("edition: e\n"), 11);
        CHECK(!read_text(text + "rows:\n  - [a, 2.5, one]\n").findings.empty());
    }
    SUBCASE("no rows") {
        CHECK(!read_text(head).findings.empty());
    }
    SUBCASE("not YAML") {
        CHECK(!read_text("table: [").findings.empty());
    }
    SUBCASE("a number that is none") {
        const Findings findings = findings_of_defaults("rows:\n  - [a, two, m, one, x]\n");
        REQUIRE(findings.all().size() == 1);
        CHECK(findings.all()[0].where.line == 9);
        CHECK(findings.all()[0].where.column == 9);
    }
    SUBCASE("a number that must be there") {
        const Findings findings = findings_of_defaults("rows:\n  - [a, ~, m, one, x]\n");
        REQUIRE(findings.all().size() == 1);
        CHECK(findings.all()[0].where.line == 9);
    }
    SUBCASE("a default that stands twice") {
        const Findings findings = findings_of_defaults(
            "rows:\n  - [a, 1, m, one, x]\n  - [b, 1, m, one, x]\n  - [a, 2, m, one, x]\n");
        REQUIRE(findings.all().size() == 1);
        CHECK(findings.all()[0].where.line == 11);
    }
}
