// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The heat balance's ampacity for each row of a list of published ones: the rows of
// tests/reference/ampacity-published.csv from the standard input, with area in mm2 and amperes
// added, for tests/docs/ampacity_picture.py.
#include "sizing/ampacity.hpp"

#include <fmt/format.h>

#include <iostream>
#include <sstream>
#include <string>
#include <vector>

namespace {

std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> out;
    std::istringstream rest(line);
    for (std::string cell; std::getline(rest, cell, ',');) {
        out.push_back(cell);
    }
    return out;
}

} // namespace

int main() {
    using namespace loomwright;
    SourceFiles files;
    Findings findings;
    const Catalogue tables = load_catalogue(files, findings);
    std::string line;
    std::getline(std::cin, line);
    fmt::print("{},area_mm2,heat_balance_a\n", line);
    while (std::getline(std::cin, line)) {
        const std::vector<std::string> cells = cells_of(line);
        const SizeStandard standard = cells.at(2) == "AWG" ? SizeStandard::awg : SizeStandard::iso;
        const Conductor* conductor =
            tables.find_conductor({standard, normal_size_name(standard, cells.at(1))});
        const Insulation* insulation = tables.find_insulation(cells.at(3));
        if (conductor == nullptr || insulation == nullptr) {
            fmt::print(stderr, "no such conductor or insulation: {}\n", line);
            return 1;
        }
        const double amps =
            solve::free_air_ampacity_a(wire_body(tables, *conductor, *insulation),
                                       std::stod(cells.at(4)), std::stod(cells.at(5)));
        fmt::print("{},{:.3f},{:.2f}\n", line, conductor->area.value() * 1e6, amps);
    }
    return 0;
}
