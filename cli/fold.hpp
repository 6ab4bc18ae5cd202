// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <string>
#include <string_view>

namespace loomwright::cli {

/// Columns of a line on a terminal; colours take none, a tab reaches to the next eighth column.
[[nodiscard]] int line_width(std::string_view line);

/// `text` with every line that is wider than `width` columns broken at a blank, or inside a word
/// that is wider itself. What is broken goes on under the line's text: after its indent, or under
/// the second column of a list. Of a line of the vehicle file with its caret below, that part is
/// kept that the caret points at.
[[nodiscard]] std::string folded(std::string_view text, int width);

} // namespace loomwright::cli
