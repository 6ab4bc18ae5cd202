// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "draw/drive_chart.hpp"

namespace loomwright {
namespace {

/// A unit of time in which a drive is read with ease.
struct TimeUnit {
    const char* name;
    double seconds;
};

TimeUnit unit_for(double seconds) {
    constexpr double minute = 60.0;
    constexpr double hour = 3600.0;
    constexpr double day = 86400.0;
    if (seconds > 3.0 * day) {
        return {"d", day};
    }
    if (seconds > 3.0 * hour) {
        return {"h", hour};
    }
    return seconds > 3.0 * minute ? TimeUnit{"min", minute} : TimeUnit{"s", 1.0};
}

} // namespace

Chart drive_chart(const StudyInput& study, const DriveCourse& course) {
    Chart chart;
    chart.title = "Drive " + course.drive + " of " +
                  (study.vehicle.title.empty() ? std::string("the car") : study.vehicle.title);
    const TimeUnit unit = unit_for(course.points.empty() ? 0.0 : course.points.back().time_s);
    chart.x = {.title = "time", .unit = unit.name};
    ChartPanel charge{.y = {.title = "charge", .unit = "%"}};
    ChartPanel amps{.y = {.title = "given", .unit = "A"}};
    ChartPanel volts{.y = {.title = "at the posts", .unit = "V"}};
    for (std::size_t k = 0; k < course.batteries.size(); ++k) {
        ChartSeries series;
        series.name = study.vehicle.device(course.batteries[k]).name;
        for (const DrivePoint& point : course.points) {
            series.x.push_back(point.time_s / unit.seconds);
        }
        const auto fill = [&](ChartPanel& panel, const auto& value) {
            ChartSeries row = series;
            for (const DrivePoint& point : course.points) {
                row.y.push_back(value(point));
            }
            panel.series.push_back(std::move(row));
        };
        fill(charge, [k](const DrivePoint& point) { return 100.0 * point.charge[k]; });
        fill(amps, [k](const DrivePoint& point) { return point.amps[k]; });
        fill(volts, [k](const DrivePoint& point) { return point.volts[k]; });
    }
    chart.panels = {std::move(charge), std::move(amps), std::move(volts)};
    for (std::size_t i = 0; i < course.points.size(); ++i) {
        const DrivePoint& point = course.points[i];
        if (i == 0 || course.points[i - 1].leg != point.leg) {
            chart.phases.push_back({study.vehicle.state(point.state).name,
                                    point.time_s / unit.seconds, point.time_s / unit.seconds});
        }
        chart.phases.back().to = point.time_s / unit.seconds;
    }
    if (!course.failure.empty()) {
        chart.notes.push_back("Ends early: " + course.failure);
    }
    chart.notes.emplace_back(
        "Peukert's effect and a cold battery's smaller capacity are not counted; "
        "see docs/method/energy.md.");
    return chart;
}

} // namespace loomwright
