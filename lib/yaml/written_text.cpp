// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "yaml/written_text.hpp"

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

// The line ends of Unicode that YAML 1.1 readers know: NEL, LINE and PARAGRAPH SEPARATOR. Written
// by their numbers: the short escape of NEL comes back from the parser as a byte that is no UTF-8.
struct LineEnd {
    std::string_view bytes;
    std::string_view escape;
};
constexpr std::array line_ends{LineEnd{"\xC2\x85", "\\u0085"}, LineEnd{"\xE2\x80\xA8", "\\u2028"},
                               LineEnd{"\xE2\x80\xA9", "\\u2029"}};

const LineEnd* line_end_at(std::string_view text) {
    const auto* const found = std::ranges::find_if(
        line_ends, [&](const LineEnd& end) { return text.starts_with(end.bytes); });
    return found == line_ends.end() ? nullptr : found;
}

bool is_control(char c) {
    return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
}

} // namespace

std::string written_text(std::string_view text) {
    if (is_plain(text)) {
        return std::string(text);
    }
    std::string out = "\"";
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char c = text[i];
        if (const LineEnd* end = line_end_at(text.substr(i))) {
            out += end->escape;
            i += end->bytes.size() - 1;
        } else if (c == '"' || c == '\\') {
            out += {'\\', c};
        } else if (c == '\n') {
            out += "\\n";
        } else if (is_control(c)) {
            out += fmt::format("\\x{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
        } else {
            out += c;
        }
    }
    return out + "\"";
}

std::string comment_text(std::string_view text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (const LineEnd* end = line_end_at(text.substr(i))) {
            out += ' ';
            i += end->bytes.size() - 1;
        } else {
            out += is_control(text[i]) ? ' ' : text[i];
        }
    }
    return out;
}

} // namespace loomwright
