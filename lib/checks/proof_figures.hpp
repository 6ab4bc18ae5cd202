// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/quantity.hpp"
#include "sizing/time_current.hpp"

#include <string>
#include <vector>

namespace loomwright {

// How the numbers of a proof are written. A figure is rounded to five digits (quantities with a
// unit to four) and loses its zeros at the end, so that what is printed is never more than half a
// unit of its fourth digit away from what was computed with.

/// A current up to this is none: what a solver's rounding leaves.
inline constexpr double negligible_a = 1e-6;

[[nodiscard]] std::string figure(double value, int digits = 5);
/// "2.354 m": a display of lengths to the centimetre is too coarse to compute with.
[[nodiscard]] std::string exact_length(Metres length);

/// "holds, 12.3 % to spare", "does not hold, 4.5 % over": what may be at most `limit`, as a share
/// of it.
[[nodiscard]] std::string within(double value, double limit);
/// The same for what must stay under the limit.
[[nodiscard]] std::string under(double value, double limit);
/// "holds, 12.3 K to spare", "does not hold, 4.5 K over".
[[nodiscard]] std::string within(Celsius value, Celsius limit);

/// The time of one side of a band at a current from its first point on, with the numbers put in:
/// "600 x (32 / 27)^(ln(5 / 600) / ln(40 / 27))", or "5 x (40 / 50)^2" beyond the last point.
[[nodiscard]] std::string time_on_side(const std::vector<BandPoint>& side, double amps);

} // namespace loomwright
