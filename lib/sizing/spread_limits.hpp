// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "network/design.hpp"
#include "study/spread.hpp"

#include <vector>

namespace loomwright {

/// The limits that the checks hold a state against, for its samples: drops of the loads that work
/// in the nominal car, controllers that must stay awake, relays, what the state expects, and, but
/// while cranking, the wires' insulation. In the order of the file within each kind.
///
/// A nominal car without an answer has no loads that work, and no relays to stand as in it: a
/// sample that has one may stand in for the loads (`is_nominal` false); relays are left out then.
[[nodiscard]] std::vector<SpreadLimit> spread_limits(const StudyInput& input, const Design& design,
                                                     const StateSolution& nominal,
                                                     bool is_nominal = true);

/// What people read first: the voltage of every load that works in the nominal car, and what each
/// limit is held against.
[[nodiscard]] std::vector<SpreadFigure> judged_figures(const StudyInput& input,
                                                       const StateSolution& nominal,
                                                       const std::vector<SpreadLimit>& limits);
/// Current, drop and temperature of every wire, voltage and current of every device that is an
/// element between terminals, and what each limit is held against.
[[nodiscard]] std::vector<SpreadFigure> all_figures(const StudyInput& input,
                                                    const std::vector<SpreadLimit>& limits);

} // namespace loomwright
