// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "network/feed_layout.hpp"
#include "study/car.hpp"

using namespace loomwright;
using loomwright::testing::Car;

namespace {

struct LayoutCar {
    double length_m = 1.0;
    double rated_a = 70.0;
    double limit_a = 10.0;
    const char* outlet = "F1.out"; ///< where the lamp's wire begins
    TerminalPart output = TerminalPart::high_side;
};

FeedLayout layout_of(const LayoutCar& made) {
    Car car;
    car.battery("G1", 60.0, 600.0);
    car.alternator("G2", made.rated_a, 30.0, 14.2);
    car.device("G3", {"+", "-"}, Charger{.limit = Amps(made.limit_a)});
    car.fuse("F1", 10.0);
    car.heater("E1", 5.0, 13.5);
    car.device("A1", {"30", "31", "q"},
               Controller{.parts = {{.part = TerminalPart::feed},
                                    {.part = TerminalPart::ground},
                                    {.part = made.output}}});
    car.ground("GND1");
    car.wire("G1.+", "F1.in", "2.5", made.length_m);
    car.wire("G1.+", "A1.30");
    car.wire(made.outlet, "E1.+");
    car.wire("E1.-", "GND1");
    car.wire("G1.-", "GND1");
    return feed_layout(car.vehicle, build_network(car.vehicle));
}

} // namespace

TEST_CASE("the layout of feeds goes by joints, devices and what sources give, not by lengths") {
    const FeedLayout first = layout_of({});
    CHECK(layout_of({}) == first);
    CHECK(layout_of({.length_m = 4.0}) == first);
    CHECK_FALSE(layout_of({.rated_a = 90.0}) == first);
    CHECK_FALSE(layout_of({.limit_a = 12.0}) == first);
    CHECK_FALSE(layout_of({.outlet = "F1.in"}) == first);
    CHECK_FALSE(layout_of({.output = TerminalPart::low_side}) == first);
}
