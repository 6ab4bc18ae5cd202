// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that make files: pack, export.
#include "output_folder.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "page/pack.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"
#include "sheets/workbook.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <filesystem>

namespace loomwright::cli {
namespace {

bool complain_unsolved(const Project& project, const StateSolution& solution) {
    if (solution.converged) {
        return false;
    }
    print_error(fmt::format("loomwright: state `{}` has no answer to export: {}\n",
                            printable(state_name(project.vehicle, solution)),
                            printable(solution.failure)));
    return true;
}

/// Into the folder that is asked for; tells which files are there now.
bool write_and_list(const Arguments& arguments, const std::vector<OutputFile>& outputs) {
    std::string why_not;
    if (!write_folder(arguments.output, outputs, why_not)) {
        print_error(fmt::format("loomwright: {}\n", printable(why_not)));
        return false;
    }
    std::string list;
    for (const OutputFile& output : outputs) {
        list += (std::filesystem::path(arguments.output) / output.path).string() + "\n";
    }
    return print(printable(list));
}

/// "03-cranking.cir": the place in the file keeps names apart that differ in odd letters only.
std::string deck_name(std::size_t place, std::string state) {
    for (char& letter : state) {
        const bool is_plain = (letter >= 'a' && letter <= 'z') ||
                              (letter >= 'A' && letter <= 'Z') ||
                              (letter >= '0' && letter <= '9') || letter == '-' || letter == '_';
        letter = is_plain ? letter : '_';
    }
    return fmt::format("{:02}-{}.cir", place + 1, state.substr(0, 80));
}

/// One deck a state, in a folder.
int write_decks(const Arguments& arguments, const Project& project,
                const std::vector<StateSolution>& solutions) {
    const StudyInput study = project.study();
    std::vector<OutputFile> outputs;
    int status = clean;
    for (const StateSolution& solution : solutions) {
        if (complain_unsolved(project, solution)) {
            status = found;
            continue;
        }
        const std::size_t place = solution.state.is_valid() ? solution.state.index() : 0;
        const std::string name = deck_name(place, state_name(project.vehicle, solution));
        outputs.push_back({name, spice_deck(study, project.sizing.design, solution)});
    }
    return write_and_list(arguments, outputs) ? status : machine_failed;
}

int export_decks(const Arguments& arguments, Project& project) {
    std::vector<StateSolution> solutions;
    if (!choose_states(arguments, project, solutions)) {
        return bad_input;
    }
    std::error_code ignored;
    const bool is_folder =
        arguments.output.ends_with('/') || std::filesystem::is_directory(arguments.output, ignored);
    if (is_folder) {
        return write_decks(arguments, project, solutions);
    }
    if (solutions.size() != 1) {
        std::vector<std::string> names;
        names.reserve(solutions.size());
        for (const StateSolution& solution : solutions) {
            names.push_back(state_name(project.vehicle, solution));
        }
        print_error(fmt::format("loomwright: a deck is of one state: name it with --state, or give "
                                "a folder for a deck of each (-o decks/)\n  the states are: {}\n",
                                printable(fmt::format("{}", fmt::join(names, ", ")))));
        return bad_input;
    }
    return complain_unsolved(project, solutions.front())
               ? found
               : deliver_bytes(arguments, spice_deck(project.study(), project.sizing.design,
                                                     solutions.front()));
}

/// The bytes of a workbook with these tables.
std::optional<std::string> workbook_bytes(const std::vector<Sheet>& tables,
                                          const std::string& title, std::string& why_not) {
    return bytes_written(
        [&](const std::string& path, std::string& fault) {
            return write_workbook(tables, title, path, fault);
        },
        why_not);
}

} // namespace

int run_pack(const Arguments& arguments) {
    const auto paper = paper_named(arguments.paper);
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    check_project(*project);
    std::string why_not;
    const auto pack = make_pack(project->study(), project->sizing, project->findings,
                                paper.value_or(Paper::a4), why_not);
    const auto workbook =
        pack ? workbook_bytes(pack->tables, project->vehicle.title, why_not) : std::nullopt;
    if (!workbook) {
        print_error(
            fmt::format("loomwright: the pack could not be made: {}\n", printable(why_not)));
        return machine_failed;
    }
    std::vector<OutputFile> outputs;
    for (const PackFile& file : pack->files) {
        outputs.push_back({file.name, file.bytes});
    }
    outputs.push_back({"tables.xlsx", *workbook});
    return write_and_list(arguments, outputs) ? clean : machine_failed;
}

/// All tables of the pack in one workbook.
static int export_workbook(const Arguments& arguments, Project& project) {
    size_project(project);
    std::string why_not;
    const auto bytes = workbook_bytes(pack_tables(project.study(), project.sizing),
                                      project.vehicle.title, why_not);
    if (!bytes) {
        print_error(
            fmt::format("loomwright: the workbook could not be made: {}\n", printable(why_not)));
        return machine_failed;
    }
    return deliver_bytes(arguments, *bytes);
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
        return deliver_bytes(arguments, sheet_csv(wire_sizes_sheet(study, project->sizing)));
    }
    if (arguments.format == "xlsx") {
        return export_workbook(arguments, *project);
    }
    solve_project(*project, arguments.states);
    if (arguments.format == "json") {
        return deliver_bytes(arguments, solve_json(study, project->sizing.states));
    }
    return export_decks(arguments, *project);
}

} // namespace loomwright::cli
