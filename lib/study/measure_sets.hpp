// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_fit.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Chi-square of one degree that chance passes in 5 % of cases: sets nearer than that to the best
/// are not told apart from it.
constexpr double told_apart = 3.841458820694124;

/// A set of suspects fitted in the network itself, with the states as it makes them.
struct TrueFit {
    bool is_solved = false;
    SetFit fit;
    std::vector<double> left; ///< by row: shown less what the set makes of it, V
    double chi_square = 0.0;
    std::vector<ChangedState> states;
};

/// Fits sets in the true network, by one response after another.
class TrueFitter {
public:
    /// All of it outlives this. `predicted` are the states without changes.
    TrueFitter(const MeasuredCar& car, std::span<const ChangedState> predicted,
               const Comparison& comparison, const std::vector<Suspect>& suspects)
        : car_(car), predicted_(predicted), comparison_(comparison), suspects_(suspects) {}

    /// From the values of a fit in a response.
    [[nodiscard]] TrueFit refine(const SetFit& start) const;
    /// Gives the members that may be open the least resistance that does as well.
    void find_least(TrueFit& fit) const;
    /// The states and what is left of the readings with a set at given values.
    [[nodiscard]] TrueFit at_values(std::span<const std::size_t> set,
                                    std::span<const double> values) const;

private:
    [[nodiscard]] std::vector<Change> changes(std::span<const std::size_t> set,
                                              std::span<const double> values) const;
    [[nodiscard]] double nominal_v() const { return car_.plan().input.vehicle.nominal.value(); }

    const MeasuredCar& car_;
    std::span<const ChangedState> predicted_;
    const Comparison& comparison_;
    const std::vector<Suspect>& suspects_;
};

} // namespace loomwright
