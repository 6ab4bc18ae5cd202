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
    if (arguments.csv) {
        return deliver(arguments, sheet_csv(drive_points_sheet(study, answer.drives.front())));
    }
    return deliver(arguments, arguments.json ? energy_json(study, answer)
                                             : energy_text(study, answer, terminal_width()));
}

} // namespace loomwright::cli
