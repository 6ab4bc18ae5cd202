// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// report: one page for the inspector and the owner.
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "page/report.hpp"

#include <fmt/format.h>

namespace loomwright::cli {

std::optional<std::string> report_page(Project& project, bool with_faults, Paper paper,
                                       std::string& why_not) {
    size_project(project);
    if (with_faults) {
        Progress bar("faults", bar_parts);
        check_project_with_faults(project, [&bar](std::uint64_t done, std::uint64_t all) {
            bar.show(done * bar_parts / all);
        });
    } else {
        check_project(project);
    }
    const StudyInput study = project.study();
    return make_report({project.checked(study), project.findings, project.files, paper}, why_not);
}

int run_report(const Arguments& arguments) {
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const Paper paper = paper_named(arguments.paper).value_or(Paper::a4);
    std::string why_not;
    auto page = report_page(*project, !arguments.no_faults, paper, why_not);
    if (!page) {
        print_error(fmt::format("loomwright: the report could not be drawn: {}\n", why_not));
        return machine_failed;
    }
    return deliver_bytes(arguments, std::move(*page));
}

} // namespace loomwright::cli
