// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "solve/circuit.hpp"

#include <algorithm>
#include <filesystem>
#include <iterator>
#include <regex>
#include <set>

using namespace loomwright;

namespace {

/// The text of every source file of the library and the command.
std::string all_sources() {
    std::string out;
    for (const char* folder : {"/lib", "/cli"}) {
        const std::filesystem::path root = std::string(LOOMWRIGHT_SOURCE_DIR) + folder;
        for (const auto& entry : std::filesystem::recursive_directory_iterator(root)) {
            if (entry.path().extension() == ".cpp" || entry.path().extension() == ".hpp") {
                std::ifstream in(entry.path());
                out.append(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
            }
        }
    }
    REQUIRE(out.size() > 10000);
    return out;
}

} // namespace

TEST_CASE("every default that the code asks for by name is there") {
    const Catalogue tables = built_in();
    const std::string sources = all_sources();
    const std::regex asked("default_(?:value|limit)\\((?:input, *)?\\s*\"([a-z0-9-]+)\"");
    std::set<std::string> names;
    for (std::sregex_iterator it(sources.begin(), sources.end(), asked), end; it != end; ++it) {
        names.insert((*it)[1]);
    }
    CHECK(names.size() >= 8);
    for (const std::string& name : names) {
        INFO(name);
        CHECK(std::ranges::find(tables.defaults(), name, &DefaultValue::name) !=
              tables.defaults().end());
    }
}

TEST_CASE("no default is listed that nothing uses") {
    // Two stand as constants in the code, and are held equal below.
    const std::set<std::string> constants{"copper-temperature-coefficient", "lamp-exponent"};
    const Catalogue tables = built_in();
    const std::string sources = all_sources();
    for (const DefaultValue& row : tables.defaults()) {
        INFO(row.name);
        CHECK((constants.contains(row.name) ||
               sources.find("\"" + row.name + "\"") != std::string::npos));
    }
}

TEST_CASE("constants of the code are those of the table") {
    const Catalogue tables = built_in();
    CHECK(resistance_at(1.0, Celsius(120.0)) - 1.0 ==
          doctest::Approx(100.0 * tables.default_value("copper-temperature-coefficient").value));
    // A filament at twice its rated voltage: 2 to the power of the exponent.
    const double amps = solve::branch_current(solve::Law::lamp, 1.0, 12.0, 12.0, 24.0).amps;
    CHECK(std::log2(amps) == doctest::Approx(tables.default_value("lamp-exponent").value));
}
