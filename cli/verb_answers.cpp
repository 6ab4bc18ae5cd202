// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that answer a question: check, size, solve, explain, tables.
#include "files.hpp"
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "checks/explain.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

namespace loomwright::cli {
namespace {

/// 0 for note up to 3 for danger; past them for "never".
int severity_rank(const std::string& name) {
    for (const Severity severity :
         {Severity::note, Severity::caution, Severity::fault, Severity::danger}) {
        if (severity_name(severity) == name) {
            return static_cast<int>(severity);
        }
    }
    return static_cast<int>(Severity::danger) + 1;
}

bool has_failing(const Findings& findings, const std::string& fail_on) {
    return std::ranges::any_of(findings.all(), [&](const Finding& finding) {
        return finding.waived.empty() &&
               static_cast<int>(finding.severity) >= severity_rank(fail_on);
    });
}

std::string findings_text(const Project& project, bool with_colour) {
    std::string out;
    for (const Finding& finding : project.findings.all()) {
        out += finding_text(finding, project.files, with_colour) + "\n";
    }
    return out + findings_count_line(project.findings) + "\n";
}

/// The input faults as the JSON answer of `check`, so that a program gets them where it looks.
int report_bad_input(const Arguments& arguments, const Project& project) {
    const int delivered = deliver(arguments, check_json(project.findings, project.files));
    return delivered == clean ? bad_input : delivered;
}

std::string quoted_names(const std::vector<std::string>& names) {
    return fmt::format("{}", fmt::join(names, ", "));
}

/// The verbs that compute: reads, sizes and solves.
Project* computed_project(const Arguments& arguments, int& status) {
    Project* const project = open_project(arguments, status);
    if (project != nullptr) {
        size_project(*project);
    }
    return project;
}

} // namespace

std::string findings_count_line(const Findings& findings) {
    std::array<int, 4> counts{};
    int waived = 0;
    for (const Finding& finding : findings.all()) {
        if (finding.waived.empty()) {
            ++counts.at(static_cast<std::size_t>(finding.severity));
        } else {
            ++waived;
        }
    }
    std::vector<std::string> parts;
    for (int rank = 3; rank >= 0; --rank) {
        const int count = counts.at(static_cast<std::size_t>(rank));
        if (count > 0) {
            parts.push_back(fmt::format("{} {}{}", count,
                                        severity_name(static_cast<Severity>(rank)),
                                        count == 1 ? "" : "s"));
        }
    }
    std::string line = parts.empty() ? "no findings" : fmt::format("{}", fmt::join(parts, ", "));
    if (waived > 0) {
        line += fmt::format("; {} waived", waived);
    }
    return line;
}

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

int run_check(const Arguments& arguments) {
    int status = clean;
    Project* project = nullptr;
    if (arguments.json) {
        std::string why_not;
        auto text = read_text(arguments.file, why_not);
        if (text) {
            const std::string name = arguments.file == "-" ? "standard input" : arguments.file;
            project = keep(load_project(name, *text, include_reader(arguments.file)));
            if (project->findings.has_input_fault()) {
                return report_bad_input(arguments, *project);
            }
        }
    }
    if (project == nullptr) {
        project = open_project(arguments, status);
    }
    if (project == nullptr) {
        return status;
    }
    size_project(*project);
    if (arguments.faults) {
        Progress bar("faults", bar_parts);
        check_project_with_faults(*project, [&bar](std::uint64_t done, std::uint64_t all) {
            bar.show(done * bar_parts / all);
        });
    } else {
        check_project(*project);
    }
    const bool with_colour = arguments.output == "-" && wants_colour(1);
    const int delivered =
        deliver(arguments, arguments.json ? check_json(project->findings, project->files)
                                          : findings_text(*project, with_colour));
    if (delivered != clean) {
        return delivered;
    }
    return has_failing(project->findings, arguments.fail_on) ? found : clean;
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

int run_explain(const Arguments& arguments) {
    int status = clean;
    Project* const project = computed_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const StudyInput study = project->study();
    const auto sections = explain({study, project->sizing}, arguments.id);
    if (!sections) {
        std::vector<std::string> names;
        for (const Wire& wire : project->vehicle.wires) {
            names.push_back(wire.number);
        }
        for (const Device& device : project->vehicle.devices) {
            names.push_back(device.name);
        }
        const auto near = nearest_word(arguments.id, names);
        print_error(fmt::format(
            "loomwright: there is nothing to explain under `{}`{}\n  give a wire's number or a "
            "device's name\n",
            printable(arguments.id),
            near ? fmt::format("; did you mean `{}`?", printable(*near)) : ""));
        return bad_input;
    }
    return deliver(arguments, arguments.json ? proof_json(arguments.id, *sections)
                                             : proof_text(*sections, terminal_width()));
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
