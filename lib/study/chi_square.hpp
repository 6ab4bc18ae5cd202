// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

namespace loomwright {

/// How often the sum of the squares of `degrees` standard normal numbers is greater than x; 1 for
/// no degree of freedom.
[[nodiscard]] double chi_square_beyond(double x, int degrees);

/// The number of standard deviations that the largest of `count` normal numbers, either way, passes
/// in a share of cases.
[[nodiscard]] double largest_of(int count, double share);

} // namespace loomwright
