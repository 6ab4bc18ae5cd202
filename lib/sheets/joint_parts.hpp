// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/part_counter.hpp"
#include "sizing/fittings.hpp"

namespace loomwright {

/// What the drain wire of a screen is crimped into at its terminal. It is no wire of the file: its
/// area is that of the tables.
[[nodiscard]] Crimp drain_crimp(const StudyInput& study, TerminalRef at);

/// True for a wire that is cut; old wiring stays, with what is on its ends.
[[nodiscard]] bool has_cut_wire(const Vehicle& vehicle, const Crimp& crimp);
/// True for a screen that is made: one of its wires is cut.
[[nodiscard]] bool has_cut_wire(const Vehicle& vehicle, const Shield& shield);

/// Adds what joins the wires that are cut: a terminal for each crimp and each drain of a screen, a
/// barrel for each splice, a seal for each wire and a plug for each empty cavity of a sealed
/// housing, the housings that have a part number. Old wiring has its own.
void count_joint_parts(PartCounter& counter, const StudyInput& study, const Sizing& sizing);

} // namespace loomwright
