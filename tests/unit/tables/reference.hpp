// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// One row of a file of published values: text by column name.
using ReferenceRow = std::map<std::string, std::string>;

/// Rows of tests/reference/NAME.csv: plain commas, no quotes, a head line.
inline std::vector<ReferenceRow> reference_rows(const std::string& name) {
    std::ifstream in(std::string(LOOMWRIGHT_SOURCE_DIR) + "/tests/reference/" + name + ".csv");
    REQUIRE_MESSAGE(in.good(), name);
    const auto split = [](const std::string& line) {
        std::vector<std::string> out(1);
        for (const char c : line) {
            if (c == ',') {
                out.emplace_back();
            } else {
                out.back() += c;
            }
        }
        return out;
    };
    std::string line;
    std::getline(in, line);
    const std::vector<std::string> head = split(line);
    std::vector<ReferenceRow> rows;
    while (std::getline(in, line)) {
        const std::vector<std::string> cells = split(line);
        REQUIRE(cells.size() == head.size());
        ReferenceRow row;
        for (std::size_t i = 0; i < head.size(); ++i) {
            row[head[i]] = cells[i];
        }
        rows.push_back(row);
    }
    REQUIRE(!rows.empty());
    return rows;
}

/// The number of a cell; nothing for an empty one.
inline std::optional<double> number(const ReferenceRow& row, const std::string& column) {
    const std::string& text = row.at(column);
    return text.empty() ? std::nullopt : std::optional<double>(std::stod(text));
}

/// |got / expected - 1| <= tolerance, with both in the message of a failure.
inline void check_near(double got, double expected, double tolerance, const std::string& what) {
    INFO(what, ": got ", got, ", expected ", expected, ", tolerance ", tolerance);
    CHECK(std::abs(got - expected) <= tolerance * std::abs(expected));
}

/// The built-in tables; a fault in a data file fails the test.
inline loomwright::Catalogue built_in() {
    loomwright::SourceFiles files;
    loomwright::Findings findings;
    loomwright::Catalogue catalogue = loomwright::load_catalogue(files, findings);
    for (const auto& finding : findings.all()) {
        FAIL_CHECK(loomwright::describe(finding, files));
    }
    return catalogue;
}

constexpr double mm2 = 1e-6;
constexpr double mm = 1e-3;
constexpr double inch = 0.0254;
constexpr double per_kft = 1.0 / 304.8;       // ohm per 1000 ft -> ohm/m
constexpr double circular_mil = 5.067075e-10; // m2
