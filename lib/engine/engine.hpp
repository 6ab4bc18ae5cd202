// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/finding.hpp"
#include "sizing/sizing.hpp"

#include <memory>
#include <string>

namespace loomwright {

/// One vehicle on its way through the house: what was read, and what has been computed so far.
/// Results point into each other, so it stays where it was made.
struct Project {
    SourceFiles files;
    Findings findings; ///< input faults first; then those of the checks
    Catalogue catalogue;
    Vehicle vehicle;
    Routing routing;
    Network network;
    Sizing sizing;
    bool is_sized = false;

    [[nodiscard]] StudyInput study() const { return {vehicle, catalogue, routing, network}; }
};

/// Reads a vehicle file and its includes. The answer always comes back: with input faults in
/// `findings` it must not be computed with.
[[nodiscard]] std::unique_ptr<Project> load_project(const std::string& path);
/// Routes, sizes and solves. Needs a project without input faults.
void size_project(Project& project);
/// Runs every check on a sized project.
void check_project(Project& project);

} // namespace loomwright
