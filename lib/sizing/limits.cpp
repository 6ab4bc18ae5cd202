// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sizing/limits.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

constexpr std::string_view from_policy = "the vehicle file, policy";
constexpr double handbook_nominal_v = 12.0;
constexpr double least_temperature_factor = 0.1;

Limit default_limit(const StudyInput& input, std::string_view name) {
    const DefaultValue& row = input.catalogue.default_value(name);
    return {row.value, fmt::format("tables defaults, {}: {}", name, row.origin.source)};
}

} // namespace

Limit fuse_loading_limit(const StudyInput& input) {
    const auto& given = input.vehicle.policy.fuse_loading;
    return given ? Limit{given->value, std::string(from_policy)}
                 : default_limit(input, "fuse-loading");
}

Limit drop_limit(const StudyInput& input, CircuitId circuit) {
    std::string_view name = "other";
    if (circuit.is_valid() && !input.vehicle.circuit(circuit).drop_class.value.empty()) {
        name = input.vehicle.circuit(circuit).drop_class.value;
    }
    const auto given = input.vehicle.policy.drop.find(name);
    if (given != input.vehicle.policy.drop.end()) {
        return {given->second.value.value(), std::string(from_policy)};
    }
    const DropLimit* row = input.catalogue.find_drop_limit(name);
    if (row == nullptr) {
        row = input.catalogue.find_drop_limit("other");
    }
    const double nominal = input.vehicle.nominal.value();
    double volts = row->at_12_v.value() * nominal / handbook_nominal_v;
    std::string how = nominal == handbook_nominal_v ? "" : ", scaled by the nominal voltage";
    if (nominal == 2.0 * handbook_nominal_v && row->at_24_v) {
        volts = row->at_24_v->value();
        how = ", 24 V";
    }
    return {volts, fmt::format("tables drop-limits, {}: {}{}", row->name, row->origin.source, how)};
}

Limit least_area(const StudyInput& input) {
    const auto& given = input.vehicle.policy.least_size;
    if (given) {
        const Conductor* conductor = input.catalogue.find_conductor(given->value);
        if (conductor != nullptr) {
            return {conductor->area.value(), std::string(from_policy)};
        }
    }
    return default_limit(input, "least-size");
}

Limit least_controller_voltage(const StudyInput& input, const Controller& controller) {
    if (controller.needs) {
        return {controller.needs->value(), "the controller's own need, the vehicle file"};
    }
    const auto& given = input.vehicle.policy.crank_voltage;
    if (given) {
        return {given->value.value(), std::string(from_policy)};
    }
    Limit out = default_limit(input, "crank-voltage");
    out.value *= input.vehicle.nominal.value() / handbook_nominal_v;
    return out;
}

Limit ground_offset_limit(const StudyInput& input, bool is_sensor) {
    const auto& given = input.vehicle.policy.ground_offset;
    if (is_sensor && given) {
        return {given->value.value(), std::string(from_policy)};
    }
    return default_limit(input, is_sensor ? "ground-offset-sensor" : "ground-offset-controllers");
}

Limit cranking_time(const StudyInput& input, StateId state) {
    const State* named = state_of(input.vehicle, state);
    if (named != nullptr && named->lasts) {
        return {named->lasts->value(), "the vehicle file, lasts"};
    }
    return default_limit(input, "crank-time");
}

Limit unfused_length_limit(const StudyInput& input, bool is_covered, bool at_battery) {
    return default_limit(input, at_battery   ? "unfused-length-battery"
                                : is_covered ? "unfused-length-covered"
                                             : "unfused-length");
}

Limit service_loops(const StudyInput& input) {
    const auto& given = input.vehicle.policy.service_loop;
    Limit one = given ? Limit{given->value.value(), std::string(from_policy)}
                      : default_limit(input, "service-loop");
    return {2.0 * one.value, std::move(one.source)};
}

SizeStandard auto_standard(const StudyInput& input, const Insulation& insulation) {
    const auto is_sold = [&](SizeStandard standard) {
        return insulation.standards.empty() ||
               std::ranges::find(insulation.standards, standard) != insulation.standards.end();
    };
    SizeStandard wanted = SizeStandard::iso;
    if (input.vehicle.policy.sizes) {
        wanted = input.vehicle.policy.sizes->value;
    } else {
        std::array<int, 3> written{};
        for (const Wire& wire : input.vehicle.wires) {
            if (wire.size) {
                ++written[static_cast<std::size_t>(wire.size->value.standard)];
            }
        }
        const auto* const most = std::ranges::max_element(written);
        wanted = static_cast<SizeStandard>(most - written.begin());
    }
    return is_sold(wanted) ? wanted : insulation.standards.front();
}

const Insulation* insulation_of(const StudyInput& input, const Wire& wire) {
    std::string_view name = wire.insulation.value;
    if (name.empty() && input.vehicle.policy.insulation) {
        name = input.vehicle.policy.insulation->value;
    }
    const Insulation* found = name.empty() ? nullptr : input.catalogue.find_insulation(name);
    return found != nullptr ? found : &input.catalogue.default_insulation();
}

Celsius device_air(const StudyInput& input, DeviceId device, const State* state) {
    const Device* owner = &input.vehicle.device(device);
    if (!owner->at.is_valid() && owner->housing.is_valid()) {
        owner = &input.vehicle.device(owner->housing);
    }
    WireRoute route;
    if (owner->at.is_valid()) {
        route.hottest = input.vehicle.point(owner->at).zone;
    }
    return air_of(input.vehicle, input.catalogue, route, state);
}

double temperature_factor(const FuseFamily& family, Celsius air) {
    const double above = (air - family.derating_from).value();
    return above <= 0.0 ? 1.0
                        : std::max(least_temperature_factor, 1.0 - family.derating_per_k * above);
}

} // namespace loomwright
