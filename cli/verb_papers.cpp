// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that make files: draw, pack, export.
#include "files.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "draw/feeds.hpp"
#include "page/pack.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <filesystem>

namespace loomwright::cli {
namespace {

Project* sized_project(const Arguments& arguments, int& status) {
    Project* const project = open_project(arguments, status);
    if (project != nullptr) {
        size_project(*project);
    }
    return project;
}

/// The one state that a deck is of: the one named, or the only one there is.
const StateSolution* deck_state(const Arguments& arguments, const Project& project) {
    std::vector<std::string> names;
    for (const StateSolution& solution : project.sizing.states) {
        names.push_back(state_name(project.vehicle, solution));
    }
    if (arguments.states.size() == 1) {
        for (std::size_t i = 0; i < names.size(); ++i) {
            if (names[i] == arguments.states.front()) {
                return &project.sizing.states[i];
            }
        }
        const auto near = nearest_word(arguments.states.front(), names);
        print_error(fmt::format("loomwright: there is no state `{}`{}\n",
                                printable(arguments.states.front()),
                                near ? fmt::format("; did you mean `{}`?", printable(*near)) : ""));
    } else if (arguments.states.empty() && names.size() == 1) {
        return &project.sizing.states.front();
    } else {
        print_error("loomwright: a deck is of one state: name it with --state\n");
    }
    print_error(fmt::format("  the states are: {}\n",
                            printable(fmt::format("{}", fmt::join(names, ", ")))));
    return nullptr;
}

} // namespace

int run_draw(const Arguments& arguments) {
    std::string name = arguments.format;
    if (name.empty() && arguments.output != "-") {
        name = std::filesystem::path(arguments.output).extension().string();
    }
    const auto format = drawing_format(name.empty() ? "svg" : name);
    if (!format) {
        print_error(fmt::format("loomwright: `{}` is no format a drawing can have\n"
                                "  remedy: end the name of -o in .svg, .pdf, .png or .dot, or give "
                                "--format\n",
                                printable(name)));
        return bad_input;
    }
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    std::string why_not;
    auto drawing = draw_feeds(project->study(), project->sizing, *format, why_not);
    if (!drawing) {
        print_error(fmt::format("loomwright: the drawing could not be made: {}\n", why_not));
        return machine_failed;
    }
    return deliver(arguments, std::move(*drawing));
}

int run_pack(const Arguments& arguments) {
    const auto paper = paper_named(arguments.paper);
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    check_project(*project);
    std::string why_not;
    const auto pack = pack_files(project->study(), project->sizing, project->findings,
                                 paper.value_or(Paper::a4), why_not);
    if (!pack) {
        print_error(fmt::format("loomwright: the pack could not be made: {}\n", why_not));
        return machine_failed;
    }
    std::vector<OutputFile> outputs;
    for (const PackFile& file : *pack) {
        outputs.push_back(
            {(std::filesystem::path(arguments.output) / file.name).string(), file.bytes});
    }
    if (!make_folder(arguments.output, why_not) || !write_files(outputs, why_not)) {
        print_error(fmt::format("loomwright: {}\n", why_not));
        return machine_failed;
    }
    std::string list;
    for (const OutputFile& output : outputs) {
        list += output.path + "\n";
    }
    return print(printable(list)) ? clean : machine_failed;
}

int run_export(const Arguments& arguments) {
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const StudyInput study = project->study();
    if (arguments.format == "csv") {
        size_project(*project);
        return deliver(arguments, sheet_csv(wire_sizes_sheet(study, project->sizing)));
    }
    solve_project(*project, arguments.states);
    if (arguments.format == "json") {
        return deliver(arguments, solve_json(study, project->sizing.states));
    }
    const StateSolution* solution = deck_state(arguments, *project);
    if (solution == nullptr) {
        return bad_input;
    }
    if (!solution->converged) {
        print_error(fmt::format("loomwright: state `{}` has no answer to export: {}\n",
                                printable(state_name(project->vehicle, *solution)),
                                printable(solution->failure)));
        return found;
    }
    return deliver(arguments, spice_deck(study, *solution));
}

} // namespace loomwright::cli
