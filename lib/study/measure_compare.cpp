// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Readings are not independent: what the prediction does not know (lengths, contacts, a battery's
// charge) moves many at once. With t_q the tolerances of measure_tolerance.cpp, each an independent
// standard deviation, and m the meter's,
//
//   C = diag(m^2) + sum_q t_q t_q^T,   C = L L^T,   whitened: L^-1 (shown - predicted)
#include "study/measure_compare.hpp"

#include "base/at.hpp"
#include "solve/tangent.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace loomwright {

Whitening::Whitening(std::vector<double> covariance, std::size_t size)
    : size_(size), factor_(std::move(covariance)) {
    for (std::size_t i = 0; i < size_; ++i) {
        deviations_.push_back(std::sqrt(factor_[i * size_ + i]));
    }
    for (std::size_t i = 0; i < size_; ++i) {
        for (std::size_t j = 0; j <= i; ++j) {
            double sum = factor_[i * size_ + j];
            for (std::size_t k = 0; k < j; ++k) {
                sum -= factor_[i * size_ + k] * factor_[j * size_ + k];
            }
            factor_[i * size_ + j] =
                i == j ? std::sqrt(std::max(sum, 1e-300)) : sum / factor_[j * size_ + j];
        }
    }
}

void Whitening::apply(std::span<double> x) const {
    for (std::size_t i = 0; i < size_; ++i) {
        double sum = x[i];
        for (std::size_t k = 0; k < i; ++k) {
            sum -= factor_[i * size_ + k] * x[k];
        }
        x[i] = sum / factor_[i * size_ + i];
    }
}

std::vector<double> Whitening::against_others(std::span<const double> x) const {
    // (C^-1 x)_m / sqrt((C^-1)_mm) is what is left of x_m against its best forecast by the others.
    std::vector<double> white(x.begin(), x.end());
    apply(white);
    std::vector<double> out(size_);
    std::vector<double> unit(size_);
    for (std::size_t m = 0; m < size_; ++m) {
        std::ranges::fill(unit, 0.0);
        unit[m] = 1.0;
        apply(unit);
        const double square = std::inner_product(unit.begin(), unit.end(), unit.begin(), 0.0);
        out[m] =
            std::inner_product(unit.begin(), unit.end(), white.begin(), 0.0) / std::sqrt(square);
    }
    return out;
}

std::vector<ChangedState> predicted_states(const MeasuredCar& car) {
    std::vector<ChangedState> out;
    for (std::size_t s = 0; s < car.state_count(); ++s) {
        out.push_back(car.settled(s).settled.is_solved ? car.solve(s, {}) : ChangedState());
    }
    return out;
}

namespace {

/// Adds t_q t_q^T of every tolerance to the covariance.
class ToleranceColumns {
public:
    ToleranceColumns(const MeasuredCar& car, std::span<const ChangedState> states,
                     std::span<const std::size_t> reading_of_row)
        : car_(car), states_(states) {
        for (const ChangedState& state : states) {
            tangents_.push_back(state.is_solved ? std::optional<solve::Tangent>(solve::Tangent(
                                                      state.circuit, state.point.volts))
                                                : std::nullopt);
        }
        for (const std::size_t reading : reading_of_row) {
            const ProbePair& probe = car.probes()[reading];
            const auto& tangent = tangents_[probe.state];
            row_state_.push_back(probe.state);
            answers_.push_back(tangent && tangent->is_solved()
                                   ? tangent->respond(probe.node, probe.against)
                                   : std::vector<double>());
        }
    }

    void add(const Tolerance& tolerance, std::vector<double>& covariance) {
        const std::size_t rows = row_state_.size();
        column_.assign(rows, 0.0);
        for (std::size_t m = 0; m < rows; ++m) {
            for (const Tolerance::Part& part : tolerance.parts) {
                column_[m] += moved(m, part);
            }
        }
        for (std::size_t m = 0; m < rows; ++m) {
            for (std::size_t l = 0; l < rows && column_[m] != 0.0; ++l) {
                covariance[m * rows + l] += column_[m] * column_[l];
            }
        }
    }

private:
    /// Volts of a reading for one standard deviation of a part.
    [[nodiscard]] double moved(std::size_t row, const Tolerance::Part& part) const {
        const std::size_t s = row_state_[row];
        const int place = states_[s].place[at(part.branch)];
        if (place < 0 || answers_[row].empty()) {
            return 0.0;
        }
        const Branch& branch = car_.plan().input.network.branches[at(part.branch)];
        const double ohm = answers_[row][at(branch.from)] - answers_[row][at(branch.to)];
        // A share of the resistance drops that share of R i more: g R i = i into the branch.
        return ohm * part.deviation *
               (part.is_emf ? tangents_[s]->siemens(place) : states_[s].point.amps[at(place)]);
    }

    const MeasuredCar& car_;
    std::span<const ChangedState> states_;
    std::vector<std::optional<solve::Tangent>> tangents_;
    std::vector<std::size_t> row_state_;
    std::vector<std::vector<double>> answers_; ///< by row: respond of its two nodes
    std::vector<double> column_;
};

} // namespace

Comparison compare_readings(const MeasuredCar& car, std::span<const ChangedState> states,
                            const std::vector<Tolerance>& tolerances,
                            std::span<const std::uint8_t> leave_out) {
    Comparison out;
    const std::vector<ProbePair>& probes = car.probes();
    out.predicted_v.assign(probes.size(), 0.0);
    out.prediction_v.assign(probes.size(), 0.0);
    out.row_of_reading.assign(probes.size(), -1);
    for (std::size_t i = 0; i < probes.size(); ++i) {
        const ProbePair& probe = probes[i];
        const ChangedState& state = states[probe.state];
        if (!state.is_solved || probe.node < 0 || probe.against < 0 || state.floats(probe.node) ||
            state.floats(probe.against)) {
            continue;
        }
        out.predicted_v[i] = state.volts(probe.node, probe.against);
        if (leave_out.empty() || leave_out[i] == 0) {
            out.row_of_reading[i] = static_cast<int>(out.reading_of_row.size());
            out.reading_of_row.push_back(i);
            out.residual.push_back(probe.volts - out.predicted_v[i]);
        }
    }
    const std::size_t rows = out.reading_of_row.size();
    std::vector<double> covariance(rows * rows, 0.0);
    ToleranceColumns columns(car, states, out.reading_of_row);
    for (const Tolerance& tolerance : tolerances) {
        columns.add(tolerance, covariance);
    }
    for (std::size_t m = 0; m < rows; ++m) {
        const std::size_t reading = out.reading_of_row[m];
        out.prediction_v[reading] = std::sqrt(covariance[m * rows + m]);
        covariance[m * rows + m] += probes[reading].meter_v * probes[reading].meter_v;
    }
    out.whitening = Whitening(std::move(covariance), rows);
    return out;
}

} // namespace loomwright
