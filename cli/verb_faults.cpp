// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// faults: every conductor shorted to metal, every one opened, in every state.
#include "progress.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "sheets/fault_sheets.hpp"
#include "sizing/opening_curves.hpp"

#include <fmt/format.h>

#include <optional>

namespace loomwright::cli {
namespace {

/// The wires asked for; false, and told of, with a number that is none.
bool choose_wires(const Arguments& arguments, const Vehicle& vehicle, FaultOrder& order) {
    for (const std::string& wanted : arguments.wires) {
        const WireId wire = vehicle.find_wire(wanted);
        if (!wire.is_valid()) {
            std::vector<std::string> numbers;
            for (const Wire& known : vehicle.wires) {
                numbers.push_back(known.number);
            }
            const auto near = nearest_word(wanted, numbers);
            print_error(
                fmt::format("loomwright: there is no wire `{}`{}\n", printable(wanted),
                            near ? fmt::format("; did you mean `{}`?", printable(*near)) : ""));
            return false;
        }
        order.wires.push_back(wire);
    }
    return true;
}

/// With a bar, which is gone before the answer is printed.
FaultSweep swept(const FaultStudy& study, FaultOrder order) {
    Progress bar("faults", bar_parts);
    order.progress = [&bar](std::uint64_t done, std::uint64_t all) {
        bar.show(done * bar_parts / all);
    };
    return study.sweep(order);
}

} // namespace

int run_faults(const Arguments& arguments) {
    if (arguments.json && arguments.csv) {
        print_error("loomwright: give --json or --csv, not both\n");
        return bad_input;
    }
    int status = clean;
    std::vector<StateSolution> chosen;
    Project* const project = solved_project(arguments, chosen, status);
    if (project == nullptr) {
        return status;
    }
    const StudyInput study = project->study();
    const Design& design = project->sizing.design;
    FaultOrder order;
    if (!choose_wires(arguments, project->vehicle, order)) {
        return bad_input;
    }
    std::vector<StateId> states;
    states.reserve(chosen.size());
    for (const StateSolution& solution : chosen) {
        states.push_back(solution.state);
    }
    order.curves = opening_curves(study, design);
    const FaultSweep sweep = swept(FaultStudy(study, design, states), std::move(order));
    const std::vector<SourceZone> zones = source_zones(project->vehicle, project->network, {});
    const FaultAnswer answer{study, sweep, zones};
    status = deliver(arguments, arguments.json  ? faults_json(answer)
                                : arguments.csv ? faults_csv(answer)
                                                : faults_text(answer, terminal_width()));
    if (status != clean) {
        return status;
    }
    for (const StateSolution& solution : chosen) {
        if (!solution.converged) {
            complain_of_no_answer(*project, solution);
        }
    }
    return has_fault_danger(answer) ? found : clean;
}

} // namespace loomwright::cli
