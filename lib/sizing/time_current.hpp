// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "tables/catalogue.hpp"

#include <optional>
#include <vector>

namespace loomwright {

/// One point of a side of a band: at this current the device opens at this time.
struct BandPoint {
    double amps = 0.0;
    double seconds = 0.0;
    double air_c = 0.0; ///< that it holds in
    Origin origin;
};

/// Air that a device may stand in, C.
struct AirRange {
    double coldest_c = 0.0;
    double hottest_c = 0.0;
};

/// Time-current band of one protective device: at every current it opens no sooner than its
/// shortest time and no later than its longest. Log-log between the points of a side, constant I^2
/// t beyond the last, nothing known below the first.
struct TimeCurrentBand {
    double rating_a = 0.0;           ///< 0: it has none (a fusible link by its size)
    std::vector<BandPoint> shortest; ///< rising current; up to the first one it stays closed
    std::vector<BandPoint> longest;  ///< rising current; from the first one it is sure to open
    /// A current is known at which it is sure to open.
    [[nodiscard]] bool is_known() const { return !longest.empty(); }
};

/// The band of a family at a rating, in amperes; that of the whole family where its tables have
/// none for the rating. Empty sides where no times are known.
[[nodiscard]] TimeCurrentBand time_current_band(const FuseFamily& family, double rating_a);

/// The same band in other air, safe for each purpose: air hotter than its points' moves the
/// shortest side to smaller currents, by the share of them `per_k` for each kelvin; colder air
/// moves the longest side to larger ones. Neither side moves the other way.
[[nodiscard]] TimeCurrentBand in_air(TimeCurrentBand band, double per_k, AirRange air);

/// Shortest time in which the device may open at a current; nothing when it is sure to stay closed
/// or no shortest times are known.
[[nodiscard]] std::optional<double> shortest_opening_s(const TimeCurrentBand& band, double amps);
[[nodiscard]] std::optional<double> shortest_opening_s(const FuseFamily& family, double rating_a,
                                                       double amps);
/// Longest time in which it is sure to have opened at a current; nothing when it may stay closed.
[[nodiscard]] std::optional<double> longest_opening_s(const TimeCurrentBand& band, double amps);
[[nodiscard]] std::optional<double> longest_opening_s(const FuseFamily& family, double rating_a,
                                                      double amps);

/// Longest time that an adiabatic figure is good for (IEC 60364-5-54).
constexpr double adiabatic_limit_s = 5.0;

/// The most energy (as I^2 t, A^2 s) that a protective device may let through within 5 s, by its
/// slow side.
struct LetThrough {
    double multiple = 0.0; ///< of the rating
    double seconds = 0.0;
    double a2s = 0.0;
    Origin origin;
};
/// The let-through that counts; nothing for a band without longest times.
[[nodiscard]] std::optional<LetThrough> worst_let_through(const TimeCurrentBand& band);
[[nodiscard]] std::optional<LetThrough> worst_let_through(const FuseFamily& family,
                                                          double rating_a);

/// A place on the slow side of a band that may take longer than the adiabatic equation is good for:
/// a gate, or a place between two.
struct SlowGate {
    double multiple = 0.0;
    double seconds = 0.0;
    bool is_between = false;
};
/// What a device of one rating asks of the wires behind it, looked up once.
struct DeviceBand {
    double rating_a = 0.0;
    double sure_multiple = 0.0; ///< I2 / In; 0: no opening times are known
    std::optional<LetThrough> let_through;
    std::vector<SlowGate> slow_gates; ///< slower than 5 s, from I2 on, and between them
    [[nodiscard]] bool is_known() const { return sure_multiple > 0.0; }
};
[[nodiscard]] DeviceBand band_of(const TimeCurrentBand& band);
[[nodiscard]] DeviceBand band_of(const FuseFamily& family, double rating_a);

} // namespace loomwright
