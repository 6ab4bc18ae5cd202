// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/calc.hpp"
#include "sheets/sheet.hpp"

#include <string>

namespace loomwright {

/// `calc`: the figures, then formulas with the numbers put in, answers and sources.
[[nodiscard]] std::string calc_text(const CalcAnswer& answer, TextWidth width = {});

/// `calc`: {"question","holds","answer":{},"steps":[{"formula","with","gives","source"}]}; figures
/// are SI with the unit in the key, null where not defined; what is told of several wires stands
/// under "wires" in the answer.
[[nodiscard]] std::string calc_json(const CalcAnswer& answer);

} // namespace loomwright
