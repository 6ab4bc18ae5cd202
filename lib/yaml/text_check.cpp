// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/text_check.hpp"

#include "base/unseen.hpp"

#include <fmt/format.h>

#include <algorithm>

// UTF-8 as in RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF.

namespace loomwright {
namespace {

unsigned char byte_at(std::string_view text, std::size_t index) {
    return static_cast<unsigned char>(text[index]);
}

bool is_tail(std::string_view text, std::size_t index) {
    return index < text.size() && (byte_at(text, index) & 0xC0U) == 0x80U;
}

bool starts_as_utf16(std::string_view text) {
    return text.starts_with("\xFE\xFF") || text.starts_with("\xFF\xFE");
}

std::optional<BadCharacter> bad_control(std::string_view text, std::size_t index) {
    const unsigned char c = byte_at(text, index);
    if (c == 0) {
        return BadCharacter{index, "a NUL byte stands here: this is not a text file",
                            "save the file as plain text (UTF-8)"};
    }
    if (c == '\r') {
        if (index + 1 < text.size() && text[index + 1] == '\n') {
            return std::nullopt;
        }
        return BadCharacter{index, "a line ends with a carriage return alone",
                            "save the file with line ends LF or CR LF"};
    }
    if ((c < 0x20 && c != '\t' && c != '\n') || c == 0x7F) {
        return BadCharacter{index, fmt::format("a control character (U+{:04X}) stands here", c),
                            "delete it; in a quoted text it can be written as an escape"};
    }
    return std::nullopt;
}

} // namespace

std::string_view without_mark(std::string_view text) {
    while (text.starts_with("\xEF\xBB\xBF")) {
        text.remove_prefix(3); // the parser takes a second one away and does not count it
    }
    return text;
}

std::size_t utf8_length(std::string_view text) {
    const unsigned char first = text.empty() ? 0x80 : byte_at(text, 0);
    if (first < 0x80) {
        return 1;
    }
    if (first < 0xC2 || first > 0xF4 || !is_tail(text, 1)) {
        return 0;
    }
    const unsigned char second = byte_at(text, 1);
    if (first < 0xE0) {
        return 2;
    }
    const bool too_small = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
    const bool too_large = (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
    if (too_small || too_large || !is_tail(text, 2)) {
        return 0;
    }
    if (first < 0xF0) {
        return 3;
    }
    return is_tail(text, 3) ? 4 : 0;
}

std::optional<BadCharacter> find_bad_character(std::string_view text) {
    if (starts_as_utf16(text)) {
        return BadCharacter{0, "the text is UTF-16", "save the file as UTF-8"};
    }
    std::size_t index = 0;
    while (index < text.size()) {
        const unsigned char c = byte_at(text, index);
        if (c >= 0x20 && c < 0x7F) {
            ++index;
            continue;
        }
        if (c < 0x80) {
            if (auto bad = bad_control(text, index)) {
                return bad;
            }
            ++index;
            continue;
        }
        const std::size_t length = utf8_length(text.substr(index));
        if (length == 0) {
            return BadCharacter{index, fmt::format("byte 0x{:02X} is not UTF-8 text", c),
                                "save the file as UTF-8"};
        }
        index += length;
    }
    return std::nullopt;
}

Character first_character(std::string_view text) {
    const unsigned char first = byte_at(text, 0);
    const std::size_t length = std::max<std::size_t>(utf8_length(text), 1);
    char32_t value = length == 1 ? first : first & (0xFFU >> (length + 1));
    for (std::size_t tail = 1; tail < length; ++tail) {
        value = (value << 6U) | (byte_at(text, tail) & 0x3FU);
    }
    return {value, length};
}

std::optional<char32_t> unseen_character(std::string_view text) {
    while (!text.empty()) {
        const Character character = first_character(text);
        if (is_unseen(character.value)) {
            return character.value;
        }
        text.remove_prefix(character.bytes);
    }
    return std::nullopt;
}

bool is_ascii(std::string_view text) {
    return std::ranges::all_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

TextPlace place_at(std::string_view text, std::size_t offset) {
    TextPlace place;
    for (std::size_t i = 0; i < std::min(offset, text.size()); ++i) {
        if (text[i] == '\n') {
            ++place.line;
            place.column = 1;
        } else if ((byte_at(text, i) & 0xC0U) != 0x80U) {
            ++place.column;
        }
    }
    return place;
}

std::string_view line_at(std::string_view text, int line) {
    for (int number = 1; number < line; ++number) {
        const std::size_t end = text.find('\n');
        if (end == std::string_view::npos) {
            return {};
        }
        text.remove_prefix(end + 1);
    }
    text = text.substr(0, text.find('\n'));
    while (text.ends_with('\r')) {
        text.remove_suffix(1);
    }
    return text;
}

} // namespace loomwright
