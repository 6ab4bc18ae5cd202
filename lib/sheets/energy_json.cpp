// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/energy.hpp"

#include "sizing/limits.hpp"

#include <nlohmann/json.hpp>

namespace loomwright {
namespace {

using Json = nlohmann::ordered_json;

Json or_null(const std::optional<double>& value) {
    return value ? Json(*value) : Json();
}

Json reading_json(const StudyInput& study, const CrankReading& reading) {
    return {{"device", study.vehicle.device(reading.device).name},
            {"volts", reading.volts},
            {"amps", reading.amps},
            {"on", reading.on},
            {"first_volts", or_null(reading.first_volts)},
            {"first_on", reading.first_on}};
}

Json crank_json(const StudyInput& study, const CrankPoint& point) {
    Json starters = Json::array();
    for (const CrankReading& reading : point.starters) {
        starters.push_back(reading_json(study, reading));
    }
    Json controllers = Json::array();
    for (const CrankReading& reading : point.controllers) {
        controllers.push_back(reading_json(study, reading));
        const auto& made = *study.vehicle.device(reading.device).as<Controller>();
        const bool needed = is_needed(made, study.vehicle.state(point.state));
        controllers.back()["needs_v"] =
            needed ? Json(least_controller_voltage(study, made).value) : Json();
    }
    return {{"state", study.vehicle.state(point.state).name},
            {"condition", point.condition},
            {"battery_c", point.battery_c},
            {"converged", point.converged},
            {"starts", point.starts},
            {"starters", std::move(starters)},
            {"controllers", std::move(controllers)}};
}

Json balance_json(const StudyInput& study, const StateBalance& balance) {
    Json sources = Json::array();
    for (const SourceLoad& source : balance.sources) {
        sources.push_back({{"source", study.vehicle.device(source.device).name},
                           {"volts", source.volts},
                           {"amps", source.amps},
                           {"most_a", source.most_a > 0.0 ? Json(source.most_a) : Json()},
                           {"flat_in_s", or_null(source.lasts_s)}});
    }
    return {{"state", state_name(study.vehicle, balance.state)},
            {"failure", balance.failure.empty() ? Json() : Json(balance.failure)},
            {"battery_a", balance.failure.empty() ? Json(balance.battery_a) : Json()},
            {"flat_in_s", or_null(balance.lasts_s)},
            {"sources", std::move(sources)}};
}

Json parked_json(const StudyInput& study, const ParkedDrain& drain) {
    Json out = {{"state", state_name(study.vehicle, drain.state)},
                {"drain_a", drain.drain_a},
                {"starts_at_all", drain.starts_at_all},
                {"starts_for_s", or_null(drain.starts_until_s)},
                {"stands_for_s", or_null(drain.lasts_s)},
                {"charge_then", drain.least_charge},
                {"tried_by", drain.cranked_by.is_valid()
                                 ? Json(study.vehicle.state(drain.cranked_by).name)
                                 : Json()}};
    if (drain.low) { // of cars with a battery that the start does not need
        out["low"] = {{"battery", study.vehicle.device(drain.low->device).name},
                      {"amps", drain.low->amps},
                      {"charge", drain.low->charge},
                      {"after_s", drain.low->after_s}};
    }
    return out;
}

Json drive_json(const StudyInput& study, const DriveCourse& course) {
    Json batteries = Json::array();
    for (const DeviceId battery : course.batteries) {
        batteries.push_back(study.vehicle.device(battery).name);
    }
    Json points = Json::array();
    for (const DrivePoint& point : course.points) {
        points.push_back({{"time_s", point.time_s},
                          {"state", study.vehicle.state(point.state).name},
                          {"charge", point.charge},
                          {"amps", point.amps},
                          {"volts", point.volts}});
    }
    return {{"drive", course.drive},
            {"batteries", std::move(batteries)},
            {"failure", course.failure.empty() ? Json() : Json(course.failure)},
            {"points", std::move(points)}};
}

} // namespace

std::string energy_json(const StudyInput& study, const EnergyAnswer& answer) {
    Json out = {{"cranking", Json::array()},
                {"balance", Json::array()},
                {"parked", Json::array()},
                {"drives", Json::array()}};
    for (const CrankPoint& point : answer.cranking) {
        out["cranking"].push_back(crank_json(study, point));
    }
    for (const StateBalance& balance : answer.balances) {
        out["balance"].push_back(balance_json(study, balance));
    }
    for (const ParkedDrain& drain : answer.parked) {
        out["parked"].push_back(parked_json(study, drain));
    }
    for (const DriveCourse& course : answer.drives) {
        out["drives"].push_back(drive_json(study, course));
    }
    return out.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

} // namespace loomwright
