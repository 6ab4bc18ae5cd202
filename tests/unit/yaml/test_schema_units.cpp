// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// The schema for editors knows the units of the one table, in its order, and no others.

#include "yaml/units.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <initializer_list>
#include <sstream>

using namespace loomwright;

namespace {

std::string alternatives(std::initializer_list<Dimension> dimensions) {
    std::string out;
    for (const Dimension dimension : dimensions) {
        for (const UnitSpelling& unit : unit_table()) {
            if (unit.dimension == dimension) {
                out += (out.empty() ? "" : "|") + std::string(unit.spelling);
            }
        }
    }
    return "(?:" + out + ")";
}

/// The pattern of a definition of the schema.
std::string pattern_of(const std::string& schema, const std::string& definition) {
    const std::size_t at = schema.find("\n    \"" + definition + "\": {");
    REQUIRE(at != std::string::npos);
    const std::size_t start = schema.find("\"pattern\": \"", at);
    REQUIRE(start != std::string::npos);
    return schema.substr(start, schema.find('\n', start) - start);
}

} // namespace

TEST_CASE("units of the schema are those of the table") {
    std::ifstream stream(std::string(LOOMWRIGHT_SOURCE_DIR) + "/schemas/vehicle.schema.json");
    std::stringstream text;
    text << stream.rdbuf();
    const std::string schema = text.str();
    REQUIRE_FALSE(schema.empty());
    using enum Dimension;
    const std::pair<const char*, Dimension> single[] = {
        {"length", length}, {"voltage", voltage},       {"current", current},
        {"charge", charge}, {"resistance", resistance}, {"temperature", temperature},
        {"time", time},     {"share", share},           {"coordinate", length}};
    for (const auto& pair : single) {
        const char* const definition = pair.first;
        const Dimension dimension = pair.second;
        CAPTURE(definition);
        CHECK(pattern_of(schema, definition).find(alternatives({dimension})) != std::string::npos);
    }
    CHECK(pattern_of(schema, "demand").find(alternatives({current, power})) != std::string::npos);
    CHECK(pattern_of(schema, "demand").find(alternatives({voltage})) != std::string::npos);
    CHECK(pattern_of(schema, "inrush").find(alternatives({time})) != std::string::npos);
    for (const UnitSpelling& unit : unit_table()) {
        if (unit.dimension == size) {
            CHECK(pattern_of(schema, "size").find(unit.spelling) != std::string::npos);
        }
    }
}
