// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Cranking: the state solved with its battery as written, warm, and at the temperature of the cold
// cranking test of SAE J537 (-18 C), where the air of all zones is as cold; and each once more in
// the first moment, the starter's motor at rest and so as good as the resistance V0 / I_start.
#include "study/energy.hpp"

#include "study/values.hpp"

#include <algorithm>

namespace loomwright {
namespace {

struct Condition {
    const char* name;
    std::optional<double> battery_c;
    std::optional<double> air_c;
};

std::vector<StateId> cranking_states(const Vehicle& vehicle) {
    std::vector<StateId> out;
    for (std::size_t i = 0; i < vehicle.states.size(); ++i) {
        if (vehicle.states[i].engine == EngineCondition::cranking) {
            out.emplace_back(i);
        }
    }
    return out;
}

CrankReading read(DeviceId device, const StateSolution& running, const StateSolution& first) {
    const DeviceState& now = running.devices[device.index()];
    CrankReading out{.device = device, .volts = now.volts, .amps = now.amps, .on = now.on};
    if (first.converged) {
        out.first_volts = first.devices[device.index()].volts;
        out.first_on = first.devices[device.index()].on;
    }
    return out;
}

CrankPoint describe(const Vehicle& vehicle, const StateSolution& running,
                    const StateSolution& first) {
    CrankPoint out;
    out.state = running.state;
    out.converged = running.converged;
    out.failure = running.failure;
    if (!running.converged) {
        return out;
    }
    out.starts = engine_starts(vehicle, running);
    for (const DeviceId id : devices_of<Starter>(vehicle)) {
        out.starters.push_back(read(id, running, first));
    }
    for (const DeviceId id : devices_of<Controller>(vehicle)) {
        out.controllers.push_back(read(id, running, first));
    }
    return out;
}

} // namespace

bool is_needed(const Controller& controller, const State& state) {
    if (controller.needed_in.empty()) {
        return state.engine != EngineCondition::stopped;
    }
    return std::ranges::find(controller.needed_in, state.name, &Given<std::string>::value) !=
           controller.needed_in.end();
}

bool engine_starts(const Vehicle& vehicle, const StateSolution& solution) {
    if (!solution.converged) {
        return false;
    }
    const State& state = vehicle.state(solution.state);
    for (std::size_t i = 0; i < vehicle.devices.size(); ++i) {
        const Device& device = vehicle.devices[i];
        const auto* controller = device.as<Controller>();
        const bool counts = device.as<Starter>() != nullptr ||
                            (controller != nullptr && is_needed(*controller, state));
        if (counts && !solution.devices[i].on) {
            return false;
        }
    }
    return true;
}

std::vector<CrankPoint> crank_points(const StudyInput& input, const Design& design) {
    const std::vector<StateId> states = cranking_states(input.vehicle);
    std::vector<CrankPoint> out;
    if (states.empty()) {
        return out;
    }
    const StudyDefaults defaults(input.catalogue, input.vehicle);
    const std::vector<Condition> conditions{
        {"as written", {}, {}},
        {"warm", defaults.battery_warm_c, {}},
        {"cold", defaults.battery_cranking_c, defaults.battery_cranking_c}};
    const std::vector<DeviceId> starters = devices_of<Starter>(input.vehicle);
    const std::vector<DeviceId> batteries = devices_of<Battery>(input.vehicle);
    for (const Condition& condition : conditions) {
        Vehicle car = input.vehicle;
        for (State& state : car.states) {
            state.battery_temperature = condition.battery_c
                                            ? std::optional(Celsius(*condition.battery_c))
                                            : state.battery_temperature;
            state.air = condition.air_c ? std::optional(Celsius(*condition.air_c)) : state.air;
        }
        const StudyInput study{car, input.catalogue, input.routing, input.network};
        StateStudy solver(study, states);
        const std::vector<StateSolution> running = solver.solve(design);
        const std::vector<StateSolution> first = solver.first_moment(starters);
        for (std::size_t i = 0; i < states.size(); ++i) {
            CrankPoint point = describe(car, running[i], first[i]);
            point.condition = condition.name;
            point.state = states[i];
            const auto* battery =
                batteries.empty() ? nullptr : car.device(batteries.front()).as<Battery>();
            point.battery_c =
                battery == nullptr
                    ? defaults.battery_c
                    : battery_temperature_c(*battery, defaults, car.policy, &car.state(states[i]));
            out.push_back(std::move(point));
        }
    }
    // By state, then by condition.
    std::ranges::stable_sort(out, {}, [](const CrankPoint& point) { return point.state.index(); });
    return out;
}

} // namespace loomwright
