// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_sets.hpp"

#include <optional>
#include <span>
#include <vector>

namespace loomwright {

/// A set that explains the readings as well, and which of its members stands for the culprit.
struct Alternative {
    const TrueFit* fit = nullptr;
    std::size_t member = 0;
};

/// The two places and the state where what is not told apart differs most; nothing when all
/// culprits are told, or no reading would tell.
[[nodiscard]] std::optional<NextReading>
next_reading(const MeasuredCar& car, const TrueFitter& fitter, const std::vector<Suspect>& suspects,
             const TrueFit& best, std::span<const Culprit> culprits,
             const std::vector<std::vector<Alternative>>& alternatives);

} // namespace loomwright
