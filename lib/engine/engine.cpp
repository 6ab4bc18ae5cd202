// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "engine/engine.hpp"

#include <utility>

namespace loomwright {

std::unique_ptr<Project> load_project(const std::string& file_name, std::string text,
                                      const IncludeReader& include) {
    auto project = std::make_unique<Project>();
    project->catalogue = load_catalogue(project->files, project->findings);
    project->vehicle = read_vehicle(file_name, text, project->catalogue, include, project->files,
                                    project->findings);
    if (!project->findings.has_input_fault()) {
        project->routing = route_wires(project->vehicle, project->catalogue, project->findings);
    }
    if (!project->findings.has_input_fault()) {
        project->network = build_network(project->vehicle);
    }
    project->findings.sort();
    return project;
}

void size_project(Project& project) {
    if (project.is_sized || project.findings.has_input_fault()) {
        return;
    }
    project.sizing = size_vehicle(project.study(), project.findings);
    project.is_sized = true;
}

void check_project(Project& project) {
    if (!project.is_sized) {
        return;
    }
    const StudyInput study = project.study();
    check_vehicle({study, project.sizing}, project.findings);
}

} // namespace loomwright
