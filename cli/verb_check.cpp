// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// `check`: for people, and in the formats that other programs read.
#include "files.hpp"
#include "terminal.hpp"
#include "unread_file.hpp"
#include "verbs.hpp"

#include "diag/finding_counts.hpp"
#include "sheets/json.hpp"
#include "sheets/junit.hpp"
#include "sheets/sarif.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace loomwright::cli {
namespace {

std::string findings_text(const Findings& findings, const SourceFiles& files, bool with_colour) {
    std::string out;
    for (const Finding& finding : findings.all()) {
        out += finding_text(finding, files, with_colour) + "\n";
    }
    return out + findings_count_line(findings) + "\n";
}

/// The formats asked for, as they were typed.
std::vector<std::string> formats_asked(const Arguments& arguments) {
    std::vector<std::string> out;
    const auto add = [&out](bool is_asked, const char* name) {
        if (is_asked) {
            out.emplace_back(name);
        }
    };
    add(arguments.json, "--json");
    add(arguments.lines, "--lines");
    add(arguments.sarif, "--sarif");
    add(arguments.junit, "--junit");
    return out;
}

/// The findings in the format asked for; none of them asked for: as text.
std::string answer_bytes(const Arguments& arguments, const Findings& findings,
                         const SourceFiles& files, FileId vehicle_file) {
    const CheckAnswer answer{
        findings,          files, vehicle_file, arguments.faults, fails_from(arguments.fail_on),
        LOOMWRIGHT_VERSION};
    if (arguments.json) {
        return check_json(findings, files);
    }
    if (arguments.lines) {
        return finding_lines(answer);
    }
    if (arguments.sarif) {
        return check_sarif(answer);
    }
    if (arguments.junit) {
        return check_junit(answer);
    }
    return findings_text(findings, files, arguments.output == "-" && wants_colour(1));
}

/// Faults of the input in the format asked for, so that a program gets them where it looks.
int report_bad_input(const Arguments& arguments, const Findings& findings, const SourceFiles& files,
                     FileId vehicle_file) {
    const int delivered =
        deliver(arguments, answer_bytes(arguments, findings, files, vehicle_file));
    return delivered == clean ? bad_input : delivered;
}

int report_unreadable(const Arguments& arguments, const std::string& why_not) {
    SourceFiles files;
    Findings findings;
    const FileId file = add_unread_file(arguments.file, why_not, files, findings);
    return report_bad_input(arguments, findings, files, file);
}

/// Reads for another program; nullptr, with the exit status, where the answer is a fault of the
/// input.
Project* open_for_program(const Arguments& arguments, int& status) {
    std::string why_not;
    const auto text = read_text(arguments.file, why_not);
    if (!text) {
        status = report_unreadable(arguments, why_not);
        return nullptr;
    }
    const std::string name = arguments.file == "-" ? "standard input" : arguments.file;
    Project* const project = keep(load_project(name, *text, include_reader(arguments.file)));
    if (project->findings.has_input_fault()) {
        status = report_bad_input(arguments, project->findings, project->files,
                                  project->vehicle.main_file);
        return nullptr;
    }
    return project;
}

} // namespace

/// The severity of `--fail-on`; nothing for "never".
std::optional<Severity> fails_from(const std::string& name) {
    for (const Severity severity :
         {Severity::note, Severity::caution, Severity::fault, Severity::danger}) {
        if (severity_name(severity) == name) {
            return severity;
        }
    }
    return std::nullopt;
}

bool has_failing(const Findings& findings, const std::string& fail_on) {
    const auto least = fails_from(fail_on);
    return least && std::ranges::any_of(findings.all(), [&](const Finding& finding) {
               return finding.waived.empty() && finding.severity >= *least;
           });
}

std::string findings_count_line(const Findings& findings) {
    const FindingCounts counts = count_findings(findings);
    std::vector<std::string> parts;
    for (const Severity severity : severities_from_worst) {
        if (const std::size_t count = counts.of(severity); count > 0) {
            parts.push_back(
                fmt::format("{} {}{}", count, severity_name(severity), count == 1 ? "" : "s"));
        }
    }
    std::string line = parts.empty() ? "no findings" : fmt::format("{}", fmt::join(parts, ", "));
    if (counts.waived > 0) {
        line += fmt::format("; {} waived", counts.waived);
    }
    return line;
}

int run_check(const Arguments& arguments) {
    const std::vector<std::string> formats = formats_asked(arguments);
    if (formats.size() > 1) {
        print_error(fmt::format("loomwright: {} were given: one format at a time\n",
                                fmt::join(formats, " and ")));
        return bad_input;
    }
    if (!arguments.each.empty()) {
        return run_check_each(arguments);
    }
    int status = clean;
    Project* const project =
        formats.empty() ? open_project(arguments, status) : open_for_program(arguments, status);
    if (project == nullptr) {
        return status;
    }
    size_project(*project);
    check_with_bar(*project, arguments.faults);
    const int delivered =
        deliver(arguments, answer_bytes(arguments, project->findings, project->files,
                                        project->vehicle.main_file));
    if (delivered != clean) {
        return delivered;
    }
    return has_failing(project->findings, arguments.fail_on) ? found : clean;
}

} // namespace loomwright::cli
