// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/sheet.hpp"

#include "sheets/characters.hpp"

#include <doctest/doctest.h>

#include <limits>
#include <sstream>

using namespace loomwright;

namespace {

Sheet one_text(const std::string& text) {
    Sheet sheet;
    sheet.columns = {{"a", "a", ""}};
    sheet.rows = {{text}};
    return sheet;
}

std::string csv_cell(const std::string& text) {
    const std::string csv = sheet_csv(one_text(text));
    REQUIRE(csv.starts_with("a\r\n"));
    REQUIRE(csv.ends_with("\r\n"));
    return csv.substr(3, csv.size() - 5);
}

} // namespace

TEST_CASE("CSV: quoting after RFC 4180") {
    CHECK(csv_cell("plain") == "plain");
    CHECK(csv_cell("a,b") == "\"a,b\"");
    CHECK(csv_cell("say \"on\"") == "\"say \"\"on\"\"\"");
    CHECK(csv_cell("two\r\nlines") == "\"two\r\nlines\"");
    CHECK(csv_cell("") == "");
}

TEST_CASE("CSV: what a spreadsheet would run is text") {
    CHECK(csv_cell("=1+1") == "'=1+1");
    CHECK(csv_cell("+49") == "'+49");
    CHECK(csv_cell("-") == "'-");
    CHECK(csv_cell("@SUM(A1)") == "'@SUM(A1)");
    CHECK(csv_cell("\t=1") == "\"'\t=1\"");
    CHECK(csv_cell("\r=1") == "\"'\r=1\"");
    CHECK(csv_cell("  =1") == "'  =1");
    CHECK(csv_cell("=HYPERLINK(\"x\",\"y\")") == "\"'=HYPERLINK(\"\"x\"\",\"\"y\"\")\"");
    CHECK(csv_cell("a=b") == "a=b");
    // A heading comes from a user's table as well.
    Sheet sheet = one_text("x");
    sheet.columns[0].title = "=cmd";
    CHECK(sheet_csv(sheet) == "'=cmd\r\nx\r\n");
}

TEST_CASE("CSV: numbers stay numbers, in the unit of the heading") {
    Sheet sheet;
    sheet.columns = {{"l", "length", "mm", Alignment::right, 1e3, 0},
                     {"v", "drop", "V", Alignment::right}};
    sheet.rows = {{1.205, -0.1}, {Cell(), std::numeric_limits<double>::quiet_NaN()}};
    CHECK(sheet_csv(sheet) == "length (mm),drop (V)\r\n1205,-0.1\r\n,\r\n");
}

TEST_CASE("CSV: an area comes out as it was written, without what the change to SI and back adds") {
    Sheet sheet;
    sheet.columns = {number_column("a", "area", "mm2", -1, 1e6)};
    // 0.22, 2.25, 25 and 50 are not what they were after x 1e-6 and x 1e6 in binary.
    for (const double area : {0.22, 2.25, 25.0, 50.0, 0.205, 107.219}) {
        sheet.rows.push_back({area * 1e-6});
    }
    CHECK(sheet_csv(sheet) == "area (mm2)\r\n0.22\r\n2.25\r\n25\r\n50\r\n0.205\r\n107.219\r\n");
}

TEST_CASE("JSON of a sheet: SI, null for what is not there") {
    Sheet sheet;
    sheet.name = "cut";
    sheet.title = "Cut";
    sheet.columns = {{"length_m", "length", "mm", Alignment::right, 1e3, 0}, {"wire", "wire", ""}};
    sheet.rows = {{1.205, "2.1"}, {Cell(), "bad \xFF"}};
    const std::string json = sheet_json(sheet);
    CHECK(json.find("\"length_m\": 1.205") != std::string::npos);
    CHECK(json.find("\"length_m\": null") != std::string::npos);
    CHECK(json.find("bad \xEF\xBF\xBD") != std::string::npos); // U+FFFD
}

TEST_CASE("text: columns stand under each other and give way to the width") {
    Sheet sheet;
    sheet.title = "Things";
    sheet.columns = {{"n", "name", ""},
                     {"l", "length", "m", Alignment::right, 1.0, 2},
                     {"w", "why", "", Alignment::left, 1.0, -1, true}};
    sheet.rows = {{"T\xC3\xBCr", 1.5, "short"},
                  {"F10", 12.25, "a long reason that has to go on in the next line of its column"}};
    CHECK(sheet_text(sheet, {40}) == "Things\n"
                                     "name  length (m)  why\n"
                                     "----  ----------  ----------------------\n"
                                     "T\xC3\xBCr         1.50  short\n"
                                     "F10        12.25  a long reason that has\n"
                                     "                  to go on in the next\n"
                                     "                  line of its column\n");
    std::istringstream lines(sheet_text(sheet, {40}));
    for (std::string line; std::getline(lines, line);) {
        CHECK(display_width(line) <= 40);
    }
}

TEST_CASE("text: a table too wide for a terminal is told in parts, each with the first column") {
    Sheet sheet;
    sheet.title = "Things";
    sheet.columns = {{"n", "name", ""},
                     {"l", "length", "m", Alignment::right, 1.0, 2},
                     {"a", "amps", "A", Alignment::right, 1.0, 1},
                     {"c", "colour", ""}};
    sheet.rows = {{"F1", 1.5, 2.0, "red"}, {"\u914d\u7dda", 12.25, 30.0, "blue"}};
    const std::string parts = "Things\n"
                              "name  length (m)\n"
                              "----  ----------\n"
                              "F1          1.50\n"
                              "\u914d\u7dda       12.25\n"
                              "\n"
                              "name  amps (A)\n"
                              "----  --------\n"
                              "F1         2.0\n"
                              "\u914d\u7dda      30.0\n"
                              "\n"
                              "name  colour\n"
                              "----  ------\n"
                              "F1    red\n"
                              "\u914d\u7dda  blue\n";
    CHECK(sheet_text(sheet, {20, true}) == parts);
    // what is no terminal has no edge: a line stays a line
    CHECK(sheet_text(sheet, {20}).starts_with("Things\nname  length (m)  amps (A)  colour\n"));
    CHECK(sheet_text(sheet, {34, true}) == sheet_text(sheet, {100, true}));
    // one column alone is wrapped, and so is one that is wider than what is beside the first
    sheet.columns = {{"n", "name", ""}};
    sheet.rows = {{"abcdef ghijkl"}};
    CHECK(sheet_text(sheet, {8, true}) == "Things\nname\n--------\nabcdef\nghijkl\n");
    sheet.columns.push_back({"w", "why", ""});
    sheet.rows = {{"a", "abcdef ghijkl"}};
    CHECK(sheet_text(sheet, {14, true}) == "Things\n"
                                           "name  why\n"
                                           "----  --------\n"
                                           "a     abcdef\n"
                                           "      ghijkl\n");
}

TEST_CASE("a number too small for its column is 0, not -0; one that is not a number is a dash") {
    const Column column{"v", "v", "V", Alignment::right, 1.0, 2};
    CHECK(cell_text(column, -0.001) == "0.00");
    CHECK(cell_text(column, -0.006) == "-0.01");
    CHECK(cell_text(column, std::numeric_limits<double>::infinity()) == "-");
    CHECK(cell_text(column, Cell()) == "-");
}
