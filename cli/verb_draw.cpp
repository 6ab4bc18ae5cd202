// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The verb that draws.
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "draw/circuit_drawing.hpp"
#include "draw/curves_plot.hpp"
#include "draw/drive_chart.hpp"
#include "draw/feeds.hpp"
#include "draw/loom_drawing.hpp"
#include "draw/loom_plan.hpp"
#include "draw/loom_tiles.hpp"
#include "draw/mating_view.hpp"
#include "draw/section_drawing.hpp"
#include "draw/sneak_drawing.hpp"
#include "page/pack.hpp"
#include "study/branch_names.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <filesystem>
#include <iterator>

namespace loomwright::cli {
namespace {

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
            ? fmt::format("`{}` is {}, which has no time-current curve", printable(arguments.id),
                          with_article(vehicle.device(found).word))
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

std::optional<std::string> draw_faces(const Arguments& arguments, const Project& project,
                                      DrawingFormat format, std::string& why_not, int& status) {
    const DeviceId plug = chosen_plug(arguments, project.vehicle);
    if (!plug.is_valid()) {
        status = bad_input;
        return std::nullopt;
    }
    return draw_mating_view(project.study(), project.sizing, plug, format, why_not);
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

/// "2400x1200": the board, mm; the usual one where none is given. Complains of anything else.
std::optional<draw::BoardSize> chosen_board(const Arguments& arguments) {
    draw::BoardSize board;
    if (arguments.board.empty()) {
        return board;
    }
    constexpr double least = 200.0;
    constexpr double most = 50000.0;
    const char* const end = arguments.board.data() + arguments.board.size();
    const auto width = std::from_chars(arguments.board.data(), end, board.width);
    const bool has_cross = width.ec == std::errc() && width.ptr != end && *width.ptr == 'x';
    const auto height = has_cross ? std::from_chars(width.ptr + 1, end, board.height) : width;
    const auto is_good = [](double side) { return side >= least && side <= most; };
    if (has_cross && height.ec == std::errc() && height.ptr == end && is_good(board.width) &&
        is_good(board.height)) {
        return board;
    }
    print_error(
        fmt::format("loomwright: `{}` is no size of a board\n  remedy: give width and height "
                    "in mm, {:.0f} to {:.0f} each, as in --board 2400x1200\n",
                    printable(arguments.board), least, most));
    return std::nullopt;
}

/// The sheet of paper that --paper names.
const draw::PaperSheet& chosen_paper(const Arguments& arguments) {
    return paper_named(arguments.paper) == Paper::letter ? draw::letter_sheet : draw::a4_sheet;
}

std::optional<std::string> draw_the_loom(const Arguments& arguments, const Project& project,
                                         DrawingFormat format, std::string& why_not, int& status) {
    const auto board = chosen_board(arguments);
    const StudyInput study = project.study();
    if (board && draw::laced_runs(study).empty()) {
        print_error(
            "loomwright: no new wire lies in any run of the car: there is no loom to draw\n");
    }
    if (!board || draw::laced_runs(study).empty()) {
        status = bad_input;
        return std::nullopt;
    }
    return arguments.full_size
               ? draw_loom_tiles(study, project.sizing, chosen_paper(arguments), *board, why_not)
               : draw_loom(study, project.sizing, *board, format, why_not);
}

/// The circuit of this number or name; complains and gives none of any other.
CircuitId chosen_circuit(const Arguments& arguments, const Vehicle& vehicle) {
    std::vector<std::string> words; // what was typed may be near to a number or a name
    std::vector<std::string> list;
    CircuitId by_name;
    for (std::size_t i = 0; i < vehicle.circuits.size(); ++i) {
        const Circuit& circuit = vehicle.circuits[i];
        if (circuit.number == arguments.id) {
            return CircuitId(i);
        }
        if (circuit.name == arguments.id && !by_name.is_valid()) {
            by_name = CircuitId(i);
        }
        words.push_back(circuit.number);
        words.push_back(circuit.name);
        list.push_back(fmt::format("{} {}", circuit.number, circuit.name));
    }
    if (by_name.is_valid()) {
        return by_name;
    }
    if (list.empty()) {
        print_error("loomwright: the car has no circuit\n");
        return {};
    }
    const auto near = nearest_word(arguments.id, words);
    const std::string what =
        arguments.id.empty()
            ? std::string("which circuit? name it: draw FILE --view circuit 12")
            : fmt::format("there is no circuit `{}`{}", printable(arguments.id),
                          near ? fmt::format("; did you mean `{}`?", printable(*near)) : "");
    print_error(fmt::format("loomwright: {}\n  the circuits are: {}\n", what,
                            printable(fmt::format("{}", fmt::join(list, ", ")))));
    return {};
}

std::optional<std::string> draw_one_circuit(const Arguments& arguments, const Project& project,
                                            DrawingFormat format, std::string& why_not,
                                            int& status) {
    const CircuitId circuit = chosen_circuit(arguments, project.vehicle);
    if (!circuit.is_valid()) {
        status = bad_input;
        return std::nullopt;
    }
    return draw_circuit(project.study(), project.sizing, circuit, chosen_paper(arguments), format,
                        why_not);
}

std::optional<std::string> draw_section_of_run(const Arguments& arguments, const Project& project,
                                               DrawingFormat format, std::string& why_not,
                                               int& status) {
    const RunId run = chosen_run(arguments, project);
    if (!run.is_valid()) {
        status = bad_input;
        return std::nullopt;
    }
    return draw_section(project.study(), project.sizing, run, format, why_not);
}

std::optional<std::string> draw_a_drive(const Arguments& arguments, const Project& project,
                                        DrawingFormat format, std::string& why_not, int& status) {
    const Drive* const drive = chosen_drive(arguments, project);
    if (drive == nullptr) {
        status = bad_input;
        return std::nullopt;
    }
    const StudyInput study = project.study();
    const DriveCourse course = drive_course(study, project.sizing.design, *drive);
    return draw_chart(drive_chart(study, course), format, why_not);
}

std::optional<std::string> draw_all_feeds(const Arguments& /*arguments*/, const Project& project,
                                          DrawingFormat format, std::string& why_not,
                                          int& /*status*/) {
    return draw_feeds(project.study(), project.sizing, format, why_not);
}

/// A view draws, or complains and sets the exit status.
struct View {
    std::string_view name;
    bool takes_name = false;
    std::optional<std::string> (*draw)(const Arguments&, const Project&, DrawingFormat,
                                       std::string& why_not, int& status) = nullptr;
};
constexpr std::array views = {
    View{"feeds", false, draw_all_feeds},       View{"loom", false, draw_the_loom},
    View{"circuit", true, draw_one_circuit},    View{"drive", false, draw_a_drive},
    View{"curves", true, draw_curves},          View{"sneaks", true, draw_sneak_paths},
    View{"section", true, draw_section_of_run}, View{"connector", true, draw_faces}};

/// True, after a complaint, when the options do not go together.
bool complain_of_options(const Arguments& arguments, const View& view, DrawingFormat format) {
    if (!arguments.id.empty() && !view.takes_name) {
        print_error(fmt::format("loomwright: the view {} takes no name, and `{}` is one\n"
                                "  remedy: --view curves draws one fuse, breaker or link, --view "
                                "sneaks what one thing opens, --view section one run, --view "
                                "circuit one circuit, --view connector one connector\n",
                                view.name, printable(arguments.id)));
        return true;
    }
    const bool is_loom = view.name == "loom";
    if (!is_loom && (arguments.full_size || !arguments.board.empty())) {
        print_error("loomwright: --full-size and --board are of the loom\n"
                    "  remedy: --view loom\n");
        return true;
    }
    if (arguments.full_size && format != DrawingFormat::pdf) {
        print_error("loomwright: the loom at full size is a document of many pages\n"
                    "  remedy: end the name of -o in .pdf, or give --format pdf\n");
        return true;
    }
    return false;
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
    const auto* const view = std::ranges::find(views, arguments.view, &View::name);
    if (view == views.end() || complain_of_options(arguments, *view, *format)) {
        return bad_input;
    }
    int status = clean;
    Project* const project = sized_project(arguments, status);
    if (project == nullptr) {
        return status;
    }
    std::string why_not;
    auto drawing = view->draw(arguments, *project, *format, why_not, status);
    if (status == bad_input) {
        return status;
    }
    if (!drawing) {
        print_error(
            fmt::format("loomwright: the drawing could not be made: {}\n", printable(why_not)));
        return machine_failed;
    }
    return deliver_bytes(arguments, std::move(*drawing));
}

} // namespace loomwright::cli
