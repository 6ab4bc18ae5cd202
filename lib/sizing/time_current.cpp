// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// The time-current band of a protective device (docs/method/protection.md).
//
//   between two points (I0, t0), (I1, t1) of a side    t = t0 (I / I0)^(ln(t1/t0) / ln(I1/I0))
//   beyond its last (I1, t1)                           t = t1 (I1 / I)^2          constant I^2 t
//   below its first                                    nothing is known
//   in air of Ta instead of T0                         I (1 - d (Ta - T0)) for each point's I
//
//   I current (A), t time from its beginning until the device has opened (s). The points are the
//   gates of the data sheets that stand for ISO 8820, UL 248-14 and SAE J553 (fuse-gates.yaml).
//   Constant I^2 t is the adiabatic equation of the melting element, for times too short for its
//   heat to leave. d is the share by which its currents move for each kelvin: an element at T melts
//   at Tm, whether its heat leaves or not, by a heat that goes with Tm - Ta, so its current goes
//   with the root of that (fuses.yaml has d with its source). Only the side is moved that this
//   makes safer (in_air). Range: air of -40 to 125 C.
#include "sizing/time_current.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace loomwright {
namespace {

constexpr double least_kept = 0.1; // of a rating, however hot
constexpr double rounding = 1e-12; // of a current that is just a point's

/// Time on a side at a current from its first point on.
double time_on(const std::vector<BandPoint>& side, double amps) {
    for (std::size_t i = 1; i < side.size(); ++i) {
        const BandPoint& low = side[i - 1];
        const BandPoint& high = side[i];
        if (amps <= high.amps) {
            return low.seconds * std::pow(amps / low.amps, std::log(high.seconds / low.seconds) /
                                                               std::log(high.amps / low.amps));
        }
    }
    return side.back().seconds * std::pow(side.back().amps / amps, 2);
}

/// The gates of this rating; those of the whole family where the table has none for it.
std::vector<FuseGate> gates_at(const FuseFamily& family, double rating_a) {
    std::vector<FuseGate> gates = family.gates_of(Amps(rating_a));
    return gates.empty() ? family.gates : gates;
}

/// Current at which a side between two points is at a time.
double amps_at(const BandPoint& low, const BandPoint& high, double seconds) {
    return low.amps * std::pow(high.amps / low.amps, std::log(seconds / low.seconds) /
                                                         std::log(high.seconds / low.seconds));
}

} // namespace

TimeCurrentBand time_current_band(const FuseFamily& family, double rating_a) {
    TimeCurrentBand out;
    out.rating_a = rating_a;
    std::vector<FuseGate> gates = gates_at(family, rating_a);
    out.shortest.reserve(gates.size());
    out.longest.reserve(gates.size());
    for (FuseGate& gate : gates) {
        const double amps = gate.multiple * rating_a;
        if (gate.shortest) {
            out.shortest.push_back({amps, gate.shortest->value(), gate.air.value(), gate.origin});
        }
        if (gate.longest) {
            out.longest.push_back(
                {amps, gate.longest->value(), gate.air.value(), std::move(gate.origin)});
        }
    }
    return out;
}

TimeCurrentBand in_air(TimeCurrentBand band, double per_k, AirRange air) {
    const auto kept = [&](const BandPoint& point, double air_c) {
        return std::max(1.0 - per_k * (air_c - point.air_c), least_kept);
    };
    for (BandPoint& point : band.shortest) {
        point.amps *= std::min(kept(point, air.hottest_c), 1.0);
    }
    for (BandPoint& point : band.longest) {
        point.amps *= std::max(kept(point, air.coldest_c), 1.0);
    }
    return band;
}

std::optional<double> shortest_opening_s(const TimeCurrentBand& band, double amps) {
    if (band.shortest.empty() || amps <= band.shortest.front().amps * (1.0 + rounding)) {
        return std::nullopt;
    }
    return time_on(band.shortest, amps);
}

std::optional<double> shortest_opening_s(const FuseFamily& family, double rating_a, double amps) {
    return shortest_opening_s(time_current_band(family, rating_a), amps);
}

std::optional<double> longest_opening_s(const TimeCurrentBand& band, double amps) {
    if (!band.is_known() || amps < band.longest.front().amps * (1.0 - rounding)) {
        return std::nullopt;
    }
    return time_on(band.longest, amps);
}

std::optional<double> longest_opening_s(const FuseFamily& family, double rating_a, double amps) {
    return longest_opening_s(time_current_band(family, rating_a), amps);
}

std::optional<LetThrough> worst_let_through(const TimeCurrentBand& band) {
    std::optional<LetThrough> worst;
    const auto offer = [&](double amps, double seconds, const Origin& origin) {
        const double a2s = amps * amps * seconds;
        if (!worst || a2s > worst->a2s) {
            worst =
                LetThrough{band.rating_a > 0.0 ? amps / band.rating_a : 0.0, seconds, a2s, origin};
        }
    };
    const BandPoint* slower = nullptr;
    for (const BandPoint& point : band.longest) {
        if (point.seconds > adiabatic_limit_s) {
            slower = &point;
            continue;
        }
        offer(point.amps, point.seconds, point.origin);
        if (slower != nullptr && point.seconds < adiabatic_limit_s) {
            // The point of the slow side at just 5 s lies between these two.
            offer(amps_at(*slower, point, adiabatic_limit_s), adiabatic_limit_s, point.origin);
        }
        slower = nullptr;
    }
    if (slower != nullptr) {
        // Beyond its last point the side keeps I^2 t, so that point's is what passes within 5 s.
        offer(slower->amps * std::sqrt(slower->seconds / adiabatic_limit_s), adiabatic_limit_s,
              slower->origin);
    }
    return worst;
}

std::optional<LetThrough> worst_let_through(const FuseFamily& family, double rating_a) {
    return worst_let_through(time_current_band(family, rating_a));
}

DeviceBand band_of(const TimeCurrentBand& band) {
    DeviceBand out;
    out.rating_a = band.rating_a;
    if (!band.is_known() || band.rating_a <= 0.0) {
        return out;
    }
    out.sure_multiple = band.longest.front().amps / band.rating_a;
    out.let_through = worst_let_through(band);
    // Between two gates the time falls with a power of the current, and what a wire stands falls
    // otherwise: a place in between may be worse than both.
    constexpr int places_between = 9;
    for (std::size_t i = 0; i < band.longest.size(); ++i) {
        const BandPoint& point = band.longest[i];
        if (point.seconds <= adiabatic_limit_s) {
            break;
        }
        out.slow_gates.push_back({point.amps / band.rating_a, point.seconds, false});
        const double ratio =
            i + 1 < band.longest.size() ? band.longest[i + 1].amps / point.amps : 1.0;
        for (int k = 1; ratio > 1.0 && k <= places_between; ++k) {
            const double amps = point.amps * std::pow(ratio, k / (places_between + 1.0));
            const double seconds = time_on(band.longest, amps);
            if (seconds > adiabatic_limit_s) {
                out.slow_gates.push_back({amps / band.rating_a, seconds, true});
            }
        }
    }
    return out;
}

DeviceBand band_of(const FuseFamily& family, double rating_a) {
    return band_of(time_current_band(family, rating_a));
}

} // namespace loomwright
