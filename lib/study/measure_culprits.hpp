// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_search.hpp"
#include "study/measure_sets.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Names the culprits of the best of some sets of one size, what can stand in for each, how sure
/// each is, the next best sets and the reading to take next. `fits` are sorted, the best first.
void name_culprits(const MeasuredCar& car, std::span<const ChangedState> predicted,
                   const Comparison& comparison, const std::vector<Suspect>& suspects,
                   const std::vector<SuspectClass>& classes, const std::vector<TrueFit>& fits,
                   MeasureAnswer& answer);

} // namespace loomwright
