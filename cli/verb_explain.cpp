// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "terminal.hpp"
#include "verbs.hpp"

#include "base/spelling.hpp"
#include "checks/explain.hpp"
#include "sheets/json.hpp"
#include "sheets/text.hpp"

#include <fmt/format.h>

namespace loomwright::cli {

int run_explain(const Arguments& arguments) {
    int status = clean;
    Project* const project = sized_project(arguments, status);
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

} // namespace loomwright::cli
