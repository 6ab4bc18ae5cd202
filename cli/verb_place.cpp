// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verb place: where a device, or all that is at a point, is best put, and how far the fixed
// leads of supplied harnesses come.
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "loom/placing.hpp"
#include "sheets/place_sheets.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

int complain_of_name(const Arguments& arguments, const Vehicle& vehicle) {
    std::vector<std::string> names;
    for (const Device& device : vehicle.devices) {
        names.push_back(device.name);
    }
    for (const Point& point : vehicle.points) {
        names.push_back(point.name);
    }
    const auto near = nearest_word(arguments.id, names);
    print_error(fmt::format("loomwright: there is no device or point `{}` with a device at it{}\n",
                            printable(arguments.id),
                            near ? fmt::format("; did you mean `{}`?", printable(*near)) : ""));
    return bad_input;
}

std::vector<double> areas_of(const Sizing& sizing) {
    std::vector<double> out;
    out.reserve(sizing.design.wires.size());
    for (const WireDesign& wire : sizing.design.wires) {
        out.push_back(wire.conductor != nullptr ? wire.conductor->area.value() : 0.0);
    }
    return out;
}

} // namespace

int run_place(const Arguments& arguments) {
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const Vehicle& vehicle = project->vehicle;
    const std::vector<DeviceId> devices = devices_at(vehicle, arguments.id);
    if (devices.empty()) {
        return complain_of_name(arguments, vehicle);
    }
    if (vehicle.points.empty()) {
        print_error("loomwright: the file has no points to try\n"
                    "  remedy: write `points:` and `runs:` (docs/format/vehicle-file.md)\n");
        return bad_input;
    }
    size_project(*project);
    const StudyInput study = project->study();
    const std::vector<PlaceChoice> choices =
        place_choices(vehicle, study.catalogue, devices, areas_of(project->sizing));
    std::vector<LeadReach> reaches = lead_reaches(vehicle, study.catalogue);
    const auto is_of_another = [&](const LeadReach& reach) {
        const DeviceId owner = vehicle.supplied[static_cast<std::size_t>(reach.harness)].device;
        return std::ranges::find(devices, owner) == devices.end();
    };
    std::erase_if(reaches, is_of_another);
    const Sheet places = place_sheet(study, arguments.id, choices);
    const Sheet leads = lead_sheet(study, reaches);
    if (arguments.json) {
        return deliver(arguments, fmt::format("{{\"places\": {},\n\"leads\": {}}}\n",
                                              sheet_json(places), sheet_json(leads)));
    }
    if (arguments.csv) {
        return deliver(arguments, sheet_csv(places));
    }
    std::string text = sheet_text(places, terminal_width());
    if (!reaches.empty()) {
        text += "\n" + sheet_text(leads, terminal_width());
    }
    return deliver(arguments, printable(std::move(text)));
}

} // namespace loomwright::cli
