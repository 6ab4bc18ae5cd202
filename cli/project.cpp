// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "files.hpp"
#include "fold.hpp"
#include "progress.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <system_error>
#include <vector>

namespace loomwright::cli {
namespace {

/// Whether `-o` names one of the files that the answer is made of: writing it would lose the car.
bool is_input(const Arguments& arguments) {
    const std::array<const std::string*, 3> inputs{&arguments.file, &arguments.new_file,
                                                   &arguments.readings};
    return std::ranges::any_of(inputs, [&](const std::string* input) {
        std::error_code ignored;
        return !input->empty() && *input != "-" &&
               std::filesystem::equivalent(*input, arguments.output, ignored);
    });
}

/// False, and told of, when the answer cannot be meant to go where `-o` says.
bool may_write(const Arguments& arguments) {
    if (arguments.output.empty()) {
        print_error("loomwright: -o is given no file name\n"
                    "  remedy: name the file to write; - is standard output\n");
        return false;
    }
    if (is_input(arguments)) {
        print_error(fmt::format("loomwright: {} is the file that was read: nothing was written\n"
                                "  remedy: give -o another name\n",
                                printable(arguments.output)));
        return false;
    }
    return true;
}

} // namespace

Project* keep(std::unique_ptr<Project> project) {
    static auto& kept = *new std::vector<Project*>; // a comparison has two
    return kept.emplace_back(project.release());
}

Project* open_project(const Arguments& arguments, int& status) {
    std::string why_not;
    auto text = read_text(arguments.file, why_not);
    if (!text) {
        print_error(unread_file_text(arguments.file, why_not));
        status = bad_input;
        return nullptr;
    }
    const std::string name = arguments.file == "-" ? "standard input" : arguments.file;
    Project* const project = keep(load_project(name, *text, include_reader(arguments.file)));
    if (!project->findings.has_input_fault()) {
        return project;
    }
    const bool with_colour = wants_colour(2);
    for (const Finding& finding : project->findings.all()) {
        if (rule_info(finding.rule).is_input) {
            print_error(finding_text(finding, project->files, with_colour));
        }
    }
    const std::size_t faults = project->findings.fault_count();
    print_error(fmt::format("{} error{} in the input: nothing was computed or written\n", faults,
                            faults == 1 ? "" : "s"));
    status = bad_input;
    return nullptr;
}

int complain_of_faults(const Findings& findings, const SourceFiles& files,
                       std::string_view outcome) {
    const bool with_colour = wants_colour(2);
    for (const Finding& finding : findings.all()) {
        print_error(finding_text(finding, files, with_colour));
    }
    const std::size_t count = findings.all().size();
    print_error(fmt::format("{} error{} in {}\n", count, count == 1 ? "" : "s", outcome));
    return bad_input;
}

Project* sized_project(const Arguments& arguments, int& status) {
    Project* const project = open_project(arguments, status);
    if (project != nullptr) {
        size_project(*project);
    }
    return project;
}

void check_with_bar(Project& project, bool with_faults) {
    if (!with_faults) {
        check_project(project);
        return;
    }
    Progress bar("faults", bar_parts);
    check_project_with_faults(project, [&bar](std::uint64_t done, std::uint64_t all) {
        bar.show(done * bar_parts / all);
    });
}

int deliver(const Arguments& arguments, std::string bytes) {
    const bool is_for_programs =
        arguments.json || arguments.csv || arguments.sarif || arguments.junit || arguments.lines;
    const TextWidth width = terminal_width();
    if (arguments.output == "-" && !is_for_programs && width.is_edge) {
        bytes = folded(bytes, width.columns);
    }
    return deliver_bytes(arguments, std::move(bytes));
}

int deliver_bytes(const Arguments& arguments, std::string bytes) {
    if (arguments.output == "-") {
        if (!print(bytes)) {
            print_error("loomwright: standard output could not be written\n");
            return machine_failed;
        }
        return clean;
    }
    if (!may_write(arguments)) {
        return bad_input;
    }
    std::string why_not;
    if (!write_files({{arguments.output, std::move(bytes)}}, why_not)) {
        print_error(fmt::format("loomwright: {}\n", printable(why_not)));
        return machine_failed;
    }
    return clean;
}

} // namespace loomwright::cli
