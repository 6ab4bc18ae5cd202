// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

namespace loomwright::draw {

// The sheet of a chart or plot, its letters and its lines, in millimetres.
inline constexpr double chart_width = 190.0; // an A4 sheet between margins of 10 mm
inline constexpr double chart_margin = 5.0;
inline constexpr double chart_title_size = 4.0;
inline constexpr double chart_text_size = 2.5; // ISO 3098: the smallest height
inline constexpr double chart_line_height = 3.4;
inline constexpr double chart_gap = 1.0; // beside letters
inline constexpr double chart_frame = 0.25;
inline constexpr double chart_thin = 0.13;  // of lines that are not curves
inline constexpr double mark_radius = 0.75; // of a point of a curve

} // namespace loomwright::draw
