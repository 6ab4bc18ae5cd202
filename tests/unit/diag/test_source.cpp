// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "diag/source.hpp"

#include <doctest/doctest.h>

using namespace loomwright;

TEST_CASE("lines count from one and come without their end") {
    SourceFiles files;
    const FileId id = files.add("car.yaml", "one\r\ntwo\n\nfour");
    CHECK(files.line(id, 1) == "one");
    CHECK(files.line(id, 2) == "two");
    CHECK(files.line(id, 3).empty());
    CHECK(files.line(id, 4) == "four");
}

TEST_CASE("a line that is not there is empty") {
    SourceFiles files;
    const FileId id = files.add("car.yaml", "one\n");
    CHECK(files.line(id, 0).empty());
    CHECK(files.line(id, -1).empty());
    CHECK(files.line(id, 2).empty());
    CHECK(files.line(id, 99).empty());
    CHECK(files.line(FileId(), 1).empty());
}

TEST_CASE("a place is file:line:column, as far as it is known") {
    SourceFiles files;
    const FileId first = files.add("car.yaml", "");
    const FileId second = files.add("parts/stock.yaml", "");
    CHECK(files.size() == 2);
    CHECK(files.place({first, 42, 11, 15}) == "car.yaml:42:11");
    CHECK(files.place({second, 1, 1, 0}) == "parts/stock.yaml:1:1");
    CHECK(files.place({first, 0, 0, 0}) == "car.yaml");
    CHECK(files.place({}).empty());
    CHECK(files.file(second).name == "parts/stock.yaml");
}

TEST_CASE("no place is a value") {
    CHECK_FALSE(SourceRange{}.is_known());
    CHECK(SourceRange{FileId(0), 1, 1, 0}.is_known());
}
