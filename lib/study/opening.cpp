// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "study/opening.hpp"

#include <algorithm>
#include <cmath>

namespace loomwright {
namespace {

constexpr double same_current_share = 1e-12; ///< of a current that is just a point's

} // namespace

OpeningCurve::OpeningCurve(const std::vector<OpeningPoint>& shortest,
                           const std::vector<OpeningPoint>& longest, bool closes_again)
    : shortest_(side_of(shortest)), longest_(side_of(longest)), closes_again_(closes_again) {}

OpeningCurve::Side OpeningCurve::side_of(const std::vector<OpeningPoint>& points) {
    Side side;
    for (const OpeningPoint& point : points) {
        side.amps.push_back(point.amps);
        side.log_amps.push_back(std::log(point.amps));
        side.log_seconds.push_back(std::log(point.seconds));
    }
    return side;
}

double OpeningCurve::Side::at(double current) const {
    const auto above = std::ranges::lower_bound(amps, current);
    const double log_current = std::log(current);
    if (above == amps.end()) {
        return std::exp(log_seconds.back() - 2.0 * (log_current - log_amps.back()));
    }
    const auto high = std::max<std::size_t>(static_cast<std::size_t>(above - amps.begin()), 1);
    if (high == amps.size()) { // the one point there is
        return std::exp(log_seconds.front());
    }
    const double part = (log_current - log_amps[high - 1]) / (log_amps[high] - log_amps[high - 1]);
    return std::exp(log_seconds[high - 1] + part * (log_seconds[high] - log_seconds[high - 1]));
}

double OpeningCurve::shortest_s(double amps) const {
    return shortest_.amps.empty() || amps <= shortest_.amps.front() * (1.0 + same_current_share)
               ? never
               : shortest_.at(amps);
}

double OpeningCurve::longest_s(double amps) const {
    return longest_.amps.empty() || amps < longest_.amps.front() * (1.0 - same_current_share)
               ? never
               : longest_.at(amps);
}

double OpeningCurve::sure_a() const {
    if (longest_.amps.empty()) {
        return never;
    }
    return longest_.amps.front();
}

} // namespace loomwright
