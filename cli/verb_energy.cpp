// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verb energy: what the batteries live on.
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "sheets/energy.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string>
#include <vector>

namespace loomwright::cli {

const Drive* chosen_drive(const Arguments& arguments, const Project& project) {
    const std::vector<Drive>& drives = project.vehicle.drives;
    if (arguments.drive.empty() && drives.size() == 1) {
        return &drives.front();
    }
    const auto found = std::ranges::find(drives, arguments.drive, &Drive::name);
    if (found != drives.end()) {
        return &*found;
    }
    std::vector<std::string> names;
    names.reserve(drives.size());
    for (const Drive& drive : drives) {
        names.push_back(drive.name);
    }
    if (names.empty()) {
        print_error("loomwright: the file has no drive\n"
                    "  remedy: write `drives:` with `legs: [{state: ..., lasts: 10 min}]`\n");
        return nullptr;
    }
    const auto near = nearest_word(arguments.drive, names);
    print_error(fmt::format(
        "loomwright: {}{}\n  the drives are: {}\n",
        arguments.drive.empty() ? std::string("which drive? name it with --drive")
                                : fmt::format("there is no drive `{}`", printable(arguments.drive)),
        near && !arguments.drive.empty() ? fmt::format("; did you mean `{}`?", printable(*near))
                                         : "",
        printable(fmt::format("{}", fmt::join(names, ", ")))));
    return nullptr;
}

namespace {

void complain_of(const std::string& what, const std::string& name, const std::string& failure) {
    print_error(fmt::format("loomwright: {} `{}` {}\n", what, printable(name), printable(failure)));
}

/// Tells of every state and drive without an operating point, and of cranking in another air where
/// the state itself has one; true when all have theirs.
bool is_all_answered(const Vehicle& vehicle, const EnergyAnswer& answer) {
    std::vector<StateId> told;
    bool is_all = true;
    for (const StateBalance& balance : answer.balances) {
        if (!balance.failure.empty()) {
            complain_of("state", state_name(vehicle, balance.state),
                        "has no answer: " + balance.failure);
            told.push_back(balance.state);
            is_all = false;
        }
    }
    for (const CrankPoint& point : answer.cranking) {
        if (!point.converged && std::ranges::find(told, point.state) == told.end()) {
            complain_of("state", state_name(vehicle, point.state),
                        fmt::format("has no answer ({}): {}", point.condition, point.failure));
            is_all = false;
        }
    }
    for (const DriveCourse& course : answer.drives) {
        if (course.is_unsolved) {
            complain_of("drive", course.drive, "has no answer to its end: " + course.failure);
            is_all = false;
        }
    }
    return is_all;
}

} // namespace

int run_energy(const Arguments& arguments) {
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const bool one_drive = !arguments.drive.empty() || arguments.csv;
    const Drive* const drive = one_drive ? chosen_drive(arguments, *project) : nullptr;
    if (one_drive && drive == nullptr) {
        return bad_input;
    }
    size_project(*project);
    const StudyInput study = project->study();
    const Design& design = project->sizing.design;
    EnergyAnswer answer;
    if (drive != nullptr) {
        answer.drives.push_back(drive_course(study, design, *drive));
    } else {
        answer.cranking = crank_points(study, design);
        answer.balances = state_balances(study, project->sizing.states);
        answer.parked =
            parked_drains(study, design, project->sizing.states, ParkedTrial::to_the_end);
        for (const Drive& each : project->vehicle.drives) {
            answer.drives.push_back(drive_course(study, design, each));
        }
    }
    status = deliver(arguments, arguments.csv
                                    ? sheet_csv(drive_points_sheet(study, answer.drives.front()))
                                : arguments.json ? energy_json(study, answer)
                                                 : energy_text(study, answer, terminal_width()));
    if (status != clean) {
        return status;
    }
    return is_all_answered(project->vehicle, answer) ? clean : found;
}

} // namespace loomwright::cli
