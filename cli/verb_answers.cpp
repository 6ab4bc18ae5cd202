// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that answer a question: solve, tables.
#include "files.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

std::string quoted_names(const std::vector<std::string>& names) {
    return fmt::format("{}", fmt::join(names, ", "));
}

} // namespace

bool choose_states(const Arguments& arguments, Project& project,
                   std::vector<StateSolution>& chosen) {
    auto& solved = project.sizing.states;
    if (arguments.states.empty()) {
        chosen = std::move(solved);
        return true;
    }
    std::vector<std::string> names;
    names.reserve(solved.size());
    for (const StateSolution& solution : solved) {
        names.push_back(state_name(project.vehicle, solution));
    }
    constexpr auto not_yet = static_cast<std::size_t>(-1);
    std::vector<std::size_t> taken(solved.size(), not_yet); // place among the chosen
    for (const std::string& wanted : arguments.states) {
        const auto found = std::ranges::find(names, wanted);
        if (found == names.end()) {
            const auto near = nearest_word(wanted, names);
            print_error(fmt::format(
                "loomwright: there is no state `{}`{}\n  the states are: {}\n", printable(wanted),
                near ? fmt::format("; did you mean `{}`?", printable(*near)) : "",
                printable(quoted_names(names))));
            return false;
        }
        // A large car's solution is not copied unless it is asked for twice.
        const auto index = static_cast<std::size_t>(found - names.begin());
        if (taken[index] == not_yet) {
            taken[index] = chosen.size();
            chosen.push_back(std::move(solved[index]));
        } else {
            StateSolution again = chosen[taken[index]];
            chosen.push_back(std::move(again));
        }
    }
    return true;
}

Project* solved_project(const Arguments& arguments, std::vector<StateSolution>& chosen,
                        int& status) {
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return nullptr;
    }
    solve_project(*project, arguments.states);
    if (!choose_states(arguments, *project, chosen)) {
        status = bad_input;
        return nullptr;
    }
    return project;
}

void complain_of_no_answer(const Project& project, const StateSolution& solution) {
    print_error(fmt::format("loomwright: state `{}` has no answer: {}\n",
                            printable(state_name(project.vehicle, solution)),
                            printable(solution.failure)));
}

int run_solve(const Arguments& arguments) {
    if (arguments.spread) {
        return run_spread(arguments);
    }
    if (arguments.csv || arguments.seed) {
        print_error("loomwright: --seed and --csv go with --spread N\n");
        return bad_input;
    }
    int status = clean;
    std::vector<StateSolution> chosen;
    Project* const project = solved_project(arguments, chosen, status);
    if (project == nullptr) {
        return status;
    }
    const StudyInput study = project->study();
    status = deliver(arguments, arguments.json ? solve_json(study, chosen)
                                               : solve_text(study, chosen, terminal_width()));
    if (status != clean) {
        return status;
    }
    bool is_solved = true;
    for (const StateSolution& solution : chosen) {
        if (!solution.converged) {
            complain_of_no_answer(*project, solution);
            is_solved = false;
        }
    }
    return is_solved ? clean : found;
}

int run_tables(const Arguments& arguments) {
    SourceFiles files;
    Findings findings;
    const Catalogue catalogue = load_catalogue(files, findings);
    const std::vector<std::string> names = catalogue.table_names();
    if (arguments.id.empty()) {
        std::string text;
        for (const std::string& name : names) {
            const auto view = catalogue.view(name);
            text += fmt::format("{:<18} {}\n", name, view ? view->description : "");
        }
        return deliver(arguments, text);
    }
    const auto view = catalogue.view(arguments.id);
    if (!view) {
        const auto near = nearest_word(arguments.id, names);
        print_error(fmt::format(
            "loomwright: there is no table `{}`{}\n  the tables are: {}\n", printable(arguments.id),
            near ? fmt::format("; did you mean `{}`?", *near) : "", quoted_names(names)));
        return bad_input;
    }
    return deliver(arguments,
                   arguments.json ? table_json(*view) : table_text(*view, terminal_width()));
}

} // namespace loomwright::cli
