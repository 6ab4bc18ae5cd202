// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "base/quantity.hpp"

#include <string>

namespace loomwright {

// How a quantity is shown to people: unit, digits, rounding, in one place. Comparisons with a
// limit never use these texts.

/// `number` with at most `digits` significant digits, no trailing zeros, never in the e-form.
[[nodiscard]] std::string show_number(double number, int digits = 4);

[[nodiscard]] std::string show(Volts volts);         ///< 13.42 V, 85.0 mV below 0.1 V
[[nodiscard]] std::string show(Amps amps);           ///< 22.4 A, 35.0 mA below 0.1 A
[[nodiscard]] std::string show(Ohms ohms);           ///< 85 ohm, 12.4 mohm below 0.1 ohm
[[nodiscard]] std::string show(Watts watts);         ///< 55 W
[[nodiscard]] std::string show(Metres metres);       ///< 2.10 m
[[nodiscard]] std::string show(SquareMetres area);   ///< in mm2
[[nodiscard]] std::string show(Seconds seconds);     ///< 0.4 s, 3 min, 21 d
[[nodiscard]] std::string show(Celsius temperature); ///< 95 C
[[nodiscard]] std::string show(Kelvins difference);  ///< 12.5 K
[[nodiscard]] std::string show(Coulombs charge);     ///< 65 Ah
[[nodiscard]] std::string show(Kilograms mass);      ///< 1.25 kg
/// A share of one as percent: 0.75 -> "75 %".
[[nodiscard]] std::string show_percent(double share);

} // namespace loomwright
