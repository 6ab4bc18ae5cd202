// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "sizing/sizing.hpp"

#include <optional>

namespace loomwright {

/// More than the last bits of two sums make: of states that ask the same the first of the file is
/// named, whatever the solver's rounding.
[[nodiscard]] inline bool is_clearly_more(double a, double b) {
    constexpr double rounding = 1e-9;
    return a > b * (1.0 + rounding);
}

/// Solves every state as it is, and those with a load at part level once more with it at full.
class StateSolver {
public:
    explicit StateSolver(const StudyInput& input);
    /// Fills `states`, `full_demand` and `full_index` from the design.
    void solve(Sizing& sizing);

private:
    StateStudy study_;
    std::optional<Vehicle> full_vehicle_; ///< the same car with every part level at full
    std::optional<StudyInput> full_input_;
    std::optional<StateStudy> full_study_;
    std::vector<StateId> part_level_;
};

/// The solutions the states are judged by, in the order of the file.
[[nodiscard]] std::vector<const StateSolution*> judged_states(const Sizing& sizing);
/// False where none of them has an operating point: then no current and no drop is known.
[[nodiscard]] bool has_answer(const Sizing& sizing);
/// True while the engine is cranked in it.
[[nodiscard]] bool is_cranking(const Vehicle& vehicle, StateId state);

/// The drops of every working load in every judged state, by state, then in the order of the file,
/// solenoids of starters last.
[[nodiscard]] std::vector<LoadDrop> load_drops(const StudyInput& input, const Sizing& sizing);
/// Those of one solution, one for each of its `path_drops`.
[[nodiscard]] std::vector<LoadDrop> load_drops(const StudyInput& input,
                                               const StateSolution& solution);
/// False in a cranking state for all but the starter: the limits are meant for a running car, what
/// controllers are left with while cranking is a matter of the rule crank-voltage. Of the way to
/// its solenoid only where that is of class starter-control: no other limit is meant for it.
[[nodiscard]] bool is_drop_judged(const Vehicle& vehicle, const LoadDrop& drop);
/// What a path leads to, as people read it: "E1"; "M1.50" for the solenoid of a starter.
[[nodiscard]] std::string path_end(const Vehicle& vehicle, const LoadDrop& drop);

/// Largest current of each wire that counts for long (not cranking), and while cranking.
struct WireLoads {
    std::vector<double> steady_a;
    std::vector<StateId> steady_state;
    std::vector<double> cranking_a;
    std::vector<StateId> cranking_state;
};
[[nodiscard]] WireLoads wire_loads(const StudyInput& input,
                                   const std::vector<const StateSolution*>& states);

} // namespace loomwright
