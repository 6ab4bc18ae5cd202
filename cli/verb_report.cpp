// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// report: one page for the inspector and the owner.
#include "terminal.hpp"
#include "verbs.hpp"

#include "page/report.hpp"

#include <fmt/format.h>

namespace loomwright::cli {

int run_report(const Arguments& arguments) {
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    check_with_bar(*project, !arguments.no_faults);
    const StudyInput study = project->study();
    const Paper paper = paper_named(arguments.paper).value_or(Paper::a4);
    std::string why_not;
    auto page =
        make_report({project->checked(study), project->findings, project->files, paper}, why_not);
    if (!page) {
        print_error(
            fmt::format("loomwright: the report could not be drawn: {}\n", printable(why_not)));
        return machine_failed;
    }
    return deliver_bytes(arguments, std::move(*page));
}

} // namespace loomwright::cli
