// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "draw/drawing.hpp"

#include <string>
#include <vector>

namespace loomwright::draw {

/// A small table of texts on a drawing, in blocks side by side where it is long.
struct TextTable {
    std::vector<std::string> head;
    std::vector<std::vector<std::string>> rows; ///< as many cells each as `head`
    double most_width = 40.0;                   ///< of a column; longer texts end with an ellipsis
    std::size_t most_rows = 60;                 ///< in a block
    double text_size = 2.4;
    double pitch = 3.8;
};

/// Width and height that the table takes.
struct TableSize {
    double width = 0.0;
    double height = 0.0;
};

/// Draws the table with its upper left corner at `corner`.
TableSize draw_table(Drawing& sheet, const TextTable& table, Spot corner);

} // namespace loomwright::draw
