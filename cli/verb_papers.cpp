// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verbs that make files: draw, pack, export.
#include "files.hpp"
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "draw/curves_plot.hpp"
#include "draw/drive_chart.hpp"
#include "draw/feeds.hpp"
#include "draw/mating_view.hpp"
#include "draw/section_drawing.hpp"
#include "draw/sneak_drawing.hpp"
#include "page/pack.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"
#include "sheets/workbook.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <filesystem>
#include <iterator>

namespace loomwright::cli {
namespace {

Project* sized_project(const Arguments& arguments, int& status) {
    Project* const project = open_project(arguments, status);
    if (project != nullptr) {
        size_project(*project);
    }
    return project;
}

bool complain_unsolved(const Project& project, const StateSolution& solution) {
    if (solution.converged) {
        return false;
    }
    print_error(fmt::format("loomwright: state `{}` has no answer to export: {}\n",
                            printable(state_name(project.vehicle, solution)),
                            printable(solution.failure)));
    return true;
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
        outputs.push_back({(std::filesystem::path(arguments.output) / name).string(),
                           spice_deck(study, project.sizing.design, solution)});
    }
    std::string why_not;
    if (!make_folder(arguments.output, why_not) || !write_files(outputs, why_not)) {
        print_error(fmt::format("loomwright: {}\n", why_not));
        return machine_failed;
    }
    std::string list;
    for (const OutputFile& output : outputs) {
        list += output.path + "\n";
    }
    return print(printable(list)) ? status : machine_failed;
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
               : deliver(arguments,
                         spice_deck(project.study(), project.sizing.design, solutions.front()));
}

/// The protective device to draw the curves of; complains and gives none of any other name.
DeviceId chosen_protection(const Arguments& arguments, const Vehicle& vehicle) {
    std::vector<std::string> names;
    for (const DeviceId id : devices_of<Protection>(vehicle)) {
        names.push_back(vehicle.device(id).name);
    }
    const DeviceId found = vehicle.find_device(arguments.id);
    if (found.is_valid() && vehicle.device(found).as<Protection>() != nullptr) {
        return found;
    }
    if (names.empty()) {
        print_error("loomwright: the car has no fuse, breaker or fusible link\n");
        return {};
    }
    const auto near = nearest_word(arguments.id, names);
    const std::string what =
        arguments.id.empty() ? std::string("which fuse, breaker or link? name it: draw FILE --view "
                                           "curves F1")
        : found.is_valid()
            ? fmt::format("`{}` is a {}, which has no time-current curve", printable(arguments.id),
                          vehicle.device(found).word)
            : fmt::format("there is no device `{}`{}", printable(arguments.id),
                          near ? fmt::format("; did you mean `{}`?", printable(*near)) : "");
    print_error(fmt::format("loomwright: {}\n  the fuses, breakers and links are: {}\n", what,
                            printable(fmt::format("{}", fmt::join(names, ", ")))));
    return {};
}

/// The curves of the device named; nothing, with the exit status, after a complaint.
std::optional<std::string> draw_curves(const Arguments& arguments, const Project& project,
                                       DrawingFormat format, std::string& why_not, int& status) {
    const DeviceId device = chosen_protection(arguments, project.vehicle);
    if (!device.is_valid()) {
        status = bad_input;
        return std::nullopt;
    }
    return draw_plot(curves_plot(project.study(), project.sizing, device), format, why_not);
}

/// The run to draw the section of; complains and gives none of any other name, or of a run without
/// wires.
RunId chosen_run(const Arguments& arguments, const Project& project) {
    std::vector<std::string> names;
    const std::vector<Run>& runs = project.vehicle.runs;
    std::optional<std::size_t> empty;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const bool has_wires = !project.routing.run_wires[i].empty();
        if (runs[i].name == arguments.id && has_wires) {
            return RunId(i);
        }
        if (runs[i].name == arguments.id) {
            empty = i;
        }
        if (has_wires) {
            names.push_back(runs[i].name);
        }
    }
    if (names.empty()) {
        print_error("loomwright: the car has no run with wires\n");
        return {};
    }
    const auto near = nearest_word(arguments.id, names);
    const std::string what =
        arguments.id.empty() ? std::string("which run? name it: draw FILE --view section RUN")
        : empty              ? fmt::format("no wire lies in the run `{}`", printable(arguments.id))
                             : fmt::format("there is no run `{}`{}", printable(arguments.id),
                              near ? fmt::format("; did you mean `{}`?", printable(*near)) : "");
    print_error(fmt::format("loomwright: {}\n  the runs with wires are: {}\n", what,
                            printable(fmt::format("{}", fmt::join(names, ", ")))));
    return {};
}

/// The connector, or other device with a plug, to draw the faces of; complains of any other name.
DeviceId chosen_plug(const Arguments& arguments, const Vehicle& vehicle) {
    std::vector<std::string> names;
    for (const Device& device : vehicle.devices) {
        if (device.plug) {
            names.push_back(device.name);
        }
    }
    const DeviceId found = vehicle.find_device(arguments.id);
    if (found.is_valid() && vehicle.device(found).plug) {
        return found;
    }
    if (names.empty()) {
        print_error("loomwright: the car has no connector, and no device with a `plug`\n");
        return {};
    }
    const auto near = nearest_word(arguments.id, names);
    const std::string what =
        arguments.id.empty()
            ? std::string("which connector? name it: draw FILE --view connector X1")
        : found.is_valid()
            ? fmt::format("`{}` has no `plug`", printable(arguments.id))
            : fmt::format("there is no device `{}`{}", printable(arguments.id),
                          near ? fmt::format("; did you mean `{}`?", printable(*near)) : "");
    print_error(fmt::format("loomwright: {}\n  connectors and devices with a plug are: {}\n", what,
                            printable(fmt::format("{}", fmt::join(names, ", ")))));
    return {};
}

/// True when a branch is what the name means: itself, its wire or its device.
bool is_called(const StudyInput& study, int branch, const std::string& name) {
    const Branch& here = study.network.branches[static_cast<std::size_t>(branch)];
    return branch_name(study, branch) == name ||
           (!here.wire.is_valid() && study.vehicle.device(here.device).name == name);
}

/// Every way of a current that is not meant: in the states as they are, and with one thing opened.
std::vector<SneakWay> all_sneaks(const Project& project) {
    const StudyInput study = project.study();
    std::vector<SneakWay> out = state_sneaks(study, project.sizing);
    Progress bar("faults", bar_parts);
    const FaultSweep sweep =
        sweep_faults(study, project.sizing, [&bar](std::uint64_t done, std::uint64_t all) {
            bar.show(done * bar_parts / all);
        });
    const std::vector<SourceZone> zones = source_zones(project.vehicle, project.network, {});
    std::ranges::move(fault_sneaks({study, sweep, zones}), std::back_inserter(out));
    return out;
}

/// The sneak paths that opening the thing named opens, those that wake it with nothing open, or all
/// of them; nothing, with the exit status, after a complaint.
std::optional<std::string> draw_sneak_paths(const Arguments& arguments, const Project& project,
                                            DrawingFormat format, std::string& why_not,
                                            int& status) {
    const StudyInput study = project.study();
    std::vector<SneakWay> sneaks = all_sneaks(project);
    std::vector<std::string> names;
    for (const SneakWay& sneak : sneaks) {
        for (const int branch : sneak.opened) {
            names.push_back(branch_name(study, branch));
        }
        if (sneak.opened.empty()) {
            names.push_back(study.vehicle.device(sneak.device).name);
        }
    }
    if (!arguments.id.empty()) {
        std::erase_if(sneaks, [&](const SneakWay& sneak) {
            const bool is_woken =
                sneak.opened.empty() && study.vehicle.device(sneak.device).name == arguments.id;
            return !is_woken && std::ranges::none_of(sneak.opened, [&](int branch) {
                return is_called(study, branch, arguments.id);
            });
        });
    }
    if (!sneaks.empty()) {
        return draw_sneaks(study, sneaks, format, why_not);
    }
    status = bad_input;
    std::ranges::sort(names);
    names.erase(std::unique(names.begin(), names.end()), names.end());
    if (names.empty()) {
        print_error("loomwright: this car has no sneak path, as it is or with one thing open\n");
    } else {
        print_error(fmt::format("loomwright: `{}` open makes no sneak path, and none wakes it\n"
                                "  what does, or is woken: {}\n",
                                printable(arguments.id),
                                printable(fmt::format("{}", fmt::join(names, ", ")))));
    }
    return std::nullopt;
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
    if (!arguments.id.empty() && arguments.view != "curves" && arguments.view != "sneaks" &&
        arguments.view != "section" && arguments.view != "connector") {
        print_error(
            fmt::format("loomwright: the view {} takes no name, and `{}` is one\n"
                        "  remedy: --view curves draws one fuse, breaker or link, --view "
                        "sneaks what one thing opens, --view section one run, --view connector "
                        "one connector\n",
                        arguments.view, printable(arguments.id)));
        return bad_input;
    }
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    std::string why_not;
    const StudyInput study = project->study();
    std::optional<std::string> drawing;
    if (arguments.view == "drive") {
        const Drive* const drive = chosen_drive(arguments, *project);
        if (drive == nullptr) {
            return bad_input;
        }
        const DriveCourse course = drive_course(study, project->sizing.design, *drive);
        drawing = draw_chart(drive_chart(study, course), *format, why_not);
    } else if (arguments.view == "curves") {
        drawing = draw_curves(arguments, *project, *format, why_not, status);
        if (status == bad_input) {
            return status;
        }
    } else if (arguments.view == "sneaks") {
        drawing = draw_sneak_paths(arguments, *project, *format, why_not, status);
        if (status == bad_input) {
            return status;
        }
    } else if (arguments.view == "section") {
        const RunId run = chosen_run(arguments, *project);
        if (!run.is_valid()) {
            return bad_input;
        }
        drawing = draw_section(study, project->sizing, run, *format, why_not);
    } else if (arguments.view == "connector") {
        const DeviceId plug = chosen_plug(arguments, project->vehicle);
        if (!plug.is_valid()) {
            return bad_input;
        }
        drawing = draw_mating_view(study, project->sizing, plug, *format, why_not);
    } else {
        drawing = draw_feeds(study, project->sizing, *format, why_not);
    }
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
    const auto pack = make_pack(project->study(), project->sizing, project->findings,
                                paper.value_or(Paper::a4), why_not);
    const auto workbook =
        pack ? workbook_bytes(pack->tables, project->vehicle.title, why_not) : std::nullopt;
    if (!workbook) {
        print_error(fmt::format("loomwright: the pack could not be made: {}\n", why_not));
        return machine_failed;
    }
    std::vector<OutputFile> outputs;
    for (const PackFile& file : pack->files) {
        outputs.push_back(
            {(std::filesystem::path(arguments.output) / file.name).string(), file.bytes});
    }
    outputs.push_back(
        {(std::filesystem::path(arguments.output) / "tables.xlsx").string(), *workbook});
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

/// All tables of the pack in one workbook.
static int export_workbook(const Arguments& arguments, Project& project) {
    size_project(project);
    std::string why_not;
    const auto bytes = workbook_bytes(pack_tables(project.study(), project.sizing),
                                      project.vehicle.title, why_not);
    if (!bytes) {
        print_error(fmt::format("loomwright: the workbook could not be made: {}\n", why_not));
        return machine_failed;
    }
    return deliver(arguments, *bytes);
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
    if (arguments.format == "xlsx") {
        return export_workbook(arguments, *project);
    }
    solve_project(*project, arguments.states);
    if (arguments.format == "json") {
        return deliver(arguments, solve_json(study, project->sizing.states));
    }
    return export_decks(arguments, *project);
}

} // namespace loomwright::cli
