// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/energy.hpp"

#include "base/display.hpp"
#include "sizing/limits.hpp"

#include <fmt/format.h>

#include <cmath>

namespace loomwright {
namespace {

Cell seconds_if(const std::optional<double>& seconds) {
    return seconds ? Cell(show(Seconds(*seconds))) : Cell();
}

Cell yes_or_no(bool truth) {
    return std::string(truth ? "yes" : "no");
}

constexpr double percent = 100.0;

} // namespace

Sheet cranking_sheet(const StudyInput& study, const EnergyAnswer& answer) {
    Sheet sheet;
    sheet.name = "cranking";
    sheet.title = "Cranking";
    sheet.columns = {text_column("state", "state"),
                     text_column("condition", "condition"),
                     number_column("battery_c", "battery", "C", 0),
                     text_column("device", "device"),
                     number_column("volts", "volts", "V", 2),
                     number_column("amps", "amps", "A", 1),
                     text_column("works", "works"),
                     number_column("least_v", "needs", "V", 2),
                     number_column("first_v", "first moment", "V", 2),
                     text_column("first_works", "works then")};
    for (const CrankPoint& point : answer.cranking) {
        const std::string state = study.vehicle.state(point.state).name;
        if (!point.converged) {
            sheet.rows.push_back({state, point.condition, point.battery_c, point.failure, Cell(),
                                  Cell(), yes_or_no(false), Cell(), Cell(), Cell()});
            continue;
        }
        for (const auto* list : {&point.starters, &point.controllers}) {
            for (const CrankReading& reading : *list) {
                const Device& device = study.vehicle.device(reading.device);
                const auto* controller = device.as<Controller>();
                const bool needed = controller != nullptr &&
                                    is_needed(*controller, study.vehicle.state(point.state));
                sheet.rows.push_back(
                    {state, point.condition, point.battery_c, device.name, reading.volts,
                     reading.amps, yes_or_no(reading.on),
                     needed ? Cell(least_controller_voltage(study, *controller).value) : Cell(),
                     reading.first_volts ? Cell(*reading.first_volts) : Cell(),
                     reading.first_volts ? yes_or_no(reading.first_on) : Cell()});
            }
        }
    }
    sheet.notes.emplace_back(
        "warm: battery at 25 C; cold: battery and all air at -18 C (SAE J537's "
        "test temperature). First moment: starter motors at rest, where the file "
        "gives their inrush; nothing stands where relays or controllers then "
        "let go and come in again in turn.");
    return sheet;
}

Sheet balance_sheet(const StudyInput& study, const EnergyAnswer& answer) {
    Sheet sheet;
    sheet.name = "balance";
    sheet.title = "Sources in each state";
    sheet.columns = {text_column("state", "state"),
                     text_column("source", "source"),
                     number_column("volts", "volts", "V", 2),
                     number_column("amps", "gives", "A", 2),
                     number_column("most_a", "at most", "A", 1),
                     text_column("flat_in", "battery flat in")};
    for (const StateBalance& balance : answer.balances) {
        const std::string state = state_name(study.vehicle, balance.state);
        if (!balance.failure.empty()) {
            sheet.rows.push_back({state, balance.failure, Cell(), Cell(), Cell(), Cell()});
        }
        for (const SourceLoad& source : balance.sources) {
            const Device& device = study.vehicle.device(source.device);
            sheet.rows.push_back({state, device.name, source.volts, source.amps,
                                  source.most_a > 0.0 ? Cell(source.most_a) : Cell(),
                                  seconds_if(source.lasts_s)});
        }
    }
    sheet.notes.emplace_back("A battery that gives less than nothing is being charged.");
    return sheet;
}

Sheet parked_sheet(const StudyInput& study, const EnergyAnswer& answer) {
    Sheet sheet;
    sheet.name = "parked";
    sheet.title = "Parked";
    sheet.columns = {text_column("state", "state"),
                     number_column("drain_a", "drain", "mA", 1, 1e3),
                     text_column("starts_for", "starts for"),
                     text_column("stands_for", "stands for"),
                     number_column("charge_then", "charge then", "%", 0, percent),
                     text_column("tried_by", "tried by")};
    for (const ParkedDrain& drain : answer.parked) {
        const Cell starts_for = !drain.starts_at_all ? Cell(std::string("does not start"))
                                                     : seconds_if(drain.starts_until_s);
        sheet.rows.push_back({state_name(study.vehicle, drain.state), drain.drain_a, starts_for,
                              seconds_if(drain.lasts_s), drain.least_charge,
                              drain.cranked_by.is_valid()
                                  ? Cell(study.vehicle.state(drain.cranked_by).name)
                                  : Cell(std::string("half of the charge"))});
    }
    sheet.notes.emplace_back(
        "The drain is taken as steady, self-discharge is counted; under 20 % of "
        "its charge no battery is taken to start the engine.");
    for (const ParkedDrain& drain : answer.parked) {
        if (drain.low && drain.low->after_s < drain.lasts_s.value_or(HUGE_VAL)) {
            sheet.notes.push_back(fmt::format(
                "{} is down to {} % after {} in {}; the engine does not need it to start.",
                study.vehicle.device(drain.low->device).name,
                show_number(percent * drain.low->charge), show(Seconds(drain.low->after_s)),
                state_name(study.vehicle, drain.state)));
        }
    }
    return sheet;
}

Sheet drive_legs_sheet(const StudyInput& study, const DriveCourse& course) {
    Sheet sheet;
    sheet.name = "drive-legs";
    sheet.title = "Drive " + course.drive;
    sheet.columns = {text_column("leg", "leg"), text_column("ends_at", "ends at")};
    for (const DeviceId battery : course.batteries) {
        const std::string name = study.vehicle.device(battery).name;
        sheet.columns.push_back(number_column(name + "_charge", name, "%", 1, percent));
        sheet.columns.push_back(number_column(name + "_amps", name + " gives", "A", 2));
    }
    for (std::size_t i = 0; i < course.points.size(); ++i) {
        const DrivePoint& point = course.points[i];
        const bool is_last = i + 1 == course.points.size() || course.points[i + 1].leg != point.leg;
        if (!is_last) {
            continue;
        }
        std::vector<Cell> row{study.vehicle.state(point.state).name, show(Seconds(point.time_s))};
        for (std::size_t k = 0; k < course.batteries.size(); ++k) {
            row.emplace_back(point.charge[k]);
            row.emplace_back(point.amps[k]);
        }
        sheet.rows.push_back(std::move(row));
    }
    if (!course.failure.empty()) {
        sheet.notes.push_back("The drive ends early: " + course.failure);
    }
    return sheet;
}

Sheet drive_points_sheet(const StudyInput& study, const DriveCourse& course) {
    Sheet sheet;
    sheet.name = "drive";
    sheet.title = "Drive " + course.drive;
    sheet.columns = {number_column("time_s", "time", "s", 1), text_column("state", "state")};
    for (const DeviceId battery : course.batteries) {
        const std::string name = study.vehicle.device(battery).name;
        sheet.columns.push_back(number_column(name + "_charge", name + " charge", "%", 3, percent));
        sheet.columns.push_back(number_column(name + "_amps", name + " gives", "A", 3));
        sheet.columns.push_back(number_column(name + "_volts", name + " volts", "V", 3));
    }
    for (const DrivePoint& point : course.points) {
        std::vector<Cell> row{point.time_s, study.vehicle.state(point.state).name};
        for (std::size_t k = 0; k < course.batteries.size(); ++k) {
            row.emplace_back(point.charge[k]);
            row.emplace_back(point.amps[k]);
            row.emplace_back(point.volts[k]);
        }
        sheet.rows.push_back(std::move(row));
    }
    return sheet;
}

std::string energy_text(const StudyInput& study, const EnergyAnswer& answer, TextWidth width) {
    std::string out;
    const auto add = [&](const Sheet& sheet) {
        if (!sheet.rows.empty()) {
            out += (out.empty() ? "" : "\n") + sheet_text(sheet, width);
        }
    };
    add(cranking_sheet(study, answer));
    add(balance_sheet(study, answer));
    add(parked_sheet(study, answer));
    for (const DriveCourse& course : answer.drives) {
        add(drive_legs_sheet(study, course));
    }
    return out.empty() ? "the car has no battery, alternator or charger to speak of\n" : out;
}

} // namespace loomwright
