// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/spelling.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <vector>

namespace loomwright {
namespace {

// A word longer than this is not a slip of the pen, and would cost quadratic time.
constexpr std::size_t longest_compared = 64;

std::string lower_case(std::string_view text) {
    std::string out(text);
    std::ranges::transform(out, out.begin(), [](unsigned char c) { return std::tolower(c); });
    return out;
}

/// How many letters two words begin with alike.
std::size_t common_start(std::string_view a, std::string_view b) {
    return static_cast<std::size_t>(std::ranges::mismatch(a, b).in1 - a.begin());
}

bool is_ascii(std::string_view text) {
    return std::ranges::all_of(text, [](char c) { return static_cast<unsigned char>(c) < 0x80U; });
}

struct Lookalike {
    std::string_view letter;
    char latin;
};

// Cyrillic, then Greek: those that no eye tells from a Latin letter in the usual typefaces.
constexpr std::array lookalikes{
    Lookalike{"а", 'a'}, Lookalike{"е", 'e'}, Lookalike{"о", 'o'}, Lookalike{"р", 'p'},
    Lookalike{"с", 'c'}, Lookalike{"у", 'y'}, Lookalike{"х", 'x'}, Lookalike{"і", 'i'},
    Lookalike{"ѕ", 's'}, Lookalike{"ј", 'j'}, Lookalike{"А", 'A'}, Lookalike{"В", 'B'},
    Lookalike{"Е", 'E'}, Lookalike{"К", 'K'}, Lookalike{"М", 'M'}, Lookalike{"Н", 'H'},
    Lookalike{"О", 'O'}, Lookalike{"Р", 'P'}, Lookalike{"С", 'C'}, Lookalike{"Т", 'T'},
    Lookalike{"У", 'Y'}, Lookalike{"Х", 'X'}, Lookalike{"І", 'I'}, Lookalike{"Ѕ", 'S'},
    Lookalike{"Ј", 'J'}, Lookalike{"Α", 'A'}, Lookalike{"Β", 'B'}, Lookalike{"Ε", 'E'},
    Lookalike{"Ζ", 'Z'}, Lookalike{"Η", 'H'}, Lookalike{"Ι", 'I'}, Lookalike{"Κ", 'K'},
    Lookalike{"Μ", 'M'}, Lookalike{"Ν", 'N'}, Lookalike{"Ο", 'O'}, Lookalike{"Ρ", 'P'},
    Lookalike{"Τ", 'T'}, Lookalike{"Υ", 'Y'}, Lookalike{"Χ", 'X'}, Lookalike{"ο", 'o'},
    Lookalike{"ν", 'v'}};

/// U+FF01 to U+FF5E, the full-width forms of `!` to `~`; 0 for anything else.
char narrow_form(std::string_view text) {
    if (text.size() < 3 || text[0] != '\xEF') {
        return 0;
    }
    const auto second = static_cast<unsigned char>(text[1]);
    const auto third = static_cast<unsigned char>(text[2]);
    const unsigned place = (second - 0xBCU) * 64U + (third - 0x80U); // from U+FF00
    const bool is_one = (second == 0xBCU || second == 0xBDU) && place >= 0x01U && place <= 0x5EU;
    return is_one ? static_cast<char>(0x20U + place) : '\0';
}

std::string in_latin(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const auto* const known = std::ranges::find_if(
            lookalikes, [text](const Lookalike& row) { return text.starts_with(row.letter); });
        const char narrow = narrow_form(text);
        const bool is_known = known != lookalikes.end();
        out += is_known ? known->latin : narrow != 0 ? narrow : text.front();
        text.remove_prefix(is_known ? known->letter.size() : narrow != 0 ? 3U : 1U);
    }
    return out;
}

template <typename Text>
std::optional<std::string> nearest_of(std::string_view word, std::span<const Text> candidates) {
    if (word.empty() || word.size() > longest_compared) {
        return std::nullopt;
    }
    const std::string wanted = lower_case(word);
    std::size_t best = std::max<std::size_t>(1, word.size() / 3) + 1;
    std::size_t best_start = 0;
    std::optional<std::string> found;
    for (const Text& candidate : candidates) {
        const std::size_t shorter = std::min(candidate.size(), wanted.size());
        const std::size_t longer = std::max(candidate.size(), wanted.size());
        if (longer - shorter > best) {
            continue;
        }
        const std::string lower = lower_case(candidate);
        const std::size_t distance = edit_distance(wanted, lower);
        // All of a single letter (a unit) is no beginning.
        const std::size_t start = lower.size() > 1 ? common_start(wanted, lower) : 0;
        if (distance < best || (found && distance == best && start > best_start)) {
            best = distance;
            best_start = start;
            found = std::string(candidate);
        }
    }
    return found;
}

} // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
    // Optimal string alignment: three rows are enough.
    std::vector<std::size_t> before_last(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) {
        last[j] = j;
    }
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t change = a[i - 1] == b[j - 1] ? 0 : 1;
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + change});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                row[j] = std::min(row[j], before_last[j - 2] + 1);
            }
        }
        std::swap(before_last, last);
        std::swap(last, row);
    }
    return last[b.size()];
}

std::optional<std::string> nearest_word(std::string_view word,
                                        std::span<const std::string> candidates) {
    return nearest_of(word, candidates);
}

std::optional<std::string> nearest_word(std::string_view word,
                                        std::span<const std::string_view> candidates) {
    return nearest_of(word, candidates);
}

bool looks_alike(std::string_view a, std::string_view b) {
    return a != b && !(is_ascii(a) && is_ascii(b)) && in_latin(a) == in_latin(b);
}

std::string with_article(std::string_view word) {
    const bool is_vowel = !word.empty() && word != "unit" &&
                          std::string_view("aeiou").find(word.front()) != std::string_view::npos;
    return (is_vowel ? "an " : "a ") + std::string(word);
}

} // namespace loomwright
