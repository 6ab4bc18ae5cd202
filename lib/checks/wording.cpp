// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "checks/wording.hpp"

#include "base/display.hpp"

#include <fmt/format.h>

namespace loomwright {

Figure seen(std::string label, double value, std::string unit) {
    return {std::move(label), value, std::move(unit), FigureRole::observed};
}

Figure limit_of(std::string label, double value, std::string unit) {
    return {std::move(label), value, std::move(unit), FigureRole::limit};
}

Figure least_of(std::string label, double value, std::string unit) {
    Figure figure = limit_of(std::move(label), value, std::move(unit));
    figure.is_least = true;
    return figure;
}

Figure given(std::string label, double value, std::string unit) {
    return {std::move(label), value, std::move(unit), FigureRole::input};
}

SourceRange place_of(const Device& device) {
    return device.spec_where.is_known() ? device.spec_where : device.where;
}

std::string name_of(const Vehicle& vehicle, DeviceId device) {
    return device.is_valid() ? vehicle.device(device).name : std::string();
}

std::string millimetres(Metres length) {
    return show_number(length.value() * 1e3, 3) + " mm";
}

std::string also_over(const std::vector<std::string>& others) {
    return others.empty() ? std::string() : "; also over it: " + list_of(others);
}

std::string source_of(const DefaultValue& row) {
    return fmt::format("tables defaults, {}: {}", row.name, row.origin.source);
}

std::string busiest_state_name(const Vehicle& vehicle, StateId state) {
    return state.is_valid() || vehicle.states.empty() ? state_name(vehicle, state) : "every state";
}

std::string_view engine_name(EngineCondition engine) {
    switch (engine) {
    case EngineCondition::stopped:
        return "stopped";
    case EngineCondition::cranking:
        return "cranking";
    case EngineCondition::idle:
        return "idle";
    case EngineCondition::running:
        return "running";
    }
    return "";
}

} // namespace loomwright
