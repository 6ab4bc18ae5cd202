// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "base/spelling.hpp"

#include <algorithm>
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

template <typename Text>
std::optional<std::string> nearest_of(std::string_view word, std::span<const Text> candidates) {
    if (word.empty() || word.size() > longest_compared) {
        return std::nullopt;
    }
    const std::string wanted = lower_case(word);
    std::size_t best = std::max<std::size_t>(1, word.size() / 3) + 1;
    std::optional<std::string> found;
    for (const Text& candidate : candidates) {
        const std::size_t shorter = std::min(candidate.size(), wanted.size());
        const std::size_t longer = std::max(candidate.size(), wanted.size());
        if (longer - shorter >= best) {
            continue;
        }
        const std::size_t distance = edit_distance(wanted, lower_case(candidate));
        if (distance < best) {
            best = distance;
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

} // namespace loomwright
