// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sheets/part_counter.hpp"

namespace loomwright {

/// Adds what joins the wires that are cut: a terminal for each crimp, a barrel for each splice, a
/// seal for each wire and a plug for each empty cavity of a sealed housing, the housings that have
/// a part number. Old wiring has its own.
void count_joint_parts(PartCounter& counter, const StudyInput& study, const Sizing& sizing);

} // namespace loomwright
