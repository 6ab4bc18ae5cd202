// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/finding.hpp"
#include "read/read.hpp"
#include "sizing/sizing.hpp"
#include "study/faults.hpp"
#include "study/shelves.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
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
    std::optional<FaultSweep> faults; ///< of the checks that sweep; else nothing
    std::shared_ptr<Shelves> shelves = std::make_shared<Shelves>(); ///< or those of several cars

    [[nodiscard]] StudyInput study() const {
        return {vehicle, catalogue, routing, network, shelves.get()};
    }
    /// What the checks see of it; `input` must outlive that.
    [[nodiscard]] CheckInput checked(const StudyInput& input) const {
        return {input, sizing, faults ? &*faults : nullptr};
    }
};

/// The built-in tables with their texts: read once by a program that reads many vehicles.
struct BuiltInTables {
    SourceFiles files;
    Findings findings; ///< none, unless the program was built from tables with faults
    Catalogue catalogue;
};
[[nodiscard]] BuiltInTables load_tables();

/// What cars that are alike (variants of one, or one after each change of its file) need not do
/// again each. What a car's answer is never goes by what others left here. Several threads may
/// share it.
struct SharedByCars {
    SharedByCars();

    BuiltInTables tables;
    std::shared_ptr<PieceShelf> pieces;
    std::shared_ptr<Shelves> shelves;
};

/// Reads a vehicle from its text and routes its wires; `include` gives the texts of parts files.
/// The answer always comes back: with input faults in `findings` it must not be computed with.
[[nodiscard]] std::unique_ptr<Project>
load_project(const std::string& file_name, const std::string& text, const IncludeReader& include);
[[nodiscard]] std::unique_ptr<Project> load_project(SharedByCars& shared,
                                                    const std::string& file_name,
                                                    const std::string& text,
                                                    const IncludeReader& include);

/// Sizes and solves. Does nothing on a project with input faults.
void size_project(Project& project);

/// Solves the states named (all of them when none is) into `project.sizing.states`. Where every
/// size and rating is written nothing else is computed; else, or with a name that is no state's,
/// the whole car is sized. Does nothing on a project with input faults.
void solve_project(Project& project, std::span<const std::string> wanted);

/// Runs every check on a sized project and sorts the findings.
void check_project(Project& project);
/// The same, and a sweep of faults in every state that has an operating point; `progress` as in
/// FaultOrder.
void check_project_with_faults(Project& project,
                               std::function<void(std::uint64_t, std::uint64_t)> progress);

} // namespace loomwright
