// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "engine/engine.hpp"

#include "base/side_by_side.hpp"
#include "checks/fault_dangers.hpp"
#include "sizing/choose_colours.hpp"
#include "yaml/piece_shelf.hpp"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

namespace loomwright {

namespace {

/// Where the wires lie and what they join: neither asks the other.
void route_and_connect(Project& project) {
    const auto step = [&](std::size_t number) {
        if (number == 0) {
            project.routing = route_wires(project.vehicle, project.catalogue, project.findings);
        } else {
            project.network = build_network(project.vehicle);
        }
    };
    if (project.vehicle.wires.size() >= rows_worth_a_thread) {
        side_by_side(1, step);
    } else {
        step(0);
        step(1);
    }
}

void read_project(Project& project, const std::string& file_name, const std::string& text,
                  const IncludeReader& include, PieceShelf* shelf) {
    project.vehicle = read_vehicle(file_name, text, project.catalogue, include, project.files,
                                   project.findings, shelf);
    project.catalogue.take_curves(project.vehicle);
    if (!project.findings.has_input_fault()) {
        route_and_connect(project);
    }
    project.findings.sort();
}

} // namespace

BuiltInTables load_tables() {
    BuiltInTables tables;
    tables.catalogue = load_catalogue(tables.files, tables.findings);
    return tables;
}

SharedByCars::SharedByCars()
    : tables(load_tables()), pieces(std::make_shared<PieceShelf>()),
      shelves(std::make_shared<Shelves>()) {}

std::unique_ptr<Project> load_project(const std::string& file_name, const std::string& text,
                                      const IncludeReader& include) {
    auto project = std::make_unique<Project>();
    project->catalogue = load_catalogue(project->files, project->findings);
    read_project(*project, file_name, text, include, nullptr);
    return project;
}

std::unique_ptr<Project> load_project(SharedByCars& shared, const std::string& file_name,
                                      const std::string& text, const IncludeReader& include) {
    auto project = std::make_unique<Project>();
    project->files = shared.tables.files;
    project->findings = shared.tables.findings;
    project->catalogue = shared.tables.catalogue;
    project->shelves = shared.shelves;
    read_project(*project, file_name, text, include, shared.pieces.get());
    return project;
}

void size_project(Project& project) {
    if (project.is_sized || project.findings.has_input_fault()) {
        return;
    }
    project.sizing = size_vehicle(project.study(), project.findings);
    for (const ColourChoice& choice : choose_colours(project.study(), project.sizing.design)) {
        project.vehicle.wires[choice.wire.index()].colour = choice.colour;
    }
    project.is_sized = true;
}

void solve_project(Project& project, std::span<const std::string> wanted) {
    if (project.is_sized || project.findings.has_input_fault()) {
        return;
    }
    const StudyInput study = project.study();
    std::optional<Design> design = design_as_written(study);
    std::vector<StateId> states;
    for (const std::string& name : wanted) {
        states.push_back(project.vehicle.find_state(name));
    }
    const auto is_known = [](StateId id) { return id.is_valid(); };
    if (!design || !std::ranges::all_of(states, is_known)) {
        size_project(project);
        return;
    }
    project.sizing.design = std::move(*design);
    if (states.empty()) {
        project.sizing.states = solve_states(study, project.sizing.design);
        return;
    }
    for (const StateId id : states) {
        project.sizing.states.push_back(solve_state(study, project.sizing.design, id));
    }
}

void check_project(Project& project) {
    if (!project.is_sized) {
        return;
    }
    const StudyInput study = project.study();
    check_vehicle({study, project.sizing}, project.findings);
}

void check_project_with_faults(Project& project,
                               std::function<void(std::uint64_t, std::uint64_t)> progress) {
    if (!project.is_sized) {
        return;
    }
    const StudyInput study = project.study();
    project.faults = sweep_faults(study, project.sizing, std::move(progress));
    check_vehicle(project.checked(study), project.findings);
}

} // namespace loomwright
