// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "sheets/characters.hpp"

#include "base/unseen.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

struct Range {
    char32_t first;
    char32_t last;
};

template <std::size_t Count>
bool is_in(const std::array<Range, Count>& ranges, char32_t character) {
    return std::ranges::any_of(ranges, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

// Blocks of the Unicode standard whose characters fill two columns of a terminal (East Asian Wide
// and Fullwidth, pictographs), and those that fill none (marks that combine).
constexpr std::array wide = {
    Range{0x1100, 0x115F},   Range{0x2E80, 0x303E},   Range{0x3041, 0x33FF},
    Range{0x3400, 0x4DBF},   Range{0x4E00, 0x9FFF},   Range{0xA000, 0xA4CF},
    Range{0xAC00, 0xD7A3},   Range{0xF900, 0xFAFF},   Range{0xFE30, 0xFE6F},
    Range{0xFF00, 0xFF60},   Range{0xFFE0, 0xFFE6},   Range{0x1F300, 0x1F64F},
    Range{0x1F680, 0x1F6FF}, Range{0x1F900, 0x1F9FF}, Range{0x20000, 0x3FFFD},
};
constexpr std::array without_width = {
    Range{0x0300, 0x036F}, Range{0x0483, 0x0489}, Range{0x0591, 0x05BD}, Range{0x064B, 0x065F},
    Range{0x200B, 0x200D}, Range{0x20D0, 0x20FF}, Range{0xFE00, 0xFE0F}, Range{0xFE20, 0xFE2F},
};

bool is_continuation(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

/// Bytes of the character that a first byte opens; 0 for a byte that opens none.
std::size_t sequence_length(unsigned char first) {
    if (first < 0x80) {
        return 1;
    }
    if (first >= 0xC2 && first <= 0xDF) {
        return 2;
    }
    if (first >= 0xE0 && first <= 0xEF) {
        return 3;
    }
    return first >= 0xF0 && first <= 0xF4 ? 4 : 0;
}

/// Every byte is a printable character of ASCII, as in nearly every text: a column each.
bool is_printable_ascii(std::string_view text) {
    return std::ranges::all_of(text, [](char c) { return c >= ' ' && c <= '~'; });
}

} // namespace

CodePoint code_point_at(std::string_view text, std::size_t position) {
    constexpr std::array<char32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
    const auto first = static_cast<unsigned char>(text[position]);
    const CodePoint broken{first, 1, false};
    const std::size_t length = sequence_length(first);
    if (length <= 1) {
        return length == 1 ? CodePoint{first, 1, true} : broken;
    }
    if (position + length > text.size()) {
        return broken;
    }
    char32_t value = first & (0xFFU >> (length + 1));
    for (std::size_t i = 1; i < length; ++i) {
        if (!is_continuation(text[position + i])) {
            return broken;
        }
        value = (value << 6U) | (static_cast<unsigned char>(text[position + i]) & 0x3FU);
    }
    const bool is_surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least[length] || value > 0x10FFFF || is_surrogate) {
        return broken;
    }
    return {value, length, true};
}

int display_width(std::string_view text) {
    if (is_printable_ascii(text)) {
        return static_cast<int>(text.size());
    }
    int width = 0;
    for (std::size_t i = 0; i < text.size();) {
        const CodePoint point = code_point_at(text, i);
        i += point.bytes;
        if (!is_in(without_width, point.value)) {
            width += is_in(wide, point.value) ? 2 : 1;
        }
    }
    return width;
}

namespace {

std::string shown(std::string_view text, bool keeps_lines) {
    if (is_printable_ascii(text)) {
        return std::string(text);
    }
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size();) {
        const CodePoint point = code_point_at(text, i);
        if (!point.is_valid) {
            out += fmt::format("\\x{:02x}", static_cast<unsigned>(point.value));
        } else if (point.value == '\n' || point.value == '\t' || point.value == '\r') {
            out += keeps_lines ? text[i] : ' ';
        } else if (is_unseen(point.value)) {
            out += point.value < 0x100
                       ? fmt::format("\\x{:02x}", static_cast<unsigned>(point.value))
                       : fmt::format("\\u{:04x}", static_cast<unsigned>(point.value));
        } else {
            out += text.substr(i, point.bytes);
        }
        i += point.bytes;
    }
    return out;
}

} // namespace

std::string plain_text(std::string_view text) {
    return shown(text, false);
}

std::string plain_lines(std::string_view text) {
    return shown(text, true);
}

std::vector<std::string> wrap(std::string_view text, int width) {
    const int room = std::max(width, 1);
    std::vector<std::string> lines(1);
    int used = 0;
    for (std::size_t i = 0; i < text.size();) {
        const std::size_t start = text.find_first_not_of(' ', i);
        if (start == std::string_view::npos) {
            break;
        }
        const std::size_t end = std::min(text.find(' ', start), text.size());
        const std::string_view word = text.substr(start, end - start);
        const int length = display_width(word);
        if (used > 0 && used + 1 + length > room) {
            lines.emplace_back();
            used = 0;
        } else if (used > 0) {
            lines.back() += ' ';
            ++used;
        }
        if (used + length <= room) {
            lines.back() += word;
            used += length;
            i = end;
            continue;
        }
        for (std::size_t k = 0; k < word.size();) {
            const std::size_t bytes = code_point_at(word, k).bytes;
            const std::string_view character = word.substr(k, bytes);
            const int columns = display_width(character);
            if (used > 0 && used + columns > room) {
                lines.emplace_back();
                used = 0;
            }
            lines.back() += character;
            used += columns;
            k += bytes;
        }
        i = end;
    }
    return lines;
}

std::string markup_text(std::string_view text) {
    const std::string plain = plain_text(text);
    std::string out;
    out.reserve(plain.size() + plain.size() / 16);
    std::size_t from = 0;
    for (std::size_t at = plain.find_first_of("&<>\"'"); at != std::string::npos;
         at = plain.find_first_of("&<>\"'", from)) {
        out.append(plain, from, at - from);
        switch (plain[at]) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        default:
            out += "&#39;";
        }
        from = at + 1;
    }
    return out.append(plain, from);
}

} // namespace loomwright
