// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// measure: workshop readings against the prediction, and the joints that explain them.
#include "files.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include "read/readings.hpp"
#include "sheets/measure_sheets.hpp"
#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

/// The meter's accuracy; nothing, and told of, when it cannot be read.
std::optional<MeterAccuracy> chosen_accuracy(const Arguments& arguments) {
    if (!arguments.accuracy) {
        return MeterAccuracy();
    }
    TextFault fault;
    const auto read = read_accuracy(*arguments.accuracy, fault);
    if (!read) {
        print_error(fmt::format("loomwright: --accuracy `{}`: {}\n  {}\n",
                                printable(*arguments.accuracy), printable(fault.message),
                                fault.remedy));
    }
    return read;
}

std::optional<std::vector<MeterReading>> read_list(const Arguments& arguments, Project& project,
                                                   const MeterAccuracy& accuracy) {
    std::string why_not;
    if (arguments.readings == "-" && arguments.file == "-") {
        print_error("loomwright: standard input cannot be both the vehicle file and the "
                    "readings\n  name a file for one of them\n");
        return std::nullopt;
    }
    const auto text = read_text(arguments.readings, why_not);
    if (!text) {
        print_error(unread_file_text(arguments.readings, why_not, InputKind::table));
        return std::nullopt;
    }
    const std::string name = arguments.readings == "-" ? "standard input" : arguments.readings;
    const FileId file = project.files.add(name, std::string(without_mark(*text)));
    Findings findings;
    auto list =
        read_readings(file, project.files.file(file).text, project.vehicle, accuracy, findings);
    if (!list) {
        (void)complain_of_faults(findings, project.files, "the readings: nothing was compared");
    }
    return list;
}

/// The design and the states that were read.
void solve_states_read(Project& project, const std::vector<MeterReading>& readings) {
    std::vector<std::string> names;
    for (const MeterReading& reading : readings) {
        const std::string name = state_name(project.vehicle, reading.state);
        if (std::ranges::find(names, name) == names.end()) {
            names.push_back(name);
        }
    }
    solve_project(project, names);
}

} // namespace

int run_measure(const Arguments& arguments) {
    if (arguments.file == "-" && arguments.readings == "-") {
        print_error("loomwright: only one of the two files can come from standard input\n");
        return bad_input;
    }
    const auto accuracy = chosen_accuracy(arguments);
    if (!accuracy) {
        return bad_input;
    }
    int status = clean;
    Project* const project = open_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    const auto readings = read_list(arguments, *project, *accuracy);
    if (!readings) {
        return bad_input;
    }
    solve_states_read(*project, *readings);
    const SpreadTable spreads = load_spreads(project->files, project->findings);
    const StudyInput study = project->study();
    const MeasureAnswer answer = measure(study, project->sizing.design, spreads, *readings);
    const MeasureReport report{study, *readings, answer, *accuracy};
    status = deliver(arguments, arguments.json ? measure_json(report)
                                               : measure_text(report, terminal_width()));
    if (status != clean) {
        return status;
    }
    return has_deviation(answer) ? found : clean;
}

} // namespace loomwright::cli
