// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace loomwright {

/// A character that no YAML text can hold.
struct BadCharacter {
    std::size_t offset = 0;
    std::string message;
    std::string remedy;
};

/// What stands at an offset of a text: line and column count from 1, columns in characters.
struct TextPlace {
    int line = 1;
    int column = 1;
};

/// `text` without byte-order marks of UTF-8 at its start.
[[nodiscard]] std::string_view without_mark(std::string_view text);
/// The first character that must not be there: NUL, other control characters, a line end that is a
/// carriage return alone, bytes that are not UTF-8, another encoding.
[[nodiscard]] std::optional<BadCharacter> find_bad_character(std::string_view text);
/// A character of a UTF-8 text; a byte that belongs to none stands for itself.
struct Character {
    char32_t value = 0;
    std::size_t bytes = 1;
};
[[nodiscard]] Character first_character(std::string_view text);
/// The first character of a UTF-8 text that is_unseen.
[[nodiscard]] std::optional<char32_t> unseen_character(std::string_view text);
[[nodiscard]] bool is_ascii(std::string_view text);
/// Length of the UTF-8 character at the start of `text`, 0 when its bytes are none.
[[nodiscard]] std::size_t utf8_length(std::string_view text);
[[nodiscard]] TextPlace place_at(std::string_view text, std::size_t offset);
/// The line (from 1) without its line end.
[[nodiscard]] std::string_view line_at(std::string_view text, int line);

} // namespace loomwright
