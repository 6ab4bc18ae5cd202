// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/settled_state.hpp"
#include "study/spread_plan.hpp"

#include <cstdint>
#include <memory>
#include <vector>

namespace loomwright {

/// How near the nominal car's relays and loads came to standing otherwise, on their way to rest.
struct RestPath {
    bool is_straight = false; ///< false: every sample is settled from rest
    /// Least distance of a coil's or feed's voltage from its threshold, over itself.
    double least_share = 0.0;
};

/// What all samples of a state start from. Const once made: all threads share it.
struct SpreadNominal : SettledState {
    SpreadNominal(const StudyPlan& study_plan, const SpreadTable& table, StateId which);

    SpreadPlan draws;
    bool is_solved = false;       ///< and no wire runs away
    std::vector<double> volts;    ///< by node
    std::vector<double> decisive; ///< by trigger: the voltage it stands by
    RestPath path;
};

/// Solves one sample after another of a state. Each starts from the nominal answer, never from the
/// sample before, so that it does not matter which sampler takes which.
class SpreadSampler {
public:
    explicit SpreadSampler(const SpreadNominal& nominal);

    /// The nominal car, by the way the samples go.
    [[nodiscard]] StateSolution nominal();
    /// Sample number `index` of a seed.
    [[nodiscard]] StateSolution sample(std::uint64_t seed, std::uint64_t index);
    /// The same, settled from rest by the whole model in any case.
    [[nodiscard]] StateSolution sample_from_rest(std::uint64_t seed, std::uint64_t index);
    /// So many samples were settled from rest by the whole model.
    [[nodiscard]] std::uint64_t from_rest_count() const { return from_rest_count_; }

private:
    [[nodiscard]] StateSolution solve();
    [[nodiscard]] bool settle_near(Settled& out);
    [[nodiscard]] bool update_heat(const solve::OperatingPoint& point);
    [[nodiscard]] bool turn_by_sign(const solve::OperatingPoint& point);
    [[nodiscard]] bool stands(const solve::OperatingPoint& point) const;
    [[nodiscard]] StateSolution solve_from_rest();

    const SpreadNominal& nominal_;
    StateCircuit circuit_;
    solve::Solver near_;
    SolverChain from_rest_;
    WireHeat heat_;                    ///< of the sample
    std::vector<double> heating_amps_; ///< scratch, by branch
    std::uint64_t from_rest_count_ = 0;
};

} // namespace loomwright
