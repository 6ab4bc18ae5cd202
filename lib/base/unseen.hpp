// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include <algorithm>
#include <array>

namespace loomwright {

/// Controls, marks that turn the direction of writing, line and paragraph ends, byte order marks
/// and non-characters of Unicode: nothing that belongs in a name, nor on a terminal.
constexpr bool is_unseen(char32_t character) {
    struct Range {
        char32_t first;
        char32_t last;
    };
    constexpr std::array unseen = {
        Range{0x00, 0x1F},     Range{0x7F, 0x9F},     Range{0x061C, 0x061C},
        Range{0x200E, 0x200F}, Range{0x2028, 0x202E}, Range{0x2060, 0x206F},
        Range{0xFEFF, 0xFEFF}, Range{0xFFF9, 0xFFFB}, Range{0xFFFE, 0xFFFF},
    };
    return std::ranges::any_of(unseen, [character](const Range& range) {
        return character >= range.first && character <= range.last;
    });
}

} // namespace loomwright
