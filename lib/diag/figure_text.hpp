// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"

#include <string>
#include <string_view>

namespace loomwright {

/// A figure's value with the unit that people read: "12.5 A", "80 mm".
[[nodiscard]] std::string figure_value(const Figure& figure);
/// "drop: 0.7951 V": with its label.
[[nodiscard]] std::string figure_text(const Figure& figure);
/// "fuse: 30 A; wire carries: 19.8 A; margin: -51.5 %": all figures of a finding on one line, and
/// its margin where it has one; "" without figures.
[[nodiscard]] std::string figures_line(const Finding& finding);
/// "danger", or "error" for a fault of the input.
[[nodiscard]] std::string_view verdict_name(const Finding& finding);

} // namespace loomwright
