// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string_view>

namespace loomwright::draw {

/// A sheet of a printer's paper, upright, mm.
struct PaperSheet {
    std::string_view name;
    double width = 0.0;
    double height = 0.0;
};

inline constexpr PaperSheet a4_sheet{"A4", 210.0, 297.0};         // ISO 216
inline constexpr PaperSheet letter_sheet{"Letter", 215.9, 279.4}; // 8.5 x 11 in

/// From the edge of a page to what is drawn on it, mm.
inline constexpr double page_margin = 10.0;

} // namespace loomwright::draw
