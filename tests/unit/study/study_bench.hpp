// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/car.hpp"
#include "study/operating.hpp"

#include <cmath>

namespace loomwright::testing {

/// Battery G1 behind its resistance, minus on the chassis at GND1.
inline void add_grounded_battery(Car& car, double volts = 12.0, double ohm = 0.02) {
    car.source("G1", volts, ohm);
    car.ground("GND1");
    car.wire("G1.-", "GND1", "16", 0.3);
}

/// A car with everything that a study needs, made once the car is finished.
struct Study {
    explicit Study(const Vehicle& car)
        : vehicle(car), catalogue(tables()), routing(route_wires(vehicle, catalogue, findings)),
          network(build_network(vehicle)), design(design_as_written(vehicle, catalogue, routing)) {}

    const Vehicle& vehicle;
    Findings findings;
    Catalogue catalogue;
    Routing routing;
    Network network;
    Design design;

    [[nodiscard]] StudyInput input() const { return {vehicle, catalogue, routing, network}; }
    /// The state solved; its proof is asserted.
    [[nodiscard]] StateSolution solve(StateId state = {}) const {
        StateSolution out = solve_state(input(), design, state);
        CHECK_MESSAGE(out.converged, out.failure);
        CHECK(out.imbalance_a <= 1e-9 * out.source_current_a);
        CHECK(out.power_error <= 1e-9);
        return out;
    }
    [[nodiscard]] const DeviceState& device(const StateSolution& solution,
                                            std::string_view name) const {
        const DeviceId id = vehicle.find_device(name);
        REQUIRE(id.is_valid());
        return solution.devices[id.index()];
    }
    [[nodiscard]] bool is_on(const StateSolution& solution, std::string_view name) const {
        return device(solution, name).on;
    }
    [[nodiscard]] double volts(const StateSolution& solution, std::string_view node) const {
        for (std::size_t i = 0; i < network.node_names.size(); ++i) {
            if (network.node_names[i] == node) {
                return solution.node_volts[i];
            }
        }
        REQUIRE_MESSAGE(false, std::string(node));
        return 0.0;
    }
    [[nodiscard]] double value(std::string_view name) const {
        return catalogue.default_value(name).value;
    }
};

} // namespace loomwright::testing
