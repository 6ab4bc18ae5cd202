// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_sets.hpp"

#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// The two places and the state where what is not told apart differs most; nothing when all
/// culprits are told, or no reading would tell. `fits` has, by culprit, the set that each of its
/// suspects stands in.
[[nodiscard]] std::optional<NextReading>
next_reading(const MeasuredCar& car, std::span<const Culprit> culprits,
             const std::vector<std::vector<TrueFit>>& fits);

} // namespace loomwright
