// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_compare.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// What suspects do to the readings and to each other's current, in the tangents of all states:
/// equations in measure_response.cpp.
struct Response {
    struct State {
        std::vector<double> amps;     ///< by suspect: through it; 0 where it is not in the circuit
        std::vector<double> coupling; ///< [of, by]: A through one for each unit of drive of another
        std::vector<double> effect;   ///< [suspect, row]: whitened readings for each unit of drive
    };
    std::vector<Suspect> suspects;
    std::size_t rows = 0;
    std::vector<State> states;
    std::vector<double> most_amps; ///< by suspect: through it, of all states

    [[nodiscard]] std::span<const double> effect(std::size_t state, std::size_t suspect) const {
        return std::span(states[state].effect).subspan(suspect * rows, rows);
    }
};

/// The response to some suspects round states as they stand.
[[nodiscard]] Response respond(const MeasuredCar& car, std::span<const ChangedState> states,
                               const Comparison& comparison, std::vector<Suspect> suspects);

/// A suspect whose whole effect is less than this many deviations of all readings together can be
/// neither found nor cleared.
inline constexpr double least_effect = 1.0;

/// Everything in the car that some reading can tell of, in the order of the branches; the readings
/// themselves last.
struct FoundSuspects {
    std::vector<Suspect> all;
    /// By suspect: relays, controllers and loads (triggers) that stand otherwise when it opens, as
    /// far as the tangents tell. Of joints alone.
    std::vector<std::vector<int>> turns;
    bool is_whole = true; ///< false: there were too many to weigh
};
[[nodiscard]] FoundSuspects find_suspects(const MeasuredCar& car,
                                          std::span<const ChangedState> states,
                                          const Comparison& comparison);

} // namespace loomwright
