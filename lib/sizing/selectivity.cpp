// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// Two protective devices in series, the same current I through both.
//
//   selective at I while      t_longest,lower(I) < t_shortest,upper(I)
//
// Both times are straight lines in log-log between the gates of either band, so on each stretch
// between two gates f(ln I) = ln t_lower - ln t_upper is one, and where it changes its sign
//   ln I = ln I_a - f(a) (ln I_b - ln I_a) / (f(b) - f(a))
// is exact. Beyond the last gates both follow I^2 t and f stays what it is. Where the upper stays
// closed for hours the lower cannot lose; where the upper may open and the lower is not sure to, it
// has lost. Bands at 23 C, both devices from rest.
#include "sizing/selectivity.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

/// A current just over a gate, where the times of the next stretch hold.
constexpr double just_over = 1.0 + 1e-9;

void add_currents(const std::vector<BandPoint>& side, double most_a, std::vector<double>& marks) {
    for (const BandPoint& point : side) {
        if (point.amps < most_a) {
            marks.push_back(point.amps);
        }
    }
}

/// The ends of the stretches on which both sides are straight, rising.
std::vector<double> stretches(const TimeCurrentBand& lower, const TimeCurrentBand& upper,
                              double most_a) {
    std::vector<double> marks;
    add_currents(lower.longest, most_a, marks);
    add_currents(upper.shortest, most_a, marks);
    marks.push_back(most_a);
    std::ranges::sort(marks);
    marks.erase(std::unique(marks.begin(), marks.end()), marks.end());
    return marks;
}

class Race {
public:
    Race(const TimeCurrentBand& lower, const TimeCurrentBand& upper)
        : lower_(lower), upper_(upper) {}

    [[nodiscard]] std::optional<double> lower_s(double amps) const {
        return longest_opening_s(lower_, amps);
    }
    [[nodiscard]] std::optional<double> upper_s(double amps) const {
        return shortest_opening_s(upper_, amps);
    }
    /// The upper may open first, or at the same time.
    [[nodiscard]] bool is_lost(double amps) const {
        const auto upper = upper_s(amps);
        const auto lower = lower_s(amps);
        return upper && (!lower || *lower >= *upper);
    }
    /// Where between two currents of one stretch, the first not lost and the second lost, it turns.
    [[nodiscard]] double turn(double low, double high) const {
        if (!upper_s(low)) {
            return low; // up to here the upper stays closed
        }
        if (!lower_s(high)) {
            return high;
        }
        const auto lead = [&](double amps) { return std::log(*lower_s(amps) / *upper_s(amps)); };
        const double f_low = lead(low);
        const double f_high = lead(high);
        return low * std::pow(high / low, f_low / (f_low - f_high));
    }

private:
    const TimeCurrentBand& lower_;
    const TimeCurrentBand& upper_;
};

} // namespace

std::optional<LostSelectivity> find_lost_selectivity(const TimeCurrentBand& lower,
                                                     const TimeCurrentBand& upper, double most_a) {
    const Race race(lower, upper);
    const auto lost_at = [&](double amps) {
        const double there = race.upper_s(amps) ? amps : amps * just_over;
        return LostSelectivity{amps, race.lower_s(there), race.upper_s(there).value_or(0.0)};
    };
    double before = 0.0;
    for (const double mark : stretches(lower, upper, most_a)) {
        // Just over the gate before, as well as at the end of the stretch.
        const double start = before * just_over;
        if (before > 0.0 && start < mark && race.is_lost(start)) {
            return lost_at(before);
        }
        if (race.is_lost(mark)) {
            return lost_at(before > 0.0 ? race.turn(start, mark) : mark);
        }
        before = mark;
    }
    return std::nullopt;
}

std::vector<double> compared_currents(const TimeCurrentBand& lower, const TimeCurrentBand& upper,
                                      double most_a) {
    std::vector<double> out = stretches(lower, upper, most_a);
    const Race race(lower, upper);
    std::erase_if(out, [&](double amps) { return !race.upper_s(amps); });
    return out;
}

} // namespace loomwright
