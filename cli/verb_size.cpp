// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// size, and what it keeps with --freeze.
#include "files.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "sheets/frozen_file.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace loomwright::cli {
namespace {

namespace fs = std::filesystem;

/// The file that the vehicle names, else `car.frozen.yaml` for `car.yaml`, in the same folder.
fs::path frozen_path(const Arguments& arguments, const Vehicle& vehicle) {
    const fs::path car(arguments.file);
    if (vehicle.frozen.is_there()) {
        return car.parent_path() / vehicle.frozen.file;
    }
    fs::path name = car.filename();
    if (name.extension() == ".yaml" || name.extension() == ".yml") {
        name.replace_extension();
    }
    name += ".frozen.yaml";
    return car.parent_path() / name;
}

std::string plural(int count, const char* word) {
    return fmt::format("{} {}{}", count, word, count == 1 ? "" : "s");
}

int freeze(const Arguments& arguments, const Project& project) {
    const FrozenFile frozen = frozen_file(project.study(), project.sizing);
    const fs::path path = frozen_path(arguments, project.vehicle);
    std::string why_not;
    if (!write_files({{path.string(), frozen.text}}, why_not)) {
        print_error(fmt::format("loomwright: {}\n", printable(why_not)));
        return machine_failed;
    }
    std::string said = fmt::format("{}: {} and {} frozen\n", printable(path.string()),
                                   plural(frozen.wires, "wire"), plural(frozen.fuses, "fuse"));
    if (!project.vehicle.frozen.is_there()) {
        said += fmt::format("to have it followed, add this line to {}:\n  frozen: {}\n",
                            printable(arguments.file), printable(path.filename().string()));
    }
    const bool is_answer = !arguments.json && arguments.output == "-";
    if (!is_answer) {
        print_error(said);
        return clean;
    }
    return print(said) ? clean : machine_failed;
}

int deliver_sizes(const Arguments& arguments, const Project& project) {
    const StudyInput study = project.study();
    return deliver(arguments, arguments.json ? size_json(study, project.sizing)
                                             : size_text(study, project.sizing, terminal_width()));
}

} // namespace

int run_size(const Arguments& arguments) {
    if (arguments.freeze && arguments.file == "-") {
        print_error("loomwright: --freeze writes beside the vehicle file: name the file\n");
        return bad_input;
    }
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    size_project(*project);
    if (!arguments.freeze || arguments.json || arguments.output != "-") {
        status = deliver_sizes(arguments, *project);
    }
    if (status != clean) {
        return status;
    }
    // A size that could not be found is the one thing this verb itself finds wrong.
    const bool is_lacking = std::ranges::any_of(
        project->findings.all(), [](const Finding& f) { return f.rule == Rule::size_not_found; });
    if (is_lacking) {
        for (const Finding& finding : project->findings.all()) {
            print_error(finding_text(finding, project->files, wants_colour(2)));
        }
        if (arguments.freeze) {
            print_error("nothing is frozen while a size is not found\n");
        }
        return found;
    }
    return arguments.freeze ? freeze(arguments, *project) : clean;
}

} // namespace loomwright::cli
