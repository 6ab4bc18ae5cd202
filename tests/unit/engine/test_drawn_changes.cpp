// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors

// What a change of a car must do to its answers, on vehicle files that rapidcheck draws: see
// test_drawn_cars.cpp.

#include "drawn_car.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>

using namespace loomwright;
using namespace loomwright::testing;

namespace {

constexpr double rounding_v = 1e-8;
/// Temperatures come to rest to 0.01 K (tests/unit/study/test_operating.cpp), each car on its own.
constexpr double rest_k = 0.02;

const StateSolution& state_of(const Project& project, std::string_view name) {
    for (std::size_t k = 0; k < project.vehicle.states.size(); ++k) {
        if (project.vehicle.states[k].name == name) {
            return project.sizing.states[k];
        }
    }
    return project.sizing.states.front();
}

/// All loads of kinds that draw the same at any voltage over their knee: what one of them does
/// moves no other's current.
DrawnCar with_steady_loads(DrawnCar car) {
    for (DrawnLoad& load : car.loads) {
        load.kind %= 2;
        load.size = std::max(load.size, 1);
    }
    return car;
}

std::string load_name(const DrawnCar& car, std::size_t which) {
    constexpr std::array letters = {"M", "E", "E", "E", "A"};
    return fmt::format("{}{}", letters[static_cast<std::size_t>(car.loads[which].kind)],
                       10 + which);
}

std::optional<double> drop_of(const Project& project, const std::string& load) {
    const DeviceId id = project.vehicle.find_device(load);
    for (const PathDrop& drop : path_drops(project.study(), state_of(project, "all"))) {
        if (drop.load == id) {
            return drop.drop_v;
        }
    }
    return std::nullopt;
}

double conductor_c(const Project& project, const std::string& wire) {
    return state_of(project, "all").wires[project.vehicle.find_wire(wire).index()].conductor_c;
}

} // namespace

TEST_CASE("drawn cars: thicker wires never raise the drop of the load that they feed") {
    // For steady loads, lamps and heaters. Electronics take more current from less voltage, so that
    // what a neighbour gains may decide whether they start at all; they are left out. Neighbours of
    // a heater may lose: it takes more through thicker wires, and their common way with it.
    int compared = 0;
    CHECK(holds("its own wires, the next size up", [&](const DrawnCar& drawn, unsigned pick) {
        DrawnCar car = drawn;
        for (DrawnLoad& load : car.loads) {
            load.kind %= 4;
            load.size = std::max(load.size, 1);
        }
        const std::size_t which = pick % car.loads.size();
        car.loads[which].size = std::min(car.loads[which].size, 4);
        DrawnCar thicker = car;
        ++thicker.loads[which].size;
        const std::string name = load_name(car, which);
        const auto before = drop_of(*checked(text_of(car)), name);
        const auto after = drop_of(*checked(text_of(thicker)), name);
        RC_ASSERT(before.has_value() == after.has_value());
        if (before) {
            ++compared;
            RC_ASSERT(*after < *before + rounding_v);
        }
    }));
    CHECK(compared > 40);
}

TEST_CASE("drawn cars: a larger load never cools a wire upstream, nor any wire beside it") {
    // For steady loads: their currents do not move with the voltage, so that every wire of the car
    // carries as much as before or more, and heat that is added to a bundle warms all that is in
    // it.
    CHECK(holds("steady loads, every wire of the car", [](const DrawnCar& drawn, unsigned pick) {
        const DrawnCar car = with_steady_loads(drawn);
        DrawnCar larger = car;
        larger.loads[pick % car.loads.size()].tenths_a += 10;
        const auto before = checked(text_of(car));
        const auto after = checked(text_of(larger));
        for (const Wire& wire : before->vehicle.wires) {
            RC_ASSERT(conductor_c(*after, wire.number) >=
                      conductor_c(*before, wire.number) - rest_k);
        }
    }));
}

TEST_CASE("drawn cars: a larger load of any rising law never cools the wires up to the battery") {
    // For lamps and heaters too, each on a run of its own. In a shared bundle the claim would be
    // wrong: the larger load lowers its neighbours' voltage, and what a large heater then gives off
    // less may be more than what a small lamp gives off more.
    CHECK(holds("no trunk, its own wires and the main feed", [](const DrawnCar& drawn,
                                                                unsigned pick) {
        DrawnCar car = drawn;
        car.has_trunk = false;
        for (DrawnLoad& load : car.loads) {
            load.kind %= 4;
            load.size = std::max(load.size, 1);
            load.feed %= 2; // a relay's coil is a load beside it
        }
        const std::size_t which = pick % car.loads.size();
        DrawnCar larger = car;
        larger.loads[which].tenths_a += 10;
        const auto before = checked(text_of(car));
        const auto after = checked(text_of(larger));
        const int number = 10 + static_cast<int>(which);
        for (const std::string& wire : {std::string("1.1"), std::string("1.2"),
                                        fmt::format("{}.1", number), fmt::format("{}.3", number)}) {
            RC_ASSERT(conductor_c(*after, wire) >= conductor_c(*before, wire) - rest_k);
        }
    }));
}
