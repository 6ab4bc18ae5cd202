// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_search.hpp"
#include "study/measure_sets.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Single joints that make a relay, a controller or a load stand otherwise, fitted to the readings:
/// see measure_relays.cpp. `alone` are fits of single suspects in a response.
[[nodiscard]] std::vector<TrueFit> joints_that_turn(const TrueFitter& fitter,
                                                    std::span<const ChangedState> predicted,
                                                    const Response& response,
                                                    const std::vector<SuspectClass>& classes,
                                                    const std::vector<SetFit>& alone);

} // namespace loomwright
