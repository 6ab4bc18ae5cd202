// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "reference.hpp"

#include "solve/circuit.hpp"

using namespace loomwright;

// The voltage-drop examples of FAA AC 43.13-1B, chapter 11, with the resistances of its own table
// 11-9: a source, one wire and a load of constant current, solved like a vehicle.

namespace {

double ohm_per_ft(const std::string& size) {
    for (const ReferenceRow& row : reference_rows("faa-table-11-9")) {
        if (row.at("size") == size) {
            return *number(row, "ohm_per_1000ft_20c") / 1000.0;
        }
    }
    FAIL("no such size: ", size);
    return 0.0;
}

/// Drop over `run_ft` of a size at 20 C, from the solved voltages of both ends.
double solved_drop(const std::string& size, double run_ft, double amps) {
    const double ohm = resistance_at(ohm_per_ft(size), Celsius(20.0)) * run_ft;
    solve::Circuit circuit;
    circuit.node_count = 3;
    circuit.reference = 0;
    circuit.add(solve::Law::source, 1, 0, 28.0, 1e4);
    circuit.add(solve::Law::conductance, 1, 2, 1.0 / ohm);
    circuit.add(solve::Law::constant_current, 2, 0, amps, 1.0);
    solve::Solver solver;
    const solve::OperatingPoint point = solver.solve(circuit);
    REQUIRE(point.status == solve::Status::solved);
    CHECK(point.imbalance_a <= 1e-9 * point.source_current_a);
    CHECK(point.power_error <= 1e-9);
    return point.volts[1] - point.volts[2];
}

bool is_misprinted(const ReferenceRow& row) {
    return row.at("printed_v") == "3.60" || row.at("printed_v") == "0.366";
}

} // namespace

TEST_CASE("FAA AC 43.13-1B tables 11-7 and 11-8 and example 1") {
    for (const ReferenceRow& row : reference_rows("faa-drop-examples")) {
        const std::string what = row.at("table") + ", " + row.at("run_ft") + " ft";
        const double run = *number(row, "run_ft");
        const double amps = *number(row, "amps");
        const double drop = solved_drop(row.at("size"), run, amps);
        check_near(drop, *number(row, "recomputed_v"), 1e-6, what);
        if (const auto printed = number(row, "printed_v")) {
            if (is_misprinted(row)) {
                CHECK(std::abs(drop - *printed) > 0.005 * *printed);
            } else {
                check_near(drop, *printed, 0.005, what + ", printed");
            }
        }
        if (row.at("smaller_size_fails") == "yes") {
            CHECK(solved_drop(row.at("smaller_size"), run, amps) > *number(row, "limit_v"));
        }
    }
}
