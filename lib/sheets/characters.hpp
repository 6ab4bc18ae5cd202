// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

/// One character of a UTF-8 text; a byte that belongs to none is a character of its own, not valid.
struct CodePoint {
    char32_t value = 0;
    std::size_t bytes = 1;
    bool is_valid = true;
};

/// The character that starts at `position`, which must be inside the text.
[[nodiscard]] CodePoint code_point_at(std::string_view text, std::size_t position);

/// Columns that a text takes on a terminal: wide characters count two, marks none.
[[nodiscard]] int display_width(std::string_view text);

/// `text` on one line and as valid UTF-8: line ends and tabs become spaces, other control
/// characters, marks that turn the direction of writing and broken bytes are shown as `\x1b`,
/// `\u202e`, `\xff`. What comes out is safe for a terminal, for XML and for JSON.
[[nodiscard]] std::string plain_text(std::string_view text);
/// The same with line ends and tabs as they are.
[[nodiscard]] std::string plain_lines(std::string_view text);

/// `text` broken at spaces, or inside a word that is longer, into lines of at most `width` columns.
[[nodiscard]] std::vector<std::string> wrap(std::string_view text, int width);

/// `text` as the content or a quoted attribute of XML or HTML.
[[nodiscard]] std::string markup_text(std::string_view text);

} // namespace loomwright
