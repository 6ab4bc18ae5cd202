// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/choose_wires.hpp"

namespace loomwright {

/// Fills `wires`, what each fuse protects, and the mass of copper, from the settled design.
void describe_sizing(const StudyInput& input, WirePlaces& places,
                     const std::vector<WireChoice>& choices, Sizing& sizing);

/// One finding for each `auto` wire that no size of its standard can be.
void report_wires_not_found(const StudyInput& input, const std::vector<WireChoice>& choices,
                            const Sizing& sizing, Findings& findings);

} // namespace loomwright
