// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The values x of a set that make the least chi-square
//
//   X(x) = | y - f(x) |^2
//
// y the whitened residuals, f what the set does to the readings (measure_response.cpp). Joints are
// walked in t = R Y / (1 + R Y), Y (S) what the joint's own loop takes: 0 is a good joint, 1 an
// open one, and the readings of a linear car are straight in it. Gauss-Newton with Marquardt's
// damping,
//
//   (J^T J + lambda diag(J^T J)) dx = J^T (y - f),
//
// J by differences; a value at its end that wants to go beyond it stays there. The standard
// deviations are those of (J^T J)^-1; 95 % lie within 1.96 of them, told in t for a joint, so that
// an open one has a lower limit and no upper. (K. Levenberg 1944, D. W. Marquardt 1963; memory.)
#include "study/measure_fit.hpp"

#include "solve/small_system.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double two_sided_95 = 1.959963984540054; // 97.5 % of a normal distribution lie below
constexpr double open_place = 1.0 - 1e-7;          ///< in t: ten million times the loop
constexpr double told_open = 1.0 - 1e-3;
constexpr double step_of_slope = 1e-6;
constexpr int most_damped_steps = 60;
constexpr int most_dampings = 12;
constexpr double least_gain_share = 1e-7; ///< of chi-square
/// No source is farther off than this share of the nominal voltage and still a source.
constexpr double source_share = 0.4;
constexpr double any_v = 1e3;
constexpr double least_loop_a = 1e-9;
constexpr double least_share = 1e-6; ///< of a load

} // namespace

double SetFitter::value_of(std::size_t suspect, double place) const {
    if (response_.suspects[suspect].kind != Suspect::Kind::joint) {
        return place * scale(suspect);
    }
    return place / (1.0 - place) * scale(suspect);
}

double SetFitter::place_of(std::size_t suspect, double value) const {
    if (response_.suspects[suspect].kind != Suspect::Kind::joint) {
        return value / scale(suspect);
    }
    return std::min(value / (value + scale(suspect)), open_place);
}

/// Ohm of a joint's loop; 1 for other kinds.
double SetFitter::scale(std::size_t suspect) const {
    return response_.suspects[suspect].kind == Suspect::Kind::joint
               ? nominal_v_ / std::max(response_.most_amps[suspect], least_loop_a)
               : 1.0;
}

/// Of a load: the share of its demand with which the response was made, which its current there is
/// for; 1 for other kinds.
double SetFitter::left_of(std::size_t suspect) const {
    return response_.suspects[suspect].kind == Suspect::Kind::load
               ? std::max(1.0 - base(suspect), least_share)
               : 1.0;
}

double SetFitter::least_place(std::size_t suspect) const {
    switch (response_.suspects[suspect].kind) {
    case Suspect::Kind::joint:
    case Suspect::Kind::load:
        return 0.0;
    case Suspect::Kind::source:
        return -source_share * nominal_v_;
    case Suspect::Kind::reading:
        break;
    }
    return -any_v;
}

double SetFitter::most_place(std::size_t suspect) const {
    switch (response_.suspects[suspect].kind) {
    case Suspect::Kind::joint:
        return open_place;
    case Suspect::Kind::load:
        return 1.0;
    case Suspect::Kind::source:
        return source_share * nominal_v_;
    case Suspect::Kind::reading:
        break;
    }
    return any_v;
}

void SetFitter::moved(std::span<const std::size_t> set, std::span<const double> values,
                      std::span<double> out) const {
    const std::size_t count = response_.suspects.size();
    const std::size_t size = set.size();
    std::vector<double> drive(size);
    solve::SmallSystem system;
    std::ranges::fill(out, 0.0);
    for (std::size_t s = 0; s < response_.states.size(); ++s) {
        const Response::State& state = response_.states[s];
        system.resize(size);
        for (std::size_t i = 0; i < size; ++i) {
            const std::size_t k = set[i];
            const double more = values[i] - base(k);
            const bool is_joint = response_.suspects[k].kind == Suspect::Kind::joint;
            for (std::size_t j = 0; j < size; ++j) {
                system.at(i, j) = (i == j ? 1.0 : 0.0) -
                                  (is_joint ? more * state.coupling[k * count + set[j]] : 0.0);
            }
            drive[i] = more * (is_joint ? state.amps[k] : 1.0 / left_of(k));
        }
        if (!system.factorise()) {
            continue;
        }
        system.solve(drive);
        for (std::size_t i = 0; i < size; ++i) {
            const std::span<const double> effect = response_.effect(s, set[i]);
            for (std::size_t m = 0; m < out.size(); ++m) {
                out[m] += effect[m] * drive[i];
            }
        }
    }
}

double SetFitter::chi_square(std::span<const std::size_t> set, std::span<const double> places,
                             std::vector<double>& left) const {
    std::vector<double> values(set.size());
    for (std::size_t i = 0; i < set.size(); ++i) {
        values[i] = value_of(set[i], places[i]);
    }
    left.resize(residual_.size());
    moved(set, values, left);
    for (std::size_t m = 0; m < left.size(); ++m) {
        left[m] = residual_[m] - left[m];
    }
    return dot(left, left);
}

/// Columns of J, one suspect after the other.
void SetFitter::slopes(std::span<const std::size_t> set, std::span<const double> places,
                       const std::vector<double>& left, std::vector<double>& columns) const {
    const std::size_t rows = residual_.size();
    columns.resize(set.size() * rows);
    std::vector<double> moved_places(places.begin(), places.end());
    std::vector<double> there;
    for (std::size_t i = 0; i < set.size(); ++i) {
        // Towards the good side, where a joint is nearly open.
        const double step = places[i] > 0.5 ? -step_of_slope : step_of_slope;
        moved_places[i] = places[i] + step;
        (void)chi_square(set, moved_places, there);
        moved_places[i] = places[i];
        for (std::size_t m = 0; m < rows; ++m) {
            columns[i * rows + m] = (left[m] - there[m]) / step;
        }
    }
}

/// One search for the best places of a set.
struct SetFitter::Search {
    const SetFitter& fitter;
    std::span<const std::size_t> set;
    std::vector<double> places;
    std::vector<double> left;
    std::vector<double> columns;
    double best = 0.0;
    double damping = 1e-3;

    [[nodiscard]] std::span<const double> column(std::size_t i) const {
        return std::span(columns).subspan(i * left.size(), left.size());
    }

    /// The next places; a value at its end that wants beyond it keeps still.
    [[nodiscard]] std::vector<double> step() const {
        std::vector<std::size_t> free;
        for (std::size_t i = 0; i < set.size(); ++i) {
            const double wants = dot(column(i), left);
            const bool is_held = (places[i] <= fitter.least_place(set[i]) && wants <= 0.0) ||
                                 (places[i] >= fitter.most_place(set[i]) && wants >= 0.0) ||
                                 dot(column(i), column(i)) <= 0.0;
            if (!is_held) {
                free.push_back(i);
            }
        }
        solve::SmallSystem system;
        system.resize(free.size());
        std::vector<double> right(free.size());
        for (std::size_t a = 0; a < free.size(); ++a) {
            for (std::size_t b = 0; b < free.size(); ++b) {
                system.at(a, b) =
                    dot(column(free[a]), column(free[b])) * (a == b ? 1.0 + damping : 1.0);
            }
            right[a] = dot(column(free[a]), left);
        }
        std::vector<double> next = places;
        if (free.empty() || !system.factorise()) {
            return next;
        }
        system.solve(right);
        for (std::size_t a = 0; a < free.size(); ++a) {
            const std::size_t i = free[a];
            next[i] = std::clamp(places[i] + right[a], fitter.least_place(set[i]),
                                 fitter.most_place(set[i]));
        }
        return next;
    }

    /// False when no step makes it better.
    [[nodiscard]] bool improve() {
        std::vector<double> there;
        for (int i = 0; i < most_dampings; ++i) {
            std::vector<double> next = step();
            const double chi = fitter.chi_square(set, next, there);
            if (chi < best) {
                const bool goes_on = best - chi > least_gain_share * (1.0 + best);
                places = std::move(next);
                left = std::move(there);
                best = chi;
                damping = std::max(damping / 10.0, 1e-9);
                return goes_on;
            }
            damping *= 10.0;
        }
        return false;
    }
};

SetFit SetFitter::fit(std::span<const std::size_t> set, std::span<const double> start) const {
    Search search{.fitter = *this, .set = set};
    search.places.assign(set.size(), 0.0);
    for (std::size_t i = 0; i < start.size(); ++i) {
        search.places[i] =
            std::clamp(place_of(set[i], start[i]), least_place(set[i]), most_place(set[i]));
    }
    search.best = chi_square(set, search.places, search.left);
    for (int round = 0; round < most_damped_steps; ++round) {
        slopes(set, search.places, search.left, search.columns);
        if (!search.improve()) {
            break;
        }
    }
    slopes(set, search.places, search.left, search.columns);
    SetFit out;
    out.set.assign(set.begin(), set.end());
    out.chi_square = search.best;
    set_limits(search.places, search.columns, out);
    return out;
}

void SetFitter::set_limits(std::span<const double> places, const std::vector<double>& columns,
                           SetFit& out) const {
    const std::size_t size = out.set.size();
    const std::size_t rows = residual_.size();
    const auto column = [&](std::size_t i) { return std::span(columns).subspan(i * rows, rows); };
    solve::SmallSystem system;
    system.resize(size);
    for (std::size_t a = 0; a < size; ++a) {
        for (std::size_t b = 0; b < size; ++b) {
            system.at(a, b) = dot(column(a), column(b));
        }
    }
    const bool is_known = system.factorise();
    std::vector<double> unit(size);
    for (std::size_t i = 0; i < size; ++i) {
        std::ranges::fill(unit, 0.0);
        unit[i] = 1.0;
        if (is_known) {
            system.solve(unit);
        }
        const double wide = is_known && unit[i] > 0.0 ? two_sided_95 * std::sqrt(unit[i]) : any_v;
        const std::size_t k = out.set[i];
        const double low = std::max(places[i] - wide, least_place(k));
        const double high = std::min(places[i] + wide, most_place(k));
        const bool is_joint = response_.suspects[k].kind == Suspect::Kind::joint;
        out.value.push_back(value_of(k, places[i]));
        out.low.push_back(value_of(k, low));
        out.high.push_back(value_of(k, high));
        out.is_open.push_back(is_joint && high > told_open ? 1 : 0);
    }
}

} // namespace loomwright
