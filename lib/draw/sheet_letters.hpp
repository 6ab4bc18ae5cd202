// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

namespace loomwright::draw {

// Letters of the drawings of circuits, looms and their parts, in millimetres.
inline constexpr double title_size = 4.2;
inline constexpr double text_size = 2.6;
inline constexpr double line_height = 4.2;

/// Round what is drawn on a sheet of a size of its own.
inline constexpr double figure_margin = 8.0;

} // namespace loomwright::draw
