// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/passages.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace loomwright;

namespace {

/// A controller with the feeds `small` (0) and `big` (1) and the output `lamp` (2), joined to
/// `feed`.
Vehicle car_with_output(int feed) {
    Vehicle car;
    Device controller;
    controller.name = "A1";
    controller.terminals = {"small", "big", "lamp"};
    controller.spec = Controller{.parts = {{.part = TerminalPart::feed},
                                           {.part = TerminalPart::feed},
                                           {.part = TerminalPart::high_side, .feed = feed}}};
    car.devices.push_back(controller);
    return car;
}

bool goes_on_to_lamp(const Vehicle& car, int feed) {
    const draw::Passages passages(car);
    return std::ranges::any_of(
        passages.from({.device = DeviceId(0), .terminal = feed}),
        [](const draw::Passage& way) { return way.to.terminal == 2 && !way.is_load; });
}

} // namespace

TEST_CASE("a feed of a controller goes on through the outputs that name it, and ends at others") {
    const Vehicle car = car_with_output(1);
    CHECK_FALSE(goes_on_to_lamp(car, 0));
    CHECK(goes_on_to_lamp(car, 1));
}

TEST_CASE("of an output that names no feed, each may be the one") {
    const Vehicle car = car_with_output(-1);
    CHECK(goes_on_to_lamp(car, 0));
    CHECK(goes_on_to_lamp(car, 1));
}
