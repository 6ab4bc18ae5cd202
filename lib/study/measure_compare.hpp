// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "study/measure_car.hpp"
#include "study/measure_tolerance.hpp"

#include <span>
#include <vector>

namespace loomwright {

/// Takes numbers that are not independent to ones that are, each of variance 1.
class Whitening {
public:
    Whitening() = default;
    /// The covariance by rows; it is positive definite.
    Whitening(std::vector<double> covariance, std::size_t size);
    /// L^-1 x in place, with L L^T the covariance.
    void apply(std::span<double> x) const;
    /// By number: what is left of residual x once the others foretell it, over its deviation.
    [[nodiscard]] std::vector<double> against_others(std::span<const double> x) const;
    /// Standard deviation of each number, without regard to the others.
    [[nodiscard]] const std::vector<double>& deviations() const { return deviations_; }
    [[nodiscard]] std::size_t size() const { return size_; }

private:
    std::size_t size_ = 0;
    std::vector<double> factor_; ///< L by rows
    std::vector<double> deviations_;
};

/// The readings that are compared, and how far each may be off.
struct Comparison {
    std::vector<std::size_t> reading_of_row; ///< into the probes
    std::vector<int> row_of_reading;         ///< -1: not compared
    std::vector<double> predicted_v;         ///< by reading
    std::vector<double> prediction_v;        ///< by reading: standard deviation of the prediction
    std::vector<double> residual;            ///< by row: shown less predicted, V
    Whitening whitening;
};

/// The states as predicted.
[[nodiscard]] std::vector<ChangedState> predicted_states(const MeasuredCar& car);

/// Readings against the prediction. Those that `leave_out` marks are not compared.
[[nodiscard]] Comparison compare_readings(const MeasuredCar& car,
                                          std::span<const ChangedState> states,
                                          const std::vector<Tolerance>& tolerances,
                                          std::span<const std::uint8_t> leave_out);

} // namespace loomwright
