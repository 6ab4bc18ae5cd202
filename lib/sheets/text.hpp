// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/proof.hpp"
#include "sheets/sheet.hpp"
#include "sizing/sizing.hpp"

#include <span>
#include <string>
#include <vector>

namespace loomwright {

// What the verbs answer to people.

/// Wires as sized: wire, size, length, amps, ampacity, drop, decided by.
[[nodiscard]] Sheet wire_sizes_sheet(const StudyInput& study, const Sizing& sizing);
/// Protective devices: rating, load, what they protect, the thinnest wire, decided by.
[[nodiscard]] Sheet fuse_sizes_sheet(const StudyInput& study, const Sizing& sizing);
/// `size`: both tables, then why each was decided, then the copper.
[[nodiscard]] std::string size_text(const StudyInput& study, const Sizing& sizing,
                                    TextWidth width = {});

[[nodiscard]] Sheet node_volts_sheet(const StudyInput& study, const StateSolution& solution);
[[nodiscard]] Sheet wire_amps_sheet(const StudyInput& study, const StateSolution& solution);
[[nodiscard]] Sheet device_states_sheet(const StudyInput& study, const StateSolution& solution);
/// `solve`: for each state the devices, wires and nodes, and the figures that prove the answer.
[[nodiscard]] std::string solve_text(const StudyInput& study, std::span<const StateSolution> states,
                                     TextWidth width = {});

/// `tables NAME`: a built-in table with its source, edition and range.
[[nodiscard]] std::string table_text(const TableView& view, TextWidth width = {});

/// `explain`: formulas with the numbers put in, answers and sources.
[[nodiscard]] std::string proof_text(std::span<const ProofSection> sections, TextWidth width = {});

} // namespace loomwright
