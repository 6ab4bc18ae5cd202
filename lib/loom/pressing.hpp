// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <span>
#include <vector>

namespace loomwright::packing {

/// Circles in a round elastic hose that presses them together: `radii` of discs that resist being
/// pressed into one another, and their places x0, y0, x1, y1, ... with the hose's radius last.
/// Everything in one unit of length of the order of the hose.
class Pressing {
public:
    explicit Pressing(std::span<const double> radii);

    /// Takes `places` to rest under a pressure (discs overlap by about that much), in at most
    /// `most_steps`. Gives the energy over the pressure: the hose's radius that the discs would
    /// have at no pressure, about.
    double press(std::vector<double>& places, double pressure, int most_steps);

private:
    struct Pair {
        std::size_t a = 0;
        std::size_t b = 0;
    };
    static constexpr std::size_t memory = 4; ///< steps that the next direction is worked out from
    struct Step {
        std::vector<double> moved;  ///< of the places
        std::vector<double> turned; ///< of the slope
        double weight = 0.0;        ///< 1 / (moved . turned)
    };

    void find_near(const std::vector<double>& places);
    double energy(const std::vector<double>& places, std::vector<double>& slope) const;
    void find_direction();
    /// One step along the direction; false: nothing gets lower.
    bool step(std::vector<double>& places);
    void remember(const std::vector<double>& places);

    std::span<const double> radii_;
    double pressure_ = 0.0;
    double energy_ = 0.0;
    std::vector<Pair> near_; ///< pairs that may come to touch
    std::vector<double> slope_;
    std::vector<double> direction_;
    std::vector<double> next_;
    std::vector<double> next_slope_;
    std::vector<Step> steps_;
    std::size_t step_count_ = 0;
};

} // namespace loomwright::packing
