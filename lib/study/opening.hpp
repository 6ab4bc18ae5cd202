// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <limits>
#include <vector>

namespace loomwright {

/// One point of a side of a time-current band.
struct OpeningPoint {
    double amps = 0.0;
    double seconds = 0.0;
};

/// When a protective device opens: its time-current band laid out for being asked often. Log-log
/// between points, constant I^2 t beyond the last, no opening below the first.
class OpeningCurve {
public:
    static constexpr double never = std::numeric_limits<double>::infinity();

    /// Nothing is known of it: it never opens.
    OpeningCurve() = default;
    /// Both sides by rising current, times above 0. `closes_again`: a breaker of type I.
    OpeningCurve(const std::vector<OpeningPoint>& shortest,
                 const std::vector<OpeningPoint>& longest, bool closes_again = false);

    /// It may open in so many seconds, not sooner.
    [[nodiscard]] double shortest_s(double amps) const;
    /// It is sure to have opened in so many seconds.
    [[nodiscard]] double longest_s(double amps) const;
    /// The least current that is sure to open it; `never` for none.
    [[nodiscard]] double sure_a() const;
    [[nodiscard]] bool closes_again() const { return closes_again_; }

private:
    struct Side {
        std::vector<double> amps;
        std::vector<double> log_amps;
        std::vector<double> log_seconds;
        [[nodiscard]] double at(double current) const;
    };
    static Side side_of(const std::vector<OpeningPoint>& points);

    Side shortest_;
    Side longest_;
    bool closes_again_ = false;
};

} // namespace loomwright
