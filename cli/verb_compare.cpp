// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// compare OLD NEW.
#include "terminal.hpp"
#include "verbs.hpp"

#include "sheets/compare.hpp"

namespace loomwright::cli {
namespace {

Project* checked_project(const Arguments& arguments, const std::string& file, int& status) {
    Arguments of_file = arguments;
    of_file.file = file;
    Project* const project = open_project(of_file, status);
    if (project != nullptr) {
        size_project(*project);
        check_project(*project);
    }
    return project;
}

} // namespace

int run_compare(const Arguments& arguments) {
    if (arguments.file == "-" && arguments.new_file == "-") {
        print_error("loomwright: only one of the two files can come from standard input\n");
        return bad_input;
    }
    int status = clean;
    const Project* const before = checked_project(arguments, arguments.file, status);
    // The faults of both files are told in one go.
    const Project* const now = checked_project(arguments, arguments.new_file, status);
    if (before == nullptr || now == nullptr) {
        return status;
    }
    const StudyInput old_study = before->study();
    const StudyInput new_study = now->study();
    const DesignComparison comparison = compare_vehicles(
        {old_study, before->sizing, before->findings}, {new_study, now->sizing, now->findings});
    std::string answer = arguments.json  ? compare_json(comparison)
                         : arguments.csv ? sheet_csv(compare_sheet(comparison))
                                         : compare_text(comparison, terminal_width());
    status = deliver(arguments, std::move(answer));
    if (status != clean) {
        return status;
    }
    return arguments.fail_on_change && comparison.has_change() ? found : clean;
}

} // namespace loomwright::cli
