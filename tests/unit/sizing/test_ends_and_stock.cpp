// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What is crimped on an end, which line of the stock serves a wire, and how full a run is: by the
// sentences of lib/sizing/fittings.hpp, stock.hpp and docs/method/joints.md.

#include "checks/checked.hpp"
#include "sizing/fittings.hpp"
#include "sizing/stock.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

using namespace loomwright;

namespace {

/// A feed of three wires at a stud and a heater on it; `stock` in the file's own words.
std::unique_ptr<Checked> car_with(const std::string& sizes, const std::string& more = {}) {
    return check_text("loomwright: 1\n" + more + R"(devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, rating: 30 A}
  B1: {is: stud}
  E1: {is: heater, draws: 5 A at 13 V}
  E2: {is: heater, draws: 5 A at 13 V}
  GND1: {is: ground, body: chassis}
circuits:
  heat:
    number: 1
    paths:
      - G1 > F1 > B1 > E1 > GND1
      - B1 > E2 > GND1
      - G1.- > GND1
    wires: )" + sizes + "\n",
                      {}, false);
}

std::string ring_at(const Checked& car, std::string_view wire, bool at_from) {
    const EndFittings fittings(car.vehicle, car.catalogue, car.sizing.design);
    return fittings.fitting(fittings.crimp(car.vehicle.find_wire(wire), at_from)).kind;
}

const char* const thin = "{1.1: {size: 4 mm2}, 1.2: {size: 4 mm2}, 1.3: {size: 2.5 mm2}, "
                         "1.4: {size: 2.5 mm2}, 1.5: {size: 2.5 mm2}, 1.6: {size: 2.5 mm2}, "
                         "1.7: {size: 25 mm2}}";

} // namespace

TEST_CASE("ends: two wires on a blade go into one barrel up to 10 mm2, else onto one bolt, both") {
    const auto kinds = [](const std::string& first, const std::string& second) {
        const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, rating: 5 A}
  E1: {is: heater, draws: 1 A at 13 V}
  E2: {is: heater, draws: 1 A at 13 V}
  GND1: {is: ground, body: chassis}
circuits:
  heat:
    number: 1
    paths: [G1 > F1 > E1 > GND1, E1.+ > E2 > GND1, G1.- > GND1]
    wires: {1.2: {size: )" + first +
                                        " mm2}, 1.4: {size: " + second + " mm2}}\n",
                                    {}, false);
        REQUIRE(car->is_sized);
        return ring_at(*car, "1.2", false) + " | " + ring_at(*car, "1.4", true);
    };
    CHECK(kinds("2.5", "2.5") == "receptacle 6.3 mm | receptacle 6.3 mm");
    CHECK(kinds("6", "4") == "receptacle 9.5 mm | receptacle 9.5 mm");
    CHECK(kinds("6", "6") == "ring M6 | ring M6"); // a thin one beside a ring is a ring too
    CHECK(kinds("16", "1") == "ring M6 | ring M6");
    CHECK(kinds("25", "1") == "ring M8 | ring M8");
}

TEST_CASE(
    "ends: one bolt takes the rings of all its wires, so the thickest of them says its size") {
    const auto car = car_with(thin);
    REQUIRE(car->is_sized);
    CHECK(ring_at(*car, "1.2", false) == "ring M6"); // a stud
    CHECK(ring_at(*car, "1.3", true) == "ring M6");
    CHECK(ring_at(*car, "1.1", true) == "ring M8");  // a battery's post
    CHECK(ring_at(*car, "1.7", false) == "ring M8"); // 25 mm2 does not go with an M6
    CHECK(ring_at(*car, "1.4", false) == "ring M8"); // the same bolt
    CHECK(ring_at(*car, "1.3", false) == "receptacle 6.3 mm");
}

TEST_CASE("ends: in one barrel the areas of its wires add up") { // NASA-STD-8739.4 19.11
    const auto car = check_text(R"(loomwright: 1
devices:
  G1: {is: battery, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, rating: 30 A}
  E1: {is: heater, draws: 5 A at 13 V}
  E2: {is: heater, draws: 5 A at 13 V}
  GND1: {is: ground, body: chassis}
circuits:
  heat:
    number: 1
    size: 4 mm2
    paths: [G1 > F1 > E1 > GND1, F1.out > E2 > GND1, G1.- > GND1]
)",
                                {}, false);
    REQUIRE(car->is_sized);
    CHECK(ring_at(*car, "1.2", true) == "receptacle 9.5 mm"); // 8 mm2 are too much for 6.3 mm
    CHECK(ring_at(*car, "1.2", false) == "receptacle 6.3 mm");
}

TEST_CASE(
    "stock: the line that says most of a wire wins, and one of another insulation never serves") {
    const auto car = car_with(thin, R"(stock:
  - {is: wire, name: any, size: 2.5 mm2}
  - {is: wire, name: red, size: 2.5 mm2, colour: RD}
  - {is: wire, name: both, size: 2.5 mm2, insulation: thin-wall pvc, colour: RD}
  - {is: wire, name: hot, size: 2.5 mm2, insulation: thin-wall xlpe, colour: RD}
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Conductor& conductor =
        *car->sizing.design.wires[car->vehicle.find_wire("1.3").index()].conductor;
    const auto found = [&](std::string_view insulation, std::string_view colour) {
        const StockItem* item = find_stock_wire(car->vehicle, conductor, insulation, colour);
        return item == nullptr ? std::string() : item->name;
    };
    CHECK(found("thin-wall pvc", "RD") == "both");
    CHECK(found("thin-wall xlpe", "RD") == "hot");
    CHECK(found("thin-wall xlpe", "BK") == "any");
    CHECK(found("thick-wall pvc", "RD") == "red");
}

TEST_CASE("stock: of two lines that say as much of a wire the first of the file wins") {
    const auto car = car_with(thin, R"(stock:
  - {is: wire, name: first open, size: 2.5 mm2}
  - {is: wire, name: second open, size: 2.5 mm2}
  - {is: wire, name: first red, size: 2.5 mm2, colour: RD}
  - {is: wire, name: second red, size: 2.5 mm2, colour: RD}
  - {is: wire, name: pvc, size: 2.5 mm2, insulation: thin-wall pvc}
)");
    REQUIRE_MESSAGE(car->is_sized, car->text());
    const Conductor& conductor =
        *car->sizing.design.wires[car->vehicle.find_wire("1.3").index()].conductor;
    CHECK(find_stock_wire(car->vehicle, conductor, "rubber", "BK")->name == "first open");
    CHECK(find_stock_wire(car->vehicle, conductor, "rubber", "RD")->name == "first red");
    CHECK(find_stock_wire(car->vehicle, conductor, "thin-wall pvc", "RD")->name == "first red");
    CHECK(find_stock_wire(car->vehicle, conductor, "thin-wall pvc", "BK")->name == "pvc");
}

TEST_CASE("runs: one in which nothing flows has no load and no bundle") {
    const auto car = check_text(R"(loomwright: 1
points: {a: {}, b: {}}
runs:
  r: {from: a, to: b, length: 2 m, cover: tape}
devices:
  G1: {is: battery, at: a, capacity: 60 Ah, cranking-amps: 500 A}
  F1: {is: fuse, at: a, rating: 15 A}
  S1: {is: switch, at: a, positions: {off: [], on: [1-2]}}
  E1: {is: heater, at: b, draws: 5 A at 13 V}
  GND1: {is: ground, at: a, body: chassis}
circuits:
  heat:
    number: 1
    size: 2.5 mm2
    paths: [G1 > F1 > S1 > E1 > GND1, G1.- > GND1]
states:
  parked: {}
)",
                                {}, false);
    REQUIRE_MESSAGE(car->is_sized, car->text());
    REQUIRE(car->sizing.runs.size() == 1);
    CHECK(car->sizing.runs[0].wires == 0);
    CHECK(car->sizing.runs[0].loading == 0.0);
    CHECK(car->sizing.runs[0].heat_w_per_m == doctest::Approx(0.0));
    CHECK(car->sizing.runs[0].factor == 1.0);
}
