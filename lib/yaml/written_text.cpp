// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/written_text.hpp"

#include "base/unseen.hpp"
#include "yaml/text_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace loomwright {
namespace {

bool is_letter_or_digit(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

/// Words that YAML readers take for a truth or for nothing.
bool is_word_of_yaml(std::string_view text) {
    constexpr std::array<std::string_view, 9> words{"null", "true", "false", "yes", "no",
                                                    "on",   "off",  "y",     "n"};
    std::string small(text);
    std::ranges::transform(small, small.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return std::ranges::find(words, small) != words.end();
}

bool is_plain(std::string_view text) {
    if (text.empty() || !is_letter_or_digit(text.front()) || text.back() == ' ' ||
        is_word_of_yaml(text)) {
        return false;
    }
    return std::ranges::all_of(text, [](char c) {
        return is_letter_or_digit(c) || std::string_view(" ._-/+%()>").find(c) != std::string::npos;
    });
}

} // namespace

std::string written_text(std::string_view text) {
    if (is_plain(text)) {
        return std::string(text);
    }
    std::string out = "\"";
    for (std::string_view rest = text; !rest.empty();) {
        const auto [character, bytes] = first_character(rest);
        if (character == '"' || character == '\\') {
            out += {'\\', rest.front()};
        } else if (character == '\n') {
            out += "\\n";
        } else if (is_unseen(character)) {
            // By their numbers: the short escapes of line ends come back from the parser as bytes
            // that are no UTF-8.
            out += fmt::format("\\u{:04X}", static_cast<unsigned>(character));
        } else {
            out += rest.substr(0, bytes);
        }
        rest.remove_prefix(bytes);
    }
    return out + "\"";
}

std::string comment_text(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const auto [character, bytes] = first_character(text);
        if (is_unseen(character)) {
            out += ' ';
        } else {
            out += text.substr(0, bytes);
        }
        text.remove_prefix(bytes);
    }
    return out;
}

} // namespace loomwright
